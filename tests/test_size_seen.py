"""What size did you see? The cause of a factor, over the whole table of factors that go wrong."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.cutfile.size_seen import CAUSES, causes, read_seen
from bladegeom.quantities.errors import QuantityError

TABLE = [
    # factor seen / true and words of its cause; source: arithmetic on the definitions of inch, pixel and point
    (25.4, "mm were read as inch"),
    (0.0394, "inch were read as mm"),
    (0.2646, "mm were read as pixels, 96 to the inch"),
    (3.78, "pixels, 96 to the inch, were read as mm"),
    (0.9375, "written at 90 to the inch, read at 96"),
    (0.75, "written at 72 to the inch, read at 96"),
    (0.8, "written at 72 to the inch, read at 90"),
    (4 / 3, "written at 96 to the inch, read at 72"),
    (2.835, "points, 72 to the inch, were read as mm"),
    (0.353, "mm were read as points, 72 to the inch"),
    (10.0, "mm were read as cm"),
    (0.1, "cm were read as mm"),
    (100.0, "cm were read as metres"),
    (1000.0, "mm were read as metres"),
    (0.001, "metres were read as mm"),
    (304.8, "mm were read as feet"),
    (12.0, "inch were read as feet"),
    (2.54, "cm were read as inch"),
    (0.94, "fitted to the page"),
    (0.941, "fitted to the page"),
    (0.97, "fitted to the page"),
    (1.0, "the true size"),
    (0.5, "scale 1:2"),
]


@pytest.mark.parametrize(("factor", "words"), TABLE)
def test_every_known_factor_has_its_cause(factor: float, words: str) -> None:
    assert any(words in cause.why for cause in causes(factor))


def test_a_factor_with_two_causes_names_both() -> None:
    # 90/96 lies in the range of printing fitted to a page.
    words = [cause.why for cause in causes(0.9375)]
    assert len(words) == 2
    assert "pixels" in words[0]
    assert "fitted to the page" in words[1]


@pytest.mark.parametrize("factor", [0.87, 1.15, 7.0, 0.0066, 40.0, 1e6])
def test_an_unknown_factor_is_unknown(factor: float) -> None:
    assert causes(factor) == ()


@given(st.sampled_from(CAUSES), st.floats(100.0, 400.0), st.floats(20.0, 60.0))
def test_a_cause_is_found_from_the_size_that_it_makes(expected: object, width: float, height: float) -> None:
    cause = next(cause for cause in CAUSES if cause is expected)
    factor = (cause.low + cause.high) / 2
    readings = read_seen(f"{factor * width:.6f} x {factor * height:.6f} mm", width, height)
    assert cause in readings[0].causes
    assert readings[0].side == "width and height"


def test_units_in_the_text_count() -> None:
    (reading,) = read_seen("9.11 in", 231.4, 38.2)
    assert [cause.why for cause in reading.causes] == ["nothing is wrong: that is the true size"]
    (reading,) = read_seen("9.11 mm", 231.4, 38.2)
    assert [cause.why for cause in reading.causes] == ["inch were read as mm"]
    (reading,) = read_seen("9.11 x 1.50 in", 231.4, 38.2)
    assert reading.factors == pytest.approx((1.0, 1.0), rel=3e-3)


def test_a_bare_number_is_tried_both_ways() -> None:
    told = {reading.unit: reading.causes[0].why for reading in read_seen("9.11", 231.4, 38.2)}
    assert told == {"mm": "inch were read as mm", "inch": "nothing is wrong: that is the true size"}


def test_a_turned_part_is_told() -> None:
    (reading,) = read_seen("38.2 x 231.4 mm", 231.4, 38.2)
    assert reading.side == "height and width"
    assert reading.causes[0].low < 1 < reading.causes[0].high


def test_width_and_height_by_factors_of_their_own_are_no_scale() -> None:
    (reading,) = read_seen("231.4 x 30 mm", 231.4, 38.2)
    assert reading.causes == ()
    assert reading.uneven


@pytest.mark.parametrize("text", ["", "x", "knife", "1 x 2 x 3 mm", "0", "-5 mm", "nan", "3/0 in", "1e5000"])
def test_what_is_no_size_is_told(text: str) -> None:
    with pytest.raises(QuantityError, match="cannot read"):
        read_seen(text, 231.4, 38.2)
