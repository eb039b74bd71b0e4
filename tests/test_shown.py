"""Each kind of number as its tool tells it."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.quantities.drills import drill, drills
from bladegeom.quantities.shown import (
    Shown,
    balance_place,
    caliper_length,
    depth_stop,
    drill_size,
    from_to,
    gauge_angle,
    hand_angle,
    oven_temperature,
    room_to_buy,
    rule_length,
    sawn_length,
    scale_mass,
    scribed_length,
    sold_thickness,
)
from bladegeom.quantities.unit_order import told_first
from bladegeom.quantities.units import length, show_inches

Kind = Callable[[float], Shown]

KINDS: dict[Kind, tuple[float, float]] = {
    caliper_length: (0.005, 0.0127),
    rule_length: (0.25, 0.39688),
    scribed_length: (0.05, 0.0635),
    depth_stop: (0.005, 0.0127),
    sold_thickness: (0.005, 0.0127),
    balance_place: (0.5, 0.79375),
}
"""What each is off by at most, mm: half of its step in mm and in inches (1/64 in = 0.396875 mm, 1 thou = 0.0254 mm)."""

LENGTHS = st.floats(-2000.0, 2000.0)


@pytest.mark.parametrize("kind", KINDS)
@given(mm=LENGTHS)
def test_each_kind_tells_the_length_within_half_a_step(kind: Kind, mm: float) -> None:
    shown = kind(mm)
    metric, customary = KINDS[kind]
    for words, within in ((shown.first, metric), (shown.second, customary)):
        assert abs(length(words) - mm) <= within + 2e-5
    with told_first("inch"):
        other = kind(mm)
    assert (other.first, other.second) == (shown.second, shown.first)


@given(mm=LENGTHS)
def test_no_kind_has_a_digit_that_its_tool_does_not_tell(mm: float) -> None:
    assert re.fullmatch(r"-?\d+(\.5)? mm", rule_length(mm).first)
    assert re.fullmatch(r"-?(\d+-)?\d+(/(2|4|8|16|32|64))? in", rule_length(mm).second)
    assert re.fullmatch(r"-?\d\.\d[05] mm|-?\d+\.\d mm|-?10\.00 mm", scribed_length(mm).first)
    assert re.fullmatch(r"-?\d+\.\d\d\d?\d? in", caliper_length(mm).second)
    assert re.fullmatch(r"-?\d+ mm", balance_place(mm).first)


@pytest.mark.parametrize("sixteenths", range(1, 16))
def test_thousandths_are_those_of_a_chart_of_decimal_equivalents(sixteenths: int) -> None:
    """Three places, halves to the even digit: .062 .125 .188 .25 .312 .375 .438 .5 .562 ... (from memory)."""
    chart = {1: "0.062", 3: "0.188", 5: "0.312", 7: "0.438", 9: "0.562", 11: "0.688", 13: "0.812", 15: "0.938"}
    told = caliper_length(25.4 * sixteenths / 16).second
    assert told == f"{chart.get(sixteenths, f'{sixteenths / 16:.3f}')} in"


@given(mm=st.floats(0.0, 3000.0))
def test_what_is_bought_is_never_too_short(mm: float) -> None:
    shown = room_to_buy(mm)
    for words, step in ((shown.first, 1.0), (shown.second, 25.4 / 8)):
        assert -2e-5 <= length(words) - mm < step + 2e-5


@given(mm=st.floats(0.0, 3000.0))
def test_no_rod_is_sawn_too_short_in_either_unit(mm: float) -> None:
    shown = sawn_length(mm)
    for words, step in ((shown.first, 0.01), (shown.second, 0.0254)):
        assert -2e-5 <= length(words) - mm < step + 2e-5


def test_a_drill_is_called_by_the_name_on_its_shank_whichever_unit_is_told_first() -> None:
    for each in drills():
        shown = drill_size(each)
        assert shown.first == f"{each.name}{' in' if each.series == 'fraction' else ''} drill"
        with told_first("inch"):
            assert drill_size(each).first == shown.first
    with told_first("inch"):
        assert drill_size(drill("#7")).text == "#7 drill (0.201 in, 5.11 mm)"


def test_nought_is_nought() -> None:
    for kind in KINDS:
        assert {length(kind(value).first) for value in (0.0, -0.0, -1e-9)} == {0.0}
        assert "-" not in kind(-1e-9).text
    assert room_to_buy(0.0).text == "0 mm (0 in)"


def test_the_first_unit_decides_for_masses_and_temperatures_too() -> None:
    assert scale_mass(187.26).text == "187 g"
    with told_first("inch"):
        assert scale_mass(187.26).text == "187 g (6.6 oz)"
        assert scale_mass(8.43).text == "8.4 g (0.30 oz)"
        assert oven_temperature(1035.0).text == "1895 F (1035 C)"


@pytest.mark.parametrize(("degrees", "gauge", "hand"), [(5.987, "6", "6"), (14.84, "14.8", "15"), (-0.01, "0", "0")])
def test_angles(degrees: float, gauge: str, hand: str) -> None:
    assert (gauge_angle(degrees).text, hand_angle(degrees).text) == (f"{gauge} degrees", f"{hand} degrees")


def test_a_range_names_its_unit_once() -> None:
    assert from_to(rule_length(3.175), rule_length(9.525)).text == "3 to 9.5 mm (1/8 to 3/8 in)"
    assert from_to(rule_length(3.0), rule_length(3.1)).text == "3 mm (1/8 in)"


@given(sixtyfourths=st.integers(1, 64 * 6))
def test_a_rule_tells_every_mark_it_has(sixtyfourths: int) -> None:
    mm = float(Fraction(sixtyfourths, 64) * Fraction(254, 10))
    assert rule_length(mm).second == f"{show_inches(mm)} in"
