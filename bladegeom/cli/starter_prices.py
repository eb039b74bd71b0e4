"""The price list that ``bladegeom quote --starter`` writes: every number in it is invented, and it says so."""

from __future__ import annotations

from typing import Final

STARTER_PRICES: Final = """\
# A price list to start from. EVERY NUMBER HERE IS INVENTED: put your own in its place before you quote anything.
# All prices are before tax, in one currency, and what it costs to buy the thing again today.
# Lengths are mm; "5/32 in" and "0.030 in" are read too.

currency = "EUR"
date = 2026-03-01          # of the prices
note = "Invented numbers, to start from: no price of any shop."
coin = 0.01                # every line is rounded to this, half up
round_to = 1               # the price of a knife is rounded up to a multiple of this
hour_rate = 42.00          # of your own work
overhead_per_hour = 6.50   # rent, power, machines, for each hour worked
margin_percent = 15        # added to the cost
tax_percent = 19           # added to the price; 0 where you charge none
deposit_percent = 40       # of what is to pay, where the order agrees on no other
shipping = 14.00           # of an order that is sent, packing and insurance with it; who pays it, stands in the order
validity_days = 30
terms = ""                 # last lines of the offer, your own words: they bind you, so ask who knows your law
remnant = "kept"           # "kept": what is left of a bar is of use, and not charged; "charged": bars are charged whole

[saw]
kerf = 2.0                 # between two pieces
allowance = 4.0            # round a blank, on every side
end_trim = 5.0             # off each end of a bar

[[bar]]
steel = "1.4116"
thickness = 2.0
height = 50
length = 1000
price = 31.00              # of a bar; or price_per_kg

[[bar]]
steel = "1.4116"
thickness = 2.5
height = 60
length = 1000
price = 44.00

[[bar]]
steel = "1.4116"
thickness = "5/32 in"
height = 50
length = 1000
price_per_kg = 26.00

[[bar]]
steel = "52100"
thickness = 5.0
height = 50
length = 1000
price_per_kg = 17.00

[[sheet]]                  # a slab or a sheet, the grain along its length
material = "Juglans nigra"
thickness = 10
length = 300
width = 45
price = 13.00

[[sheet]]
material = "NEMA C"
thickness = "1/2 in"
length = 300
width = 150
price = 38.00

[[sheet]]
material = "NEMA L"
thickness = 10
length = 300
width = 150
price = 36.00

[[sheet]]
material = "G-10"
thickness = 0.8
length = 300
width = 150
price = 11.00

[[rod]]
metal = "C26000"
diameter = "3/16 in"
length = 500
price = 7.40

[[rod]]
metal = "304"
diameter = "1/4 in"
inside = 4.8               # a tube
length = 500
price = 9.80

[hardware]                 # one of each, by the name that the quote gives it
"standoff #4-40, 304, 6.35 x 13.50 mm" = 2.10
"screw #4-40, 304, 5/16 in" = 0.28
"screw #4-40, 304, 3/8 in" = 0.30
"bolt pair #8-32, 304, head 9.50 mm, shoulder 10.50 mm" = 4.60

[[consumable]]
name = "belts, coarse"
price = 6.20
lasts_mm3 = 9000           # steel that one takes off
grinding = "rough"

[[consumable]]
name = "belts, fine"
price = 5.40
lasts_mm3 = 2500
grinding = "finish"

[[consumable]]
name = "hand abrasive and strop compound"
price = 0.60
per_knife = 4

[[consumable]]
name = "epoxy, a pack"
price = 18.00
per_knife = 0.08

[[consumable]]
name = "drills"
price = 3.20
per_hole = 0.03

[[consumable]]
name = "template paper and glue"
price = 0.90
per_order = 1

[[outside]]
name = "waterjet cutting"
covers = ["cut"]           # steps of the job card that it does
per_order = 25.00
per_metre = 4.80           # of the outline and the holes cut with it
per_pierce = 0.35
least = 40.00

[[outside]]
name = "heat treatment"
covers = ["heat_treat", "temper"]
per_order = 30.00
per_knife = 4.50

[[work]]
name = "template and order papers"
covers = ["template"]
minutes_per_order = 20
minutes_per_knife = 5

[[work]]
name = "drilling"
covers = ["drill"]
minutes_per_order = 10
minutes_per_hole = 2.5

[[work]]
name = "rough grinding"
covers = ["rough_grind"]
grinding = "rough"         # as long as the removed steel takes at the rate of your log, and setting up:
minutes_per_knife = 8
mm3_per_minute = 320       # counts until the log holds five jobs

[[work]]
name = "straightening"
covers = ["straighten"]
minutes_per_knife = 6

[[work]]
name = "finish grinding"
covers = ["finish_grind"]
grinding = "finish"
minutes_per_knife = 10
mm3_per_minute = 90

[[work]]
name = "surface by hand"
covers = ["surface"]
minutes_per_knife = 35

[[work]]                   # a step of your own, by its key in the script's STEPS
name = "easing the spine"
covers = ["ease_spine"]
minutes_per_knife = 8

[[work]]
name = "marking"
covers = ["mark", "etch"]
minutes_per_order = 10
minutes_per_knife = 6

[[work]]
name = "dry fit, glue-up"
covers = ["dry_fit", "handle"]
minutes_per_knife = 30

[[work]]
name = "contouring the handle"
covers = ["contour"]
minutes_per_knife = 55

[[work]]
name = "sharpening"
covers = ["sharpen"]
minutes_per_knife = 15

[[work]]
name = "inspection, packing"
covers = ["inspect"]
minutes_per_knife = 15

[[work]]                   # counts only where the order has a sheath
name = "sheath, leather included in the time"
covers = ["sheath"]
minutes_per_knife = 120
hour_rate = 48.00

[[gate]]                   # what a change costs from then on, before tax
name = "the written description is confirmed"
fee = 15.00
percent = 0

[[gate]]
name = "the blank is cut"
fee = 25.00
percent = 20

[[gate]]
name = "the blade is hardened"
fee = 25.00
percent = 60

[[open]]                   # what a requirement may add that is not decided yet; by its subject, or by its number
about = "sheath"
least = 0
most = 95.00

[[open]]
about = "surface"
least = 0
most = 40.00
"""
