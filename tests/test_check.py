"""One design for each finding, which has that finding and no other; clean designs that have none."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import pytest
from draws import draws
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_tells
from specimens import (
    BLADES,
    DISC_CENTRE,
    HANDLES,
    bar_outline,
    chef,
    disc_outline,
    drop_point,
    ground,
    petty,
    plain_tang,
    profile,
    recurve,
)

from bladegeom.checks.holes import check_holes
from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.fasteners.pin import Pin
from bladegeom.findings.check import check
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.finding import Finding
from bladegeom.knife.hole import Hole, Opening, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules, Process, Shop
from bladegeom.knife.scales import Liner, Scales
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.profiles import get
from bladegeom.quantities.drills import drill_index
from bladegeom.quantities.materials import material
from bladegeom.quantities.units import inch

TIP_NOTE = "bevel-reaches-spine"
"""Every blade that ends in a point has this note: there edge and spine meet."""


def bar(*holes: Opening, **more: Any) -> Knife:
    """A bar 30 mm high, 4 mm thick, its tang 100 mm long, its heel and plunge line 4 mm ahead of the handle front."""
    return ground(bar_outline(heel=4.0), holes=holes, **more)


def told(knife: Knife) -> tuple[Finding, ...]:
    """All findings but those on the point, which every blade of plain bar has, and on scales or pins alone."""
    return tuple(f for f in check(knife) if f.code not in (TIP_NOTE, "tip-thick", "glued-only", "holds-nothing"))


def only(knife: Knife, code: str, severity: str) -> Finding:
    """The one finding of a knife, after a look at what every finding must have."""
    (found,) = told(knife)
    assert (found.code, found.severity) == (code, severity)
    assert found.message
    assert found.source
    return found


def hole(x: float, y: float, d: float, **more: Any) -> Hole:
    return Hole(x=x, y=y, diameter=d, **{"purpose": "lightening", **more})


# Clean designs.


@pytest.mark.parametrize("make", [drop_point, petty, chef, bar, lambda: ground(plain_tang())])
def test_clean_designs(make: Any) -> None:
    assert told(make()) == ()
    lightened = add_lightening_row(add_fasteners(make(), Pin(rod="304", diameter=inch("3/16")), count=2))
    assert told(lightened) == ()
    assert len(lightened.fasteners) == 2
    assert len(lightened.holes) > 2


@pytest.mark.parametrize("blade", BLADES)
@pytest.mark.parametrize("handle", HANDLES)
def test_profiles_as_they_come(blade: str, handle: str) -> None:
    knife = profile(blade, handle, scales=Scales(slab="NEMA L", thickness=7.0))
    assert told(knife) == ()
    assert told(add_fasteners(knife, Pin(rod="C26000", diameter=inch("3/16")), count=2)) == ()


def test_a_tang_where_holes_just_keep_the_rules() -> None:
    # On every limit at once: 4 mm of rim and web, 10 mm of clear strip, 1.2 diameters to the outline.
    holes = (hole(-13.0, -15.0, 6.0), hole(-23.0, -15.0, 6.0), hole(-40.0, -12.0, 10.0), hole(-93.5, -15.0, 5.0))
    assert told(bar(*holes)) == ()


# Holes.


def test_rim() -> None:
    found = only(bar(hole(-50.0, -4.0, 3.0)), "rim", "error")
    assert (found.measured, found.limit) == pytest.approx((2.5, 4.0))
    assert (found.x, found.y, found.part) == (-50.0, -4.0, "blade")
    assert (found.measured, found.limit) == pytest.approx((2.5, 4.0))
    assert "move it 1.50 mm" in found.message
    assert found.source == "common practice, no source"


def test_rim_of_a_wide_hole_may_be_made_smaller() -> None:
    # 9 mm from the outline: 3 mm of rim for 12 mm; 10 mm would leave the 4 mm asked for.
    rules = HoleRules(name="no edge distance", edge_distance_per_diameter=0.0, weak_section=0.0)
    found = only(bar(hole(-50.0, -9.0, 12.0), rules=rules), "rim", "error")
    assert "or make it no wider than 10.00 mm" in found.message
    assert told(bar(hole(-50.0, -9.0, 10.0), rules=rules)) == ()


def test_edge_distance() -> None:
    # Source: EN 1993-1-8 Table 3.3: 1.2 x 10 = 12 mm from the centre.
    found = only(bar(hole(-50.0, -11.0, 10.0)), "edge-distance", "error")
    assert (found.measured, found.limit) == pytest.approx((11.0, 12.0))
    assert (found.x, found.y) == (-50.0, -11.0)
    assert "move it 1.00 mm" in found.message
    assert found.source.startswith("EN 1993-1-8:2005 Table 3.3")


def test_edge_distance_of_a_screw_s_hole() -> None:
    # Source: EN 1993-1-8 Table 3.3: M4 in a 4.5 mm hole: 5.4 mm. Rim 0 lets the standard's rule speak alone.
    rules = HoleRules(name="standard only", rim=0.0, web=0.0, per_thickness=0.0, clear_strip=0.0)
    assert told(bar(hole(-50.0, -5.4, 4.5), rules=rules)) == ()
    found = only(bar(hole(-50.0, -5.38, 4.5), rules=rules), "edge-distance", "error")
    assert found.limit == pytest.approx(5.4)


@pytest.mark.parametrize(
    ("y", "rim", "words"),
    [
        (5.0, -6.5, "lies outside the steel"),
        (0.0, -1.5, "breaks through the outline"),
        (-1.0, -0.5, "breaks through the outline"),
        (-31.0, -2.5, "lies outside the steel"),
    ],
)
def test_hole_outside(y: float, rim: float, words: str) -> None:
    found = only(bar(hole(-50.0, y, 3.0)), "hole-outside", "error")
    assert (found.measured, found.limit) == pytest.approx((rim, 4.0))
    assert (found.x, found.y) == (-50.0, y)
    place = re.fullmatch(
        rf"hole L1 at \(-50.00, {y:.2f}\) {words}; move it to \((.*), (.*)\), the nearest place that all rules allow",
        found.message,
    )
    assert place
    there = (float(place[1]), float(place[2]))
    assert told(bar(hole(*there, 3.0))) == ()
    # Straight inwards: as far as the rim of 4.0 mm asks for, and hardly more.
    assert math.dist(there, (-50.0, y)) == pytest.approx(4.0 - rim, abs=0.3)


def test_slot_across_the_outline() -> None:
    slot = Slot(start=(-50.0, -6.0), end=(-50.0, 4.0), diameter=3.0, purpose="lightening")
    found = only(bar(slot), "hole-outside", "error")
    assert "breaks through the outline" in found.message
    assert (found.x, found.y) == (-50.0, -1.0)


def test_web() -> None:
    found = only(bar(hole(-50.0, -15.0, 6.0), hole(-58.5, -15.0, 6.0)), "web", "error")
    assert (found.measured, found.limit) == pytest.approx((2.5, 4.0))
    assert (found.x, found.y) == (-50.0, -15.0)
    assert_tells(found.message, "L1", "-50.00", "-15.00", "L2", "2.50 mm", "4.00 mm", "1.50 mm", "3.00 mm")
    assert told(bar(hole(-50.0, -15.0, 6.0), hole(-60.0, -15.0, 6.0))) == ()
    assert told(bar(hole(-50.0, -15.0, 3.0), hole(-58.5, -15.0, 6.0))) == ()


def test_holes_overlap() -> None:
    found = only(bar(hole(-50.0, -15.0, 6.0), hole(-54.0, -15.0, 6.0)), "holes-overlap", "error")
    assert (found.measured, found.limit) == pytest.approx((-2.0, 4.0))
    assert_tells(found.message, "L1", "-50.00", "-15.00", "L2", "6.00 mm")


def test_holes_on_the_same_place() -> None:
    found = only(bar(hole(-50.0, -15.0, 6.0), hole(-50.0, -15.0, 6.0)), "holes-overlap", "error")
    assert found.measured == pytest.approx(-6.0)


def test_each_narrow_web_of_a_row_is_told_once() -> None:
    # Webs of 3, 2 and 3 mm: the pairs 1-2, 2-3, 3-4.
    row = [hole(x, -15.0, 5.0) for x in (-40.0, -48.0, -55.0, -63.0)]
    found = told(bar(*row))
    assert [f.code for f in found] == ["web"] * 3
    assert sorted(f.measured or 0.0 for f in found) == pytest.approx([2.0, 3.0, 3.0])


def test_clear_strip() -> None:
    found = only(bar(hole(-12.0, -15.0, 6.0)), "clear-strip", "error")
    assert (found.measured, found.limit) == pytest.approx((9.0, 10.0))
    assert found.message.endswith(
        "its rim is 9.00 mm (0.354 in) behind the handle front, less than 10.00 mm (0.394 in); "
        "move it 1.00 mm (0.039 in) towards the butt"
    )


def test_hole_too_small() -> None:
    # Source: a cutting service's guideline: half the thickness, here 2 mm.
    found = only(bar(hole(-50.0, -15.0, 1.5875)), "hole-too-small", "warning")
    assert (found.measured, found.limit) == (1.5875, 2.0)
    assert "1.588 mm (1/16 in) is less than waterjet can cut, 2.00 mm (0.079 in)" in found.message
    assert found.message.endswith("left out of the cut file and put on the drill card: 1/16 in drill (1.588 mm)")
    assert told(bar(hole(-50.0, -15.0, 1.5875, made="drilled"))) == ()


def test_no_drill() -> None:
    found = only(bar(hole(-50.0, -15.0, 6.0, made="drilled")), "no-drill", "warning")
    # B of the letters, 0.238 in = 6.0452 mm.
    assert (found.measured, found.limit) == pytest.approx((6.0, 6.0452))
    assert_tells(found.message, "6.00 mm (0.236 in)", "the nearest is B")
    # Of fractions alone, 15/64 in = 5.953125 mm.
    fractions = Shop(drills=drill_index("fractional"))
    found = only(bar(hole(-50.0, -15.0, 6.0, made="drilled"), shop=fractions), "no-drill", "warning")
    assert (found.measured, found.limit) == (6.0, 5.953125)
    assert "the nearest is 15/64" in found.message
    assert told(bar(hole(-50.0, -15.0, 6.0))) == ()


def test_a_shop_s_own_limits_are_quoted() -> None:
    rules = HoleRules(name="our own", rim=9.0, web=9.0, clear_strip=20.0)
    holes = (hole(-20.0, -11.0, 5.0), hole(-31.0, -15.0, 5.0))
    found = told(bar(*holes, rules=rules))
    assert {f.code: f.source for f in found} == dict.fromkeys(("rim", "web", "clear-strip"), "set by the shop: our own")
    process = Process(name="our laser", smallest_hole=3.0)
    small = only(bar(hole(-50.0, -15.0, 2.38125), shop=Shop(process=process)), "hole-too-small", "warning")
    assert small.source == "set by the shop: our laser"
    assert "our laser can cut" in small.message


# Bevel and plunge line.


def test_plunge_ahead_of_heel() -> None:
    found = only(bar(plunge=7.0), "plunge-ahead-of-heel", "warning")
    assert (found.measured, found.limit) == pytest.approx((3.0, 0.5))
    assert (found.x, found.y) == pytest.approx((7.0, -30.0))
    assert "3.00 mm (0.118 in) ahead of the heel" in found.message
    assert "move the plunge line to x 4.00 mm" in found.message
    assert told(bar(plunge=4.0)) == ()


def test_plunge_near_scales() -> None:
    found = only(bar(plunge=1.2), "plunge-near-scales", "warning")
    assert (found.measured, found.limit) == pytest.approx((1.2, 2.0))
    assert found.x == pytest.approx(1.2)
    assert "move it 0.80 mm (0.031 in) towards the tip" in found.message


def test_plunge_under_scales() -> None:
    found = only(bar(plunge=-5.0), "plunge-under-scales", "error")
    assert found.measured == pytest.approx(-5.0)
    assert "move it 7.00 mm" in found.message


def test_plunge_that_leans_back_under_the_scales() -> None:
    # Source: closed form: 30 mm up, 20 degrees back, from x = 4: 4 - 30 tan 20 = -6.919.
    found = only(bar(lean=-20.0), "plunge-under-scales", "error")
    assert found.measured == pytest.approx(4.0 - 30.0 * math.tan(math.radians(20.0)))
    assert found.y == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("front", [-7.0, 10.0, 25.0])
def test_the_fix_mends_a_plunge_line_beside_a_leaning_front(front: float) -> None:
    # The nearest end of an upright line on a bar: the upper one beside a front that leans back below, else the lower.
    x = 0.5 + max(0.0, 30.0 * math.tan(math.radians(-front)))
    near = only(ground(bar_outline(heel=x), front_lean_deg=front), "plunge-near-scales", "warning")
    # Source: closed form: square to the front, 0.5 mm along x are 0.5 cos(lean).
    assert near.measured == pytest.approx(0.5 * math.cos(math.radians(front)))
    assert told(ground(bar_outline(heel=x + number(near)), front_lean_deg=front)) == ()


def number(found: Finding) -> float:
    """By how much to move it, mm."""
    match = re.search(r"move (?:it|them) (\d+\.\d+) mm", found.message)
    assert match
    return float(match[1])


def test_bevel_reaches_the_spine_ahead_of_a_place() -> None:
    # A spine that falls 1 in 5 from (0, 0) to (100, -20) over an edge 25 mm down: 18 mm are left at x = 35.
    outline = Outline(
        edge=line((5.0, -25.0), (100.0, -25.0)),
        spine=line((100.0, -25.0), (100.0, -20.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-90.0, 0.0)),
        butt=line((-90.0, 0.0), (-90.0, -25.0)),
        handle_underside=line((-90.0, -25.0), (0.0, -25.0)),
        choil=line((0.0, -25.0), (5.0, -25.0)),
    )
    (found,) = check(ground(outline, height=18.0))
    assert (found.code, found.severity, found.limit) == (TIP_NOTE, "note", 4.0)
    assert found.measured == pytest.approx(4.0, abs=0.5 / 5 * 3.5 / 18 + 0.01)
    assert found.x == pytest.approx(35.0, abs=0.5)
    assert "from x 35." in found.message
    assert found.message.endswith("to the tip: the spine thins from there on")


def test_bevel_reaches_the_spine_all_along() -> None:
    # Source: closed form: at 30 of 60 mm, 0.5 + 3.5 x 30 / 60 = 2.25 mm are left.
    (found,) = check(bar(height=60.0))
    assert (found.measured, found.limit) == pytest.approx((2.25, 4.0))
    assert (found.x, found.y) == pytest.approx((4.0, 0.0), abs=1e-5)
    assert "reaches the spine all along" in found.message
    assert "the spine is 2.25 mm (0.089 in) thick instead of 4.00 mm (0.157 in)" in found.message


def test_bevel_reaches_a_straight_spine_over_a_round_edge() -> None:
    # Source: closed form: a chord through the centre, R = 40, is 40 - r from the edge r ahead of the centre: less than
    # 30 from r = 10 on. Behind the centre the heel is nearest, 20 degrees below the chord, by the law of cosines
    # sqrt(R^2 + r^2 - 2 R r cos 20): 30 at r = R cos 20 - sqrt(30^2 - (R sin 20)^2).
    cos, sin = math.cos(math.radians(20.0)), math.sin(math.radians(20.0))
    behind = 40.0 * cos - math.sqrt(900.0 - (40.0 * sin) ** 2)
    least = math.sqrt(1600.0 + 625.0 - 2000.0 * cos)
    notes = [f for f in check(ground(disc_outline(), height=30.0, plunge=20.0)) if f.code == TIP_NOTE]
    tip, rear = notes
    assert rear.x == pytest.approx(20.0, abs=1e-5)
    assert rear.measured == pytest.approx(0.5 + 3.5 * least / 30.0, abs=0.01)
    end = re.search(
        r"from x (\d+\.\d\d) mm to the plunge line: at the plunge line the spine is (\d\.\d\d) mm", rear.message
    )
    assert end
    assert float(end[1]) == pytest.approx(DISC_CENTRE - behind, abs=0.6)
    assert float(end[2]) == pytest.approx(0.5 + 3.5 * least / 30.0, abs=0.01)
    assert tip.x == pytest.approx(DISC_CENTRE + 10.0, abs=0.6)
    assert "to the tip" in tip.message


def test_bevel_reaches_the_spine_over_a_hollow() -> None:
    # The recurve is lowest over its hollow: there the spine is thinner on a stretch of its own.
    over, tip = sorted((f for f in check(recurve(height=24.0)) if f.code == TIP_NOTE), key=lambda f: f.x or 0.0)
    assert re.search(r"between x 4\d\.\d\d and 4\d\.\d\d mm: at x 4\d\.\d\d mm the spine is 3\.\d\d mm", over.message)
    assert over.measured is not None
    # Source: the law of the flat face: 0.5 + 3.5 d / 24 with d between 23 and 24 mm over the hollow.
    assert 0.5 + 3.5 * 23 / 24 < over.measured < 4.0
    assert "to the tip" in tip.message


# The outline.


def cut_choil(*curves: Curve, underside: Vector = (0.0, -20.0)) -> Outline:
    """A blade 30 mm high on a tang 20 mm high; the choil is what is tried."""
    choil = join(*curves)
    return Outline(
        edge=line(choil.end, (150.0, -10.0)),
        spine=line((150.0, -10.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-100.0, 0.0)),
        butt=line((-100.0, 0.0), (-100.0, underside[1])),
        handle_underside=line((-100.0, underside[1]), underside),
        choil=choil,
    )


def rounded(radius: float) -> Outline:
    corner = (12.0 - radius, -20.0)
    return cut_choil(
        line((0.0, -20.0), corner),
        arc((corner[0], corner[1] - radius), radius, 90.0, -90.0),
        line((12.0, -20.0 - radius), (12.0, -30.0)),
    )


def test_sharp_inside_corner_within_a_curve() -> None:
    found = only(ground(cut_choil(line((0.0, -20.0), (12.0, -20.0), (12.0, -30.0)))), "sharp-inside-corner", "error")
    assert (found.measured, found.limit) == (0.0, 1.5)
    assert (found.x, found.y) == (12.0, -20.0)
    assert_tells(found.message, "90 degrees", "12.00", "-20.00", "1.50 mm")


def test_sharp_inside_corner_between_two_curves() -> None:
    outline = cut_choil(line((6.0, -20.0), (6.0, -30.0)), underside=(6.0, -20.0))
    found = only(ground(outline), "sharp-inside-corner", "error")
    assert (found.x, found.y) == (6.0, -20.0)
    assert "of 90 degrees at the end of the handle underside" in found.message
    assert told(ground(outline, shop=Shop(smallest_inside_radius=0.0))) == ()


def test_outside_corners_are_no_matter() -> None:
    assert told(bar()) == ()


@pytest.mark.parametrize("radius", [1.6, 4.0, 6.3])
def test_inside_radius(radius: float) -> None:
    # The smallest wheel of 12.7 mm has 6.35 mm of radius. A cubic's curvature along an arc is true to 1e-4.
    found = only(ground(rounded(radius)), "inside-radius", "warning")
    assert (found.measured, found.limit) == pytest.approx((radius, 6.35), rel=2e-4)
    assert found.x is not None
    assert 12.0 - radius - 1e-6 <= found.x <= 12.0 + 1e-6
    # A wheel goes by its diameter; what it leaves is a radius.
    assert "wheel, 12.70 mm (1/2 in) across, grinds no less than 6.35 mm (1/4 in);" in found.message
    assert found.source == "the shop's contact wheels"


def test_inside_radius_that_the_smallest_wheel_grinds() -> None:
    assert told(ground(rounded(6.35))) == ()
    assert told(ground(rounded(4.0), shop=Shop(contact_wheels=(50.0, 8.0)))) == ()


@pytest.mark.parametrize("radius", [0.3, 1.0, 1.45])
def test_inside_radius_that_cracks(radius: float) -> None:
    found = only(ground(rounded(radius)), "inside-radius-quench", "error")
    assert (found.measured, found.limit) == pytest.approx((radius, 1.5), rel=2e-4)
    assert f"inside radius {radius:.2f} mm" in found.message
    assert "1.50 mm (0.059 in)" in found.message


def hourglass(neck: float) -> Outline:
    """A tang 27 mm high with a round waist of this height at x = -50.

    Source: radius of an arc over a chord 2 a with sagitta s: (a^2 + s^2) / (2 s).
    """
    a, s = 20.0, 13.5 - neck / 2
    r = (a * a + s * s) / (2 * s)
    half = math.degrees(math.asin(a / r))
    top = arc((-50.0, r - s), r, -90.0 + half, -2 * half)
    low = arc((-50.0, -27.0 + s - r), r, 90.0 + half, -2 * half)
    return Outline(
        edge=line((5.0, -27.0), (120.0, -8.0)),
        spine=line((120.0, -8.0), (0.0, 0.0)),
        handle_top=join(line((0.0, 0.0), top.start), top, line(top.end, (-100.0, 0.0))),
        butt=line((-100.0, 0.0), (-100.0, -27.0)),
        handle_underside=join(line((-100.0, -27.0), low.start), low, line(low.end, (0.0, -27.0))),
        choil=line((0.0, -27.0), (5.0, -27.0)),
    )


_OF_SEVERAL = {"web", "holes-overlap", "net-width", "weak-section"}
"""Findings that more than one hole may share."""


@given(st.floats(0.8, 3.95))
@draws(20)
def test_neck(width: float) -> None:
    found = only(ground(hourglass(width)), "neck", "error")
    assert found.measured == pytest.approx(width, abs=0.05)
    assert found.limit == 4.0
    assert (found.x, found.y) == pytest.approx((-50.0, -13.5), abs=1.0)
    assert "widen it there" in found.message


@pytest.mark.parametrize("width", [4.05, 6.0, 15.0])
def test_no_neck_where_it_is_wider_than_thick(width: float) -> None:
    assert told(ground(hourglass(width))) == ()


def test_neck_near_the_butt() -> None:
    # A hook's head behind a waist: found though one side is far larger than the other.
    outline = hourglass(3.0)
    assert only(ground(outline, thickness=3.2), "neck", "error").measured == pytest.approx(3.0, abs=0.05)
    assert told(ground(outline, thickness=2.9)) == ()


def keyhole(mouth: float, *, throat: float) -> Outline:
    """A round pocket of 6.5 mm radius in the underside; its mouth and the throat behind it are given, mm."""
    low, r = -30.0, 6.5
    up = low + throat
    cy = up + math.sqrt(r * r - mouth * mouth / 4)
    start = math.degrees(math.atan2(up - cy, -mouth / 2))
    end = math.degrees(math.atan2(up - cy, mouth / 2))
    pocket = arc((-50.0, cy), r, start, -(360.0 - (end - start)))
    left, right = (-50.0 - mouth / 2, low), (-50.0 + mouth / 2, low)
    way_in = [line(left, pocket.start)] if throat else []
    way_out = [line(pocket.end, right)] if throat else []
    return Outline(
        edge=line((5.0, low), (120.0, -8.0)),
        spine=line((120.0, -8.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-100.0, 0.0)),
        butt=line((-100.0, 0.0), (-100.0, low)),
        handle_underside=join(line((-100.0, low), left), *way_in, pocket, *way_out, line(right, (0.0, low))),
        choil=line((0.0, low), (5.0, low)),
    )


@pytest.mark.parametrize("throat", [0.0, 0.5, 4.0])
@pytest.mark.parametrize("mouth", [0.7, 1.0, 1.5])
def test_gap(mouth: float, throat: float) -> None:
    # Source: the largest of three waterjet shops' smallest inside radii, 0.8 mm: 1.6 mm to pass.
    found = only(ground(keyhole(mouth, throat=throat)), "gap", "error")
    assert (found.measured, found.limit) == (None, 1.6)
    assert found.x == pytest.approx(-50.0, abs=7.0)
    assert "within 1.60 mm (0.063 in) of itself" in found.message
    assert "waterjet cannot pass" in found.message


@pytest.mark.parametrize("throat", [0.0, 4.0])
def test_no_gap_where_the_cutter_passes(throat: float) -> None:
    assert told(ground(keyhole(1.7, throat=throat))) == ()
    fine = Shop(process=Process(name="laser", inside_radius=0.1))
    assert told(ground(keyhole(0.7, throat=throat), shop=fine)) == ()
    anything = Shop(process=Process(name="any", inside_radius=0.0))
    assert told(ground(keyhole(0.7, throat=throat), shop=anything)) == ()


# What was declared.


def test_parameter_out_of_range() -> None:
    blade, handle = get("drop_point"), get("swelled")
    knife = ground(join_halves(blade(blade_length=185.0), handle()), height=16.0)
    found = only(knife, "parameter-range", "warning")
    assert (found.measured, found.limit) == (185.0, 180.0)
    assert_tells(found.message, "185 mm", "70", "180")
    low = only(ground(join_halves(blade(), handle(length=90.0)), height=16.0), "parameter-range", "warning")
    assert (low.measured, low.limit) == (90.0, 95.0)


def test_density_unsure() -> None:
    found = only(drop_point(scales=Scales(slab="horn", thickness=6.0)), "density-unsure", "note")
    assert (found.part, found.measured, found.limit) == ("scales", 1.28, None)
    assert "horn, 1.28 g/cm3, is not well known (1.25 to 1.32)" in found.message
    own = dataclasses.replace(material("1084"), name="an old file", confidence="low")
    assert only(drop_point(steel=own), "density-unsure", "note").part == "blade"
    pin = Fastener(x=-60.0, y=-14.0, hardware=Pin(rod="horn", diameter=inch("3/16")))
    assert only(drop_point(fasteners=(pin,)), "density-unsure", "note").part == "pin"
    liners = (Liner(sheet="horn", thickness=0.8),)
    lined = drop_point(scales=Scales(slab="NEMA L", thickness=6.0, liners=liners))
    assert only(lined, "density-unsure", "note").part == "liner"
    sure = dataclasses.replace(material("horn"), name="own horn", confidence="high")
    assert told(drop_point(scales=Scales(slab=sure, thickness=6.0))) == ()


# Order.


def test_errors_come_first_and_the_order_stays() -> None:
    def made() -> Knife:
        holes = (hole(-50.0, -4.0, 3.0), hole(-12.0, -15.0, 6.0), hole(-70.0, -4.0, 3.0), hole(-90.0, -15.0, 1.5875))
        return bar(*holes, plunge=7.0, scales=Scales(slab="horn", thickness=6.0))

    found = check(made())
    assert [(f.severity, f.code, f.x) for f in found] == [
        ("error", "clear-strip", -12.0),
        ("error", "rim", -50.0),
        ("error", "rim", -70.0),
        ("warning", "hole-too-small", -90.0),
        ("warning", "plunge-ahead-of-heel", 7.0),
        ("note", TIP_NOTE, 200.0),
        ("note", "density-unsure", None),
        ("note", "glued-only", None),
    ]
    assert check(made()) == found


def test_findings_cannot_be_changed() -> None:
    (found,) = check(drop_point())
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.severity = "error"  # type: ignore[misc]


# Random holes: the check says of each rule what a plain look says.

holes_in_the_tang = st.lists(
    st.builds(hole, st.floats(-99.0, -1.0), st.floats(-29.0, -1.0), st.floats(2.0, 14.0)), min_size=1, max_size=4
)


@given(holes_in_the_tang)
def test_check_agrees_with_plain_arithmetic(holes: list[Hole]) -> None:
    # In the bar: distances to its four sides and to the other centres.
    found = {(f.code, f.x, f.y) for f in told(bar(*holes)) if f.code not in _OF_SEVERAL}
    want = set()
    for h in holes:
        edge = min(-h.y, h.y + 30.0, h.x + 100.0)
        rim = edge - h.diameter / 2
        # At nought exactly either word is right.
        assume(abs(rim) > 1e-6)
        wrong = {
            "hole-outside": rim <= 0,
            "rim": 0 < rim < 3.99,
            "edge-distance": rim > 0 and edge < 1.2 * h.diameter - 0.01,
            "clear-strip": -h.x - h.diameter / 2 < 9.99,
        }
        want |= {(code, h.x, h.y) for code, is_wrong in wrong.items() if is_wrong}
    assert found == want
    close = [
        (p, q)
        for i, p in enumerate(holes)
        for q in holes[:i]
        if math.dist((p.x, p.y), (q.x, q.y)) - (p.diameter + q.diameter) / 2 < 3.99
    ]
    webs = [f for f in told(bar(*holes)) if f.code in {"web", "holes-overlap"}]
    # Whoever is too near to another is told of, alone or as the nearer one's partner.
    assert bool(webs) == bool(close)


@given(st.floats(-12.9, -3.0), st.floats(-20.0, -10.0), st.floats(-20.0, 30.0))
@draws(25)
def test_the_fix_mends_a_hole_beside_the_front(x: float, y: float, front: float) -> None:
    near = ground(bar_outline(heel=20.0), holes=(hole(x, y, 6.0),), front_lean_deg=front)
    for found in told(near):
        moved = dataclasses.replace(near, holes=(hole(x - number(found), y, 6.0),))
        assert found.code == "clear-strip"
        assert told(moved) == ()


@given(st.floats(-7.0, -3.1), st.floats(-80.0, -30.0), st.floats(2.0, 4.0))
@draws(25)
def test_the_fix_mends_a_narrow_rim(y: float, x: float, d: float) -> None:
    near = bar(hole(x, y, d))
    for found in told(near):
        moved = dataclasses.replace(near, holes=(hole(x, y - number(found), d),))
        assert found.code in {"rim", "edge-distance"}
        assert found.code not in {f.code for f in told(moved)}


@pytest.mark.parametrize(("code", "other"), [("web", "rim"), ("rim", "web")])
def test_a_limit_by_the_thickness_names_the_rule_that_gave_it(code: str, other: str) -> None:
    # 1.5 times 4 mm of stock ask for 6 mm, more than the 3 mm of the rule itself; the other rule asks for more.
    own = HoleRules(name="our own", per_thickness=1.5, edge_distance_per_diameter=0.0)
    rules = dataclasses.replace(own, rim=9.0) if other == "rim" else dataclasses.replace(own, web=9.0)
    near = {"web": (hole(-50.0, -15.0, 6.0), hole(-61.0, -15.0, 6.0)), "rim": (hole(-50.0, -8.0, 6.0),)}
    (found,) = (f for f in check_holes(bar(*near[code], rules=rules)) if f.code == code)
    assert (found.measured, found.limit) == pytest.approx((5.0, 6.0))
    assert found.source == "set by the shop: our own"
