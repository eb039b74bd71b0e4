"""Numbers and dates as people write them are read, and what only looks like one is left alone."""

from __future__ import annotations

import math
import time
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom import length
from bladegeom.order.said import said_in
from bladegeom.order.said_dates import dates_in

# Values by hand from the definitions: 1 in = 25.4 mm, 1 lb = 453.59237 g = 16 oz (NIST SP 811, appendix B).
SAID = (
    ("an 8 inch blade", "length", 203.2, 203.2),
    ('8" please', "length", 203.2, 203.2),
    ("8'' please", "length", 203.2, 203.2),
    ("8 in.", "length", 203.2, 203.2),
    ("eight inches", "length", 203.2, 203.2),
    ("8-in chef", "length", 203.2, 203.2),
    ('7-1/2" overall', "length", 190.5, 190.5),
    ("7 1/2 in. long", "length", 190.5, 190.5),
    ("7½ in", "length", 190.5, 190.5),
    ("7 to 8 in", "length", 177.8, 203.2),
    ("8 in ± 1/8 in", "length", 200.025, 206.375),
    ("3/16 stock", "length", 4.7625, 4.7625),
    ("half an inch", "length", 12.7, 12.7),
    ("three quarters of an inch", "length", 19.05, 19.05),
    ("a quarter inch hole", "length", 6.35, 6.35),
    ("15 thou", "length", 0.381, 0.381),
    ("12,5 mm", "length", 12.5, 12.5),
    ("no longer than 20 cm", "length", -math.inf, 200.0),
    ("at least 10 mm", "length", 10.0, math.inf),
    ("no shorter than 4.5 in", "length", 114.3, math.inf),
    ("never thinner than 2 mm", "length", 2.0, math.inf),
    ("not below 55 HRC", "hardness", 55.0, math.inf),
    ("nothing over 3 mm", "length", -math.inf, 3.0),
    ("no less than 300 euros", "price", 300.0, math.inf),
    ("half a pound", "mass", 226.796185, 226.796185),
    ("8 oz", "mass", 226.796185, 226.796185),
    ("under 90 g", "mass", -math.inf, 90.0),
    ("0.2 kg or less", "mass", -math.inf, 200.0),
    ("58-60 HRC", "hardness", 58.0, 60.0),
    ("HRC60", "hardness", 60.0, 60.0),
    ("61 ±1 HRC", "hardness", 60.0, 62.0),
    ("hardened to 59", "hardness", 59.0, 59.0),
    ("15° per side", "angle", 15.0, 15.0),
    ("30 degrees inclusive", "angle", 15.0, 15.0),
    ("$1,200.00", "price", 1200.0, 1200.0),
    ("not more than 300 euros", "price", -math.inf, 300.0),
)

NOT_SAID = (
    "4 in walnut, 2 in oak, 1 in every box, 5 in total",
    "a 3 in 1 tool, 8 in line with the spine",
    "M4 in the handle, G-10 in black, 1.4116 or 80CrV2, #4-40",
    "3 pins, 2 knives, 24 hours, 50 tomatoes, 1000 grit, 10/10",
    "an oven of 80 degrees, washed at 60 degrees, dishwashers at 70 degrees",
    "200 degrees C, 20 degrees outside, turn it 180 degrees",
    "8 oz leather, 2 mm thicker, within 1 mm, longer by 10 mm",
    "a half tang, half an hour, three quarters tang, not an inch",
)


@pytest.mark.parametrize(("words", "kind", "low", "high"), SAID)
def test_numbers_with_units(words: str, kind: str, low: float, high: float) -> None:
    (said,) = said_in(words)
    assert str(said.kind) == kind
    assert (said.low, said.high) == pytest.approx((low, high))
    assert said.words in words


@pytest.mark.parametrize("words", NOT_SAID)
def test_what_is_no_size(words: str) -> None:
    assert said_in(words) == ()


@given(mm=st.integers(1, 9999), unit=st.sampled_from(["mm", "cm", "in", '"', "inch", "inches", "thou"]))
def test_a_length_is_read_as_the_library_reads_it(mm: int, unit: str) -> None:
    (said,) = said_in(f"make it {mm / 10:g} {unit}")
    assert said.low == said.high == pytest.approx(length(f"{mm / 10:g} {unit}"))


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("before Christmas", date(2026, 12, 24)),
        ("by 15 June", date(2026, 6, 15)),
        ("by the 15th of June", date(2026, 6, 15)),
        ("by June 15th, 2027", date(2027, 6, 15)),
        ("15 June at the latest", date(2026, 6, 15)),
        ("by Jan 5", date(2027, 1, 5)),
        ("by the end of May", date(2026, 5, 31)),
        ("by 2026-06-15", date(2026, 6, 15)),
        ("in six weeks", date(2026, 4, 13)),
        ("within a fortnight", None),
        ("for my father's birthday", None),
        ("by next Friday", None),
        ("by 5.6.2026", None),
        ("by 31 June", None),
    ],
)
def test_dates(words: str, day: date | None) -> None:
    (said_date,) = dates_in(words, date(2026, 3, 2))
    assert said_date.day == (date(2026, 3, 16) if "fortnight" in words else day)


@pytest.mark.parametrize(
    "words",
    [
        "the picture of 3 June",
        "as we agreed on 3 June",
        "he may like it, I march on",
        "for April, my daughter",
        "for Christmas cake and roasts",
        "before use, by hand, before she sails",
        "sharpened once in 3 months",
    ],
)
def test_what_is_no_day_until_which_it_is_wanted(words: str) -> None:
    assert dates_in(words, date(2026, 3, 2)) == ()


@pytest.mark.parametrize(
    "part", ["12" + " " * 20_000, "1 1/1 ", "half a ", "by the ", "1-", "1 in ", "on my's ", "8 in, ", "by 15 June "]
)
def test_no_text_takes_long(part: str) -> None:
    words = (part * 20_000)[:20_000]
    start = time.process_time()
    said_in(words, is_price=True)
    dates_in(words, date(2026, 3, 2))
    assert time.process_time() - start < 3.0


def test_a_day_without_a_year_may_be_the_day_on_which_it_was_said() -> None:
    said = date(2026, 3, 2)
    assert [said_date.day for said_date in dates_in("on 2 March, or by 1 March", said)] == [said, date(2027, 3, 1)]
