"""What stands in a maker's price list, one kind of price to a class; all before tax, in the list's currency."""

from __future__ import annotations

from typing import Annotated, Literal

from bladegeom.price.money import Amount, Percent, PositiveAmount
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Becomes, Distance, Length
from bladegeom.quantities.materials import material

Grinding = Literal["rough", "finish"]


def _name(name: str) -> str:
    return material(name).name


def _bar_name(name: str) -> str:
    return material(name, "steel", "metal").name


MaterialName = Annotated[str, Becomes(_name)]
BarName = Annotated[str, Becomes(_bar_name)]
"""A name from the table of materials, kept as the table writes it."""


@declared("bar of {steel}")
class BarPrice:
    """A bar of steel as it is bought.

    Args:
        steel: A name from the table of materials.
        thickness: More than 0 mm.
        height: Of its broad face, > 0 mm.
        length: More than 0 mm.
        price: Of a bar; or
        price_per_kg: by its weight.
    """

    steel: BarName
    thickness: Length
    height: Length
    length: Length
    price: Amount | None = None
    price_per_kg: Amount | None = None

    def __post_init__(self) -> None:
        if (self.price is None) == (self.price_per_kg is None):
            given = "not given" if self.price is None else "given twice"
            raise ParameterError(f"bar of {self.steel}: price", given, "be told by one of price and price_per_kg")


@declared("sheet of {material}")
class SheetPrice:
    """A slab or a sheet as it is bought, the grain along its length.

    Args:
        material: A name from the table of materials.
        thickness: More than 0 mm.
        length: More than 0 mm.
        width: More than 0 mm.
        price: Of one.
    """

    material: MaterialName
    thickness: Length
    length: Length
    width: Length
    price: Amount


@declared("rod of {metal}")
class RodPrice:
    """A rod or a tube as it is bought.

    Args:
        metal: A name from the table of materials.
        diameter: Outside, > 0 mm.
        inside: Of a tube, mm; None is a rod.
        length: More than 0 mm.
        price: Of one.
    """

    metal: MaterialName
    diameter: Length
    length: Length
    price: Amount
    inside: Length | None = None


@declared("consumable {name}")
class Consumable:
    """What the work uses up.

    Args:
        name: What it is.
        price: Of one: a belt, a pack, a drill.
        per_order: How many of it an order takes, however many knives.
        per_knife: And each knife.
        per_hole: And each hole drilled.
        lasts_mm3: Of what is worn by grinding: steel that one takes off, mm3.
        grinding: In which step; None in both.
    """

    name: str
    price: Amount
    per_order: Amount | None = None
    per_knife: Amount | None = None
    per_hole: Amount | None = None
    lasts_mm3: PositiveAmount | None = None
    grinding: Grinding | None = None

    def __post_init__(self) -> None:
        if {self.per_order, self.per_knife, self.per_hole, self.lasts_mm3} == {None}:
            must = "have one of per_order, per_knife, per_hole, lasts_mm3"
            raise ParameterError(f"consumable {self.name}: quantity", "not given", must)
        if self.grinding and self.lasts_mm3 is None:
            raise ParameterError(f"consumable {self.name}: grinding", repr(self.grinding), "stand beside lasts_mm3")


@declared("outside work {name}")
class Outside:
    """Work that somebody else does, and what it costs; the sum of all that is given.

    Args:
        name: What it is called.
        covers: Steps of the work that it does, such as "cut".
        per_order: For setting up.
        per_knife: For each.
        per_metre: Of the path that is cut: the outline and the holes cut with it.
        per_pierce: For each start of the cut.
        least: The order is charged no less, whatever the sum.
    """

    name: str
    covers: tuple[str, ...]
    per_order: Amount | None = None
    per_knife: Amount | None = None
    per_metre: Amount | None = None
    per_pierce: Amount | None = None
    least: Amount | None = None

    def __post_init__(self) -> None:
        prices = (self.per_order, self.per_knife, self.per_metre, self.per_pierce)
        if set(prices) == {None}:
            must = "have one of per_order, per_knife, per_metre, per_pierce"
            raise ParameterError(f"outside work {self.name}: price", "not given", must)


@declared("work {name}")
class TimedWork:
    """Work of the maker's own, and how long it takes; the sum of all that is given.

    Args:
        name: What it is called.
        covers: Steps of the work that it does, such as "drill".
        minutes_per_order: However many knives.
        minutes_per_knife: For each.
        minutes_per_hole: For each hole drilled.
        grinding: This is the rough or the finish grinding, and takes besides as long as the steel it removes.
        mm3_per_minute: Of steel taken off; None leaves it to the log of past jobs.
        hour_rate: Of this work; None is the list's.
    """

    name: str
    covers: tuple[str, ...]
    minutes_per_order: Amount | None = None
    minutes_per_knife: Amount | None = None
    minutes_per_hole: Amount | None = None
    grinding: Grinding | None = None
    mm3_per_minute: PositiveAmount | None = None
    hour_rate: Amount | None = None

    def __post_init__(self) -> None:
        times = (self.minutes_per_order, self.minutes_per_knife, self.minutes_per_hole)
        if set(times) == {None} and self.grinding is None:
            must = "have one of minutes_per_order, minutes_per_knife, minutes_per_hole, or grinding"
            raise ParameterError(f"work {self.name}: time", "not given", must)
        if self.mm3_per_minute is not None and self.grinding is None:
            must = 'stand beside grinding = "rough"'
            raise ParameterError(f"work {self.name}: mm3_per_minute", self.mm3_per_minute, must)


@declared("gate {name}")
class Gate:
    """A point of the work behind which a change costs more.

    Args:
        name: After what, such as "the template is approved".
        fee: For a change from then on, and
        percent: of the price.
    """

    name: str
    fee: Amount
    percent: Percent


@declared("open item {about}")
class OpenPrice:
    """What something that is not decided yet may add to the price of an order, before tax.

    Args:
        about: The requirement's number, or what it concerns.
        least: However it is decided.
        most: At most.
    """

    about: str
    least: Amount
    most: Amount

    def __post_init__(self) -> None:
        if self.least > self.most:
            raise ParameterError(f"open item {self.about}: least", self.least, f"be at most its most, {self.most}")


@declared("saw")
class Sawing:
    """What sawing takes.

    Args:
        kerf: Between two pieces, mm.
        allowance: Round a blank on every side, mm.
        end_trim: Off each end of a bar, mm.
    """

    kerf: Distance
    allowance: Distance
    end_trim: Distance
