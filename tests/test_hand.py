"""The handle beside the hand: percentiles, guidance in words, and findings whose fixes work."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, drop_point, ground

from bladegeom.checks.hand import check_hand
from bladegeom.handle.hand import DEFER, Placing, grip_margin, hand_guides, hand_lines, placings
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.quantities.hands import grip_guidance, hand_measures
from bladegeom.quantities.units import inch

US_MEN = "US Army men, 2012"
"""P5 81, P50 88, P95 96 mm. Source: ANSUR II, from its raw data."""


def bar(*, height: float = 30.0, thickness: float = 8.0, tang: float = 110.0, **more: Any) -> Knife:
    """Flat scales on a tang 4 mm thick: a rectangle, and as round a handle as its girth / pi."""
    outline = bar_outline(height=height, tang=tang)
    return ground(
        outline,
        height=0.6 * height,
        scales=Scales(slab="NEMA L", thickness=thickness),
        **{"hand_breadth": 85.0, **more},
    )


def among(breadth: float, population: str = US_MEN) -> Placing:
    return next(placing for placing in placings(breadth) if placing.population == population)


def only(knife: Knife, code: str) -> Finding:
    (finding,) = (candidate for candidate in check_hand(knife) if candidate.code == code)
    assert finding.source
    return finding


@pytest.mark.parametrize(
    ("breadth", "percentile", "words"),
    [
        (80.9, None, "below P5"),
        (81.0, 5.0, "P5"),
        (84.5, 27.5, "between P5 and P50, about P28"),
        (88.0, 50.0, "P50"),
        (92.0, 72.5, "between P50 and P95, about P72"),
        (96.0, 95.0, "P95"),
        (96.1, None, "above P95"),
    ],
)
def test_a_hand_among_men(breadth: float, percentile: float | None, words: str) -> None:
    placing = among(breadth)
    assert placing.percentile == (None if percentile is None else pytest.approx(percentile))
    assert placing.words == words
    assert "ANSUR II" in placing.source


@given(st.floats(60.0, 110.0), st.floats(60.0, 110.0))
def test_a_broader_hand_stands_no_lower(breadth: float, other: float) -> None:
    for low, high in zip(placings(min(breadth, other)), placings(max(breadth, other)), strict=True):
        if low.percentile is not None and high.percentile is not None:
            assert 5.0 <= low.percentile <= high.percentile <= 95.0
        values = [value for _, value in low.known]
        assert (low.percentile is None) == (not values[0] <= low.measure <= values[-1])


def test_all_populations_with_a_breadth_are_told() -> None:
    known = {measure.population for measure in hand_measures() if measure.name == "hand breadth"}
    assert {placing.population for placing in placings(88.0)} == known
    assert len(known) >= 5


def test_margin() -> None:
    # Source: the table: 100 mm for a hand of 96 mm.
    assert grip_margin() == pytest.approx(4.0)


def test_lines_name_their_sources() -> None:
    lines = hand_lines(bar())
    assert lines[-1] == DEFER
    assert all(re.search(r"\(.*(ANSUR|NIOSH|NASA|page|paper).*\)\.$", text) for text in lines[:-1])
    text = "\n".join(lines)
    assert "Hand breadth 85 mm (3-11/32 in): between P5 and P50, about P31 of US Army men, 2012" in text
    assert "above P95" not in text
    assert "below P5 of" not in text
    assert "Handle length 110 mm (4-21/64 in): the hand's breadth and 4 mm (5/32 in) make 89 mm" in text
    assert "Girth 100 mm (3-15/16 in)" in text
    assert "Width to height where it is thickest 1:1.50; 1:1.25" in text


def test_lines_without_a_hand_and_without_scales() -> None:
    knife = bar(hand_breadth=None)
    assert hand_lines(knife)[0].startswith("No hand is named: measure it across the knuckles")
    assert not any("_" in line for line in hand_lines(knife)), "no word of a script on paper"
    assert [guide.what for guide in hand_guides(knife)] == [
        "usual handle length",
        "equivalent diameter",
        "height to width",
    ]
    bare = dataclasses.replace(knife, scales=None, hand_breadth=85.0)
    assert [guide.what for guide in hand_guides(bare)] == ["handle length", "usual handle length"]


def test_a_miss_is_told_in_the_line() -> None:
    guides = {guide.what: guide for guide in hand_guides(bar(thickness=6.0, tang=95.0))}
    # Source: closed form: girth 92, 92/pi = 29.285 against 31.75; 95 against 101.6.
    assert "1.25 in" in guides["equivalent diameter"].source or "1-1/4" in guides["equivalent diameter"].source
    assert "2.47 mm (0.097 in) more in diameter than this" in guides["equivalent diameter"].text
    assert "6.60 mm (0.260 in) more in length than this" in guides["usual handle length"].text
    long = {guide.what: guide for guide in hand_guides(bar(tang=160.0))}["usual handle length"]
    assert "7.60 mm (0.299 in) less in length than this" in long.text


def test_limits_are_the_published_ones() -> None:
    power = next(guidance for guidance in grip_guidance() if guidance.use == "power grip")
    guide = next(candidate for candidate in hand_guides(bar()) if candidate.what == "equivalent diameter")
    assert (guide.low, guide.high) == (power.low, power.high) == (inch("1-1/4"), inch("2"))
    assert "NIOSH" in guide.source


@pytest.mark.parametrize("knife", [bar(hand_breadth=None, thickness=4.0, tang=60.0), drop_point()])
def test_nothing_is_found_without_a_hand(knife: Knife) -> None:
    assert not list(check_hand(knife))


def test_nothing_is_found_where_all_is_well() -> None:
    # Girth 104: 33.1 mm.
    assert not list(check_hand(bar(height=32.0)))


def test_a_short_handle_and_its_fix() -> None:
    # Source: closed form: 85 and 4 mm against 80.
    finding = only(bar(height=32.0, tang=80.0), "handle-short")
    assert finding.severity == "warning"
    assert finding.measured == pytest.approx(80.0)
    assert finding.limit == pytest.approx(89.0)
    assert "9.00 mm (0.354 in) longer" in finding.message
    assert DEFER in finding.message
    assert not list(check_hand(bar(height=32.0, tang=89.0)))
    assert list(check_hand(bar(height=32.0, tang=88.9)))


THINNER = 0.02
"""What is told is rounded to 0.01 mm, mm."""


@pytest.mark.parametrize(
    ("code", "height", "thickness", "sign"), [("grip-thin", 26.0, 6.0, 1.0), ("grip-thick", 60.0, 24.0, -1.0)]
)
def test_a_grip_and_its_fixes(code: str, height: float, thickness: float, sign: float) -> None:
    finding = only(bar(height=height, thickness=thickness), code)
    assert finding.severity == "note"
    told = re.search(
        r"scales ([\d.]+) mm .* each, every station of a swell and the thickness, a handle ([\d.]+) mm", finding.message
    )
    assert told is not None
    scale, high = (float(number) for number in told.groups())
    for more, fixed in ((THINNER, True), (-THINNER, False)):
        for knife in (
            bar(height=height, thickness=thickness + sign * (scale + more)),
            bar(height=height + sign * (high + more), thickness=thickness),
        ):
            assert any(each_finding.code == code for each_finding in check_hand(knife)) == (not fixed)


def test_it_is_never_an_error() -> None:
    for knife in (bar(height=15.0, thickness=2.0, tang=40.0), bar(height=90.0, thickness=40.0, tang=300.0)):
        found = list(check_hand(knife))
        assert found
        assert all(finding.severity != "error" for finding in found)
