"""Tongues of steel, room for knuckles, the step at the plunge line."""

from __future__ import annotations

import dataclasses
import math
import re

import pytest
import shapely
from any_knives import outlines
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, ground

from bladegeom import profiles
from bladegeom.checks.knuckles import check_knuckles
from bladegeom.checks.plunge_step import check_plunge_step
from bladegeom.checks.slender import SLENDER, check_slender
from bladegeom.curves.build import line
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.outline.halves import HandleProfile, has_hidden_tang
from bladegeom.outline.outline import Outline, join_halves

NAMES = profiles.names()
BLADES = [name for name in NAMES if profiles.half(profiles.get(name)) == "blade"]
HANDLES = [name for name in NAMES if profiles.half(profiles.get(name)) == "handle"]


def whiskered(long: float, wide: float, *, x: float = -60.0) -> Outline:
    """A bar with a square tongue on its top."""
    bar = bar_outline()
    top = line((0.0, 0.0), (x, 0.0), (x, long), (x - wide, long), (x - wide, 0.0), (-100.0, 0.0))
    return dataclasses.replace(bar, handle_top=top)


def joined(blade: object, handle: HandleProfile | None = None) -> Outline:
    return join_halves(blade, profiles.get("taper")() if handle is None else handle)  # type: ignore[arg-type]


def kitchen(thickness: float = 2.0, **values: float) -> Knife:
    return ground(joined(profiles.get("chef")(**values)), thickness=thickness, height=20.0, edge=0.25)


# Tongues


@pytest.mark.parametrize(
    ("long", "wide", "expected"),
    [
        (9.0, 4.0, 1),
        (9.0, 5.5, 1),
        # Wider than one and a half thicknesses, or no longer than that.
        (9.0, 6.5, 0),
        (5.5, 4.0, 0),
    ],
)
def test_a_narrow_tongue_is_told_with_its_length(long: float, wide: float, expected: int) -> None:
    found = list(check_slender(ground(whiskered(long, wide), thickness=4.0)))
    assert len(found) == expected
    for finding in found:
        # From the tongue's corner to a disc as wide as the limit that touches both corners of its root.
        radius = SLENDER * 4.0 / 2
        disc = math.hypot(wide / 2, long + math.sqrt(radius**2 - wide**2 / 4)) - radius
        assert finding.measured == pytest.approx(disc, abs=0.05)
        assert finding.limit == SLENDER * 4.0
        assert -60.0 - wide <= (finding.x or 0.0) <= -60.0
        assert 0.0 <= (finding.y or 0.0) <= long


def test_shortened_as_told_it_is_told_no_more() -> None:
    finding = next(check_slender(ground(whiskered(9.0, 4.0))))
    by = float(re.findall(r"shorten it by ([\d.]+) mm", finding.message)[0])
    assert not list(check_slender(ground(whiskered(9.0 - by - 0.1, 4.0))))


def test_a_thicker_bar_makes_it_slender() -> None:
    found = [len(list(check_slender(ground(whiskered(12.0, 6.2), thickness=t)))) for t in (3.0, 4.0, 4.5, 6.0)]
    assert found == [0, 0, 1, 1]


def test_a_tip_is_no_tongue_nor_is_a_neck() -> None:
    needle = dataclasses.replace(
        bar_outline(),
        edge=line((0.0, -30.0), (150.0, -30.0), (200.0, -15.0)),
        spine=line((200.0, -15.0), (150.0, -26.0), (148.0, 0.0), (0.0, 0.0)),
    )
    assert not list(check_slender(ground(needle, height=3.0)))
    waist = line((0.0, 0.0), (-40.0, 0.0), (-44.0, -25.0), (-56.0, -25.0), (-60.0, 0.0), (-100.0, 0.0))
    necked = ground(dataclasses.replace(bar_outline(), handle_top=waist))
    assert not list(check_slender(necked))


@pytest.mark.parametrize("name", [*BLADES, *HANDLES])
def test_no_profile_as_it_comes_is_found_fault_with(name: str) -> None:
    profile = profiles.get(name)()
    outline = joined(profile) if name in BLADES else joined(profiles.get("drop_point")(), profile)
    for thickness in (2.0, 5.0):
        knife = ground(outline, thickness=thickness, edge=0.25)
        assert not [*check_slender(knife), *check_knuckles(knife), *check_plunge_step(knife)]


def looked_at_everywhere(knife: Knife) -> list[float]:
    """How far tongues stand out, each piece of steel beside the wide part looked at, slivers and all."""
    outline = knife.outline
    steel, width = outline.polygon.simplify(0.02), SLENDER * knife.stock.thickness
    wide = steel.buffer(-width / 2).buffer(width / 2)
    bodies = shapely.get_parts(wide)
    found = []
    for part in shapely.get_parts(shapely.difference(steel, wide)) if len(bodies) else ():
        hidden = has_hidden_tang(outline.profiles) and part.bounds[2] < 0
        if part.area < 0.05 * width or part.distance(shapely.Point(outline.tip)) < 0.05 or hidden:
            continue
        reach = float(shapely.hausdorff_distance(part, wide.intersection(part.buffer(0.05))))
        if (shapely.distance(bodies, part) < 0.05).sum() < 2 and reach > width:
            found.append(reach)
    return found


@given(st.floats(1.0, 12.0), st.floats(0.5, 8.0), st.floats(-90.0, -12.0), st.floats(1.0, 8.0))
def test_what_is_passed_over_at_a_glance_is_no_tongue(long: float, wide: float, x: float, thickness: float) -> None:
    knife = ground(whiskered(long, wide, x=x), thickness=thickness, edge=0.25)
    assert [finding.measured for finding in check_slender(knife)] == looked_at_everywhere(knife)


@given(outlines(), st.floats(1.0, 12.0))
def test_any_profiles_are_passed_over_only_where_they_have_no_tongue(outline: Outline, thickness: float) -> None:
    knife = ground(outline, thickness=thickness, height=1.0, edge=0.25)
    assert [finding.measured for finding in check_slender(knife)] == looked_at_everywhere(knife)


# Knuckles


@pytest.mark.parametrize(
    ("height", "expected", "lacks"),
    [(47.0, [], None), (45.0, [], None), (43.0, ["knuckles-large-hand"], 2.0), (38.0, ["knuckles"], 2.0)],
)
def test_a_low_heel_is_told_with_what_it_lacks(height: float, expected: list[str], lacks: float | None) -> None:
    # The spine is level above the heel.
    found = list(check_knuckles(kitchen(height=height)))
    assert [finding.code for finding in found] == expected
    for finding in found:
        assert finding.severity == "note"
        assert finding.measured == pytest.approx(height, abs=0.01)
        told = float(re.findall(r"Make the blade ([\d.]+) mm", finding.message)[0])
        assert told == lacks
        assert f"there are {height - 21:.2f} mm" in finding.message
        assert "knuckles" not in {again.code for again in check_knuckles(kitchen(height=height + told))}


def test_only_blades_for_a_board_are_asked() -> None:
    assert list(check_knuckles(kitchen(height=39.0)))
    # Of thick stock, short, with a heel no lower than a finger's thickness, or with a belly below the heel: none.
    assert not list(check_knuckles(kitchen(4.0, height=39.0)))
    assert not list(check_knuckles(kitchen(height=39.0, blade_length=130.0)))
    assert not list(check_knuckles(kitchen(height=39.0, front_height=24.5)))
    chopper = profiles.get("chopper")(height=38.0, front_height=20.0)
    assert not list(check_knuckles(ground(joined(chopper), thickness=3.0)))


# The step at the plunge line


def stepped(radius: float, rough: float | None) -> list[Finding]:
    knife = ground(bar_outline())
    plunge = dataclasses.replace(knife.grind.plunge, radius=radius)
    grind = dataclasses.replace(knife.grind, plunge=plunge, rough_edge=rough)
    return list(check_plunge_step(dataclasses.replace(knife, grind=grind)))


def test_a_sharp_step_that_is_hardened_is_told() -> None:
    sharp, small = stepped(0.0, 0.8), stepped(1.0, 0.8)
    assert [finding.code for finding in sharp + small] == ["plunge-sharp"] * 2
    assert "ends in a sharp step" in sharp[0].message
    assert (small[0].measured, small[0].limit) == (1.0, 1.5)
    assert "has a radius of 1.00 mm" in small[0].message
    assert not stepped(1.5, 0.8)
    assert not stepped(0.0, None)
