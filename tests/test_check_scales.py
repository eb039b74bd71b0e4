"""Fasteners against the border of the scales, their bores against each other, and the scales against the tang."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import numpy as np
import pytest
from handles import BOLT, DOME, INCH, METRIC, ROD, handle, liners
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_refused

from bladegeom.checks.holes import check_holes
from bladegeom.checks.scale_sizes import check_scale_sizes
from bladegeom.checks.scales import check_scales
from bladegeom.checks.stack_border import check_stack_border
from bladegeom.checks.stack_bores import check_stack_bores
from bladegeom.checks.stack_walls import check_stack_walls
from bladegeom.fasteners.hardware import Hardware
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.scale_border import steep_strip
from bladegeom.fasteners.tube import Tube
from bladegeom.holes.clearance import behind_front, towards_butt
from bladegeom.knife.finding import Finding
from bladegeom.knife.handle_rules import HandleRules, Tolerances
from bladegeom.knife.hardware.bore import chosen_drill
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.knife.scales import Rounding
from bladegeom.placing.legal_place import nearest_legal
from bladegeom.quantities.drills import drill_index
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.units import show_length

QUARTER = Rounding(width=3.0, depth=3.0)
FREE = HoleRules(rim=0.0, web=0.0, per_thickness=0.0, edge_distance_per_diameter=0.0, clear_strip=0.0)
"""The steel's own rules say nothing here."""

roundings = st.lists(
    st.tuples(st.floats(0.5, 14.0), st.floats(0.05, 1.0)).map(lambda wd: Rounding(width=wd[0], depth=wd[0] * wd[1])),
    max_size=3,
)


def border(knife: Knife) -> dict[str, Finding]:
    return {finding.code: finding for finding in check_stack_border(knife)}


def bores(knife: Knife) -> list[Finding]:
    return list(check_stack_bores(knife))


def at(hardware: Hardware, x: float, y: float, **how: Any) -> Knife:
    return dataclasses.replace(handle(hardware, at=(x, y), **how), rules=FREE)


def moved(knife: Knife, message: str) -> Knife:
    place = re.search(r"move it to \((-?[\d.]+), (-?[\d.]+)\), the nearest place that all rules allow", message)
    assert place, message
    fastener = dataclasses.replace(knife.fasteners[0], x=float(place[1]), y=float(place[2]))
    return dataclasses.replace(knife, fasteners=(fastener,))


# Where the face is steep


@given(roundings, st.floats(10.0, 80.0))
def test_the_steep_strip_ends_where_the_summed_slope_passes_the_angle(arcs: list[Rounding], slope_deg: float) -> None:
    """Against the drop itself: a hair inside the strip the chord falls more steeply, a hair beyond it less."""

    def fall(distance: float) -> float:
        ends = np.array([max(distance - 1e-6, 0.0), distance + 1e-6])
        gone = sum((np.maximum(arc.drop(ends), 0.0) for arc in arcs), np.zeros(2))
        return math.degrees(math.atan2(gone[0] - gone[1], ends[1] - ends[0]))

    strip = steep_strip(arcs, slope_deg)
    assert 0 <= strip <= max((arc.width for arc in arcs), default=0.0)
    assert fall(strip + 1e-4) < slope_deg + 1e-2
    if strip > 1e-3:
        assert fall(strip - 1e-4) > slope_deg - 1e-2


def steep_width(rounding: Rounding, slope_deg: float) -> float:
    """Closed form of one arc: its normal leans by the angle where the slope is that."""
    return max(rounding.width - rounding.radius * math.sin(math.radians(slope_deg)), 0.0)


@given(roundings, st.floats(10.0, 80.0))
def test_one_arc_alone_is_steep_as_far_as_its_own_formula_says(arcs: list[Rounding], slope_deg: float) -> None:
    for arc in arcs:
        assert steep_strip((arc,), slope_deg) == pytest.approx(steep_width(arc, slope_deg), abs=1e-9)
    # On a quarter circle 45 degrees are met 1 - sin 45 radii from the border; a dome of 12 by 2 mm is 18.9 at most.
    assert steep_strip((QUARTER,), 45.0) == pytest.approx(3.0 - 3.0 * math.sqrt(0.5), abs=1e-9)
    assert steep_strip((DOME,), 19.0) == 0.0 < steep_strip((DOME,), 18.8)


def test_arcs_together_are_steep_farther_in_than_each_alone() -> None:
    both = steep_strip((DOME, QUARTER), 45.0)
    assert both > max(steep_width(DOME, 45.0), steep_width(QUARTER, 45.0)) + 0.1


def test_an_even_scale_has_no_steep_strip() -> None:
    assert steep_strip((), 45.0) == 0.0
    assert steep_strip((DOME,), 45.0) == 0.0


# Fasteners near the border


def test_a_pin_whose_rim_lies_in_the_rounding() -> None:
    """Its rim is 3.0 - 2.38 = 0.62 mm from the border, and the face is steep for 0.88 mm."""
    knife = at(ROD, -40.0, -3.0, rounding=QUARTER)
    finding = border(knife)["in-rounding"]
    assert finding.severity == "error"
    assert finding.measured == pytest.approx(3.0 - 4.7625 / 2 - 3.0 * (1 - math.sqrt(0.5)), abs=0.01)
    assert not border(moved(knife, finding.message))


def test_a_pin_too_near_to_the_rounding() -> None:
    # 1.5 x 4.80 mm asked for, 6.0 - 0.88 = 5.12 there.
    knife = at(ROD, -40.0, -6.0, rounding=QUARTER)
    finding = border(knife)["near-border"]
    assert finding.severity == "warning"
    assert finding.measured == pytest.approx(6.0 - 3.0 * (1 - math.sqrt(0.5)), abs=0.01)
    assert finding.limit == pytest.approx(1.5 * knife.bores[0][-1].diameter)
    assert not border(moved(knife, finding.message))


def test_a_pin_too_near_to_the_rounded_front() -> None:
    knife = at(ROD, -7.0, -12.5, front_rounding=QUARTER)
    finding = border(knife)["near-border"]
    assert "the handle front" in finding.message
    assert not border(moved(knife, finding.message))


def test_a_head_counts_whole_and_its_hole_by_diameters() -> None:
    """A head of 9.5 mm in the middle of 25 mm is near no border: the rule goes by the hole under it."""
    assert not border(at(BOLT, -40.0, -12.5, rounding=QUARTER))
    # The hole of 6.4 mm asks for 9.7 mm from the steep strip; 5.0 mm leaves the head's rim within it.
    finding = border(at(BOLT, -40.0, -5.0, rounding=QUARTER))["in-rounding"]
    assert finding.measured == pytest.approx(5.0 - 0.8787 - 9.525 / 2, abs=0.01)


def test_where_it_cannot_be_moved_it_must_be_narrower() -> None:
    wide = Pin(rod="C26000", diameter=12.7)
    knife = at(wide, -40.0, -12.5, rounding=QUARTER)
    finding = border(knife)["near-border"]
    most = re.search(
        r"there is no room to move it: take what goes through a hole of at most ([\d.]+) mm", finding.message
    )
    assert most
    narrower = Pin(rod="C26000", diameter=float(most[1]) - 0.15, scale_hole=float(most[1]))
    assert not border(at(narrower, -40.0, -12.5, rounding=QUARTER))


def test_a_rule_of_the_shops_own_counts() -> None:
    strict = HandleRules(name="our bench", edge_diameters=3.0)
    knife = dataclasses.replace(at(ROD, -40.0, -12.5), handle_rules=strict)
    assert border(knife)["near-border"].source == "set by the shop: our bench"


# Bores that break out


def test_a_head_that_breaks_out_where_the_tangs_hole_does_not() -> None:
    """The hole of 6.4 mm stays 0.8 mm inside, the counterbore of 9.525 mm reaches 0.76 mm over the border."""
    knife = at(BOLT, -40.0, -4.0)
    finding = border(knife)["scale-bore-outside"]
    assert finding.severity == "error"
    assert finding.measured == pytest.approx(4.0 - 9.525 / 2, abs=0.001)
    assert not border(moved(knife, finding.message))


def test_a_head_that_breaks_out_at_the_handle_front() -> None:
    finding = border(at(BOLT, -4.0, -12.5))["scale-bore-outside"]
    assert "the handle front" in finding.message
    assert finding.measured == pytest.approx(4.0 - 9.525 / 2, abs=0.001)


def test_a_hole_that_breaks_out_of_the_steel_is_told_of_there_only() -> None:
    knife = at(BOLT, -40.0, -2.0)
    assert "hole-outside" in {finding.code for finding in check_holes(knife)}
    assert not border(knife)


def test_a_knife_without_scales_or_fasteners_has_no_border() -> None:
    assert not border(dataclasses.replace(at(ROD, -40.0, -3.0), scales=None))
    assert not border(dataclasses.replace(at(ROD, -40.0, -3.0), fasteners=()))


def test_a_bore_keeps_a_rim_of_scale() -> None:
    """The counterbore of 9.525 mm leaves 0.438 of 1.000 mm; the steel asks for nothing here."""
    knife = at(BOLT, -40.0, -5.2)
    finding = border(knife)["scale-rim"]
    assert (finding.severity, finding.limit) == ("error", 1.0)
    assert finding.measured == pytest.approx(5.2 - 9.525 / 2, abs=0.001)
    assert not border(moved(knife, finding.message))


def test_where_the_steel_asks_for_more_the_rim_of_scale_is_silent() -> None:
    knife = dataclasses.replace(at(BOLT, -40.0, -5.2), rules=dataclasses.replace(FREE, rim=5.0))
    assert "rim" in {finding.code for finding in check_holes(knife)}
    assert "scale-rim" not in border(knife)


@given(
    st.sampled_from((BOLT, INCH, ROD)),
    st.floats(-115.0, -3.0),
    st.floats(-22.0, -3.0),
    st.sampled_from((FREE, HoleRules())),
    st.sampled_from((-3.0, -0.5, 0.0, 2.0)),
    st.floats(0.0, 20.0),
)
def test_every_place_that_is_told_is_legal(
    hardware: Hardware, x: float, y: float, rules: HoleRules, bow: float, lean: float
) -> None:
    """By the checks themselves, on leaning fronts that bulge or are hollowed too."""
    knife = dataclasses.replace(
        handle(hardware, at=(x, y), rounding=QUARTER, front_rounding=QUARTER),
        rules=rules,
        front_bow=bow,
        front_lean_deg=lean,
    )
    place = nearest_legal(knife, 0)
    for finding in border(knife).values():
        assert bool(place) == ("move it to" in finding.message)
    if place:
        there = dataclasses.replace(knife.fasteners[0], x=place[0], y=place[1])
        good = dataclasses.replace(knife, fasteners=(there,))
        assert not border(good)
        assert not [finding for finding in check_holes(good) if finding.severity == "error"]


@given(st.floats(-8.0, 5.0), st.floats(-20.0, -5.0), st.sampled_from((-4.0, -1.0, 0.0, 3.0)), st.floats(0.0, 40.0))
def test_moving_out_of_the_clear_strip_lands_behind_it(x: float, y: float, bow: float, lean: float) -> None:
    knife = dataclasses.replace(handle(ROD, at=(x, y)), front_bow=bow, front_lean_deg=lean)
    (hole,) = knife.holes_for_fasteners
    way = towards_butt(knife, hole, 10.0)
    assume(way > 0.02)
    for more, behind in ((0.0, True), (-0.02, False)):
        there = dataclasses.replace(hole, x=x - way - more)
        rim = float(behind_front(knife, there.axis).min()) - hole.diameter / 2
        assert (rim >= 10.0 - 1e-6) == behind
    told = next(finding.message for finding in check_holes(knife) if finding.code == "clear-strip")
    assert f"move it {show_length(way)} towards the butt" in told


# Walls


@pytest.mark.parametrize(
    ("hardware", "wall"),
    [
        (Tube(metal="304", outside=6.0, inside=5.2), 0.4),
        (dataclasses.replace(INCH, diameter=4.3), (4.3 - 3.5052) / 2),
        (dataclasses.replace(BOLT, shoulder_diameter=5.0), (5.0 - 4.1656) / 2),
    ],
)
def test_walls_that_are_too_thin(hardware: Hardware, wall: float) -> None:
    (finding,) = check_stack_walls(handle(hardware))
    assert (finding.code, finding.limit) == ("thin-wall", 0.5)
    assert finding.measured == pytest.approx(wall)
    least = re.search(r"make its (\w+) at least ([\d.]+) mm", finding.message)
    assert least
    new: dict[str, Any] = {least[1]: float(least[2]) + 0.005}
    assert not list(check_stack_walls(handle(dataclasses.replace(hardware, **new))))


def test_hardware_as_it_is_sold_has_walls() -> None:
    for hardware in (ROD, INCH, METRIC, BOLT):
        assert not list(check_stack_walls(handle(hardware)))


# Sizes in another unit, and swells


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ({"thickness": 0.3125}, "did you mean inches? thickness=inch(0.3125)"),
        ({"thickness": 312.5}, "thickness=inch(0.3125)"),
        ({"sanding": 20.0}, "sanding=inch(0.02)"),
        ({"overhang": 60.0}, "overhang=inch(0.06)"),
        ({"liners": liners(30.0)}, "thickness=inch(0.03)"),
    ],
)
def test_sizes_that_were_meant_in_inches(sizes: dict[str, Any], words: str) -> None:
    (finding,) = check_scale_sizes(handle(ROD, **sizes))
    assert (finding.code, finding.severity) == ("scale-size", "warning")
    assert finding.message.endswith(words)


def test_a_swell_that_lies_off_the_handle() -> None:
    (finding,) = check_scale_sizes(handle(ROD, swell=((-300.0, 6.0), (-200.0, 7.0))))
    assert (finding.code, finding.measured, finding.limit) == ("swell-off", 7.0, 8.0)
    assert "all stations of the swell lie off the handle" in finding.message


def test_a_swell_that_never_reaches_the_thickness() -> None:
    (finding,) = check_scale_sizes(handle(ROD, swell=((-110.0, 6.0), (-60.0, 7.5), (-10.0, 6.5))))
    assert finding.measured == pytest.approx(7.5)
    assert finding.x == pytest.approx(-60.0)
    assert "say thickness=7.50" in finding.message
    assert not list(check_scale_sizes(handle(ROD, thickness=7.5, swell=((-110.0, 6.0), (-60.0, 7.5), (-10.0, 6.5)))))


def test_a_lesser_thickness_is_not_told_where_a_station_off_the_handle_forbids_it() -> None:
    (finding,) = check_scale_sizes(handle(ROD, swell=((-60.0, 6.0), (100.0, 8.0))))
    assert "say thickness" not in finding.message
    assert "give a station (x, 8)" in finding.message


def test_scales_without_fasteners_are_glued_only() -> None:
    (finding,) = check_scale_sizes(dataclasses.replace(handle(ROD), fasteners=()))
    assert (finding.code, finding.severity) == ("glued-only", "note")
    assert not list(check_scale_sizes(handle(ROD)))


@pytest.mark.parametrize("angle", [0.0, 4.9, 85.1, 90.0])
def test_a_slope_that_is_no_rounding_is_refused(angle: float) -> None:
    with pytest.raises(ParameterError) as caught:
        HandleRules(steep_deg=angle)
    assert_refused(caught.value, "handle rules: steep_deg | 5 | 85")


# Play of rods


def drilled(hole: str, size: float | str) -> Pin:
    holes: dict[str, Any] = {hole: size}
    return dataclasses.replace(ROD, **holes)


@pytest.mark.parametrize(
    ("hole", "size", "code"),
    [
        ("tang_hole", 4.7625, "tang-play"),
        ("tang_hole", 5.2, "tang-play"),
        ("scale_hole", 5.0, "scale-play"),
    ],
)
def test_a_rod_with_too_little_or_too_much_play(hole: str, size: float, code: str) -> None:
    knife = handle(drilled(hole, size))
    (finding,) = [candidate for candidate in bores(knife) if candidate.code != "no-drill"]
    assert (finding.code, finding.severity) == (code, "warning")
    assert finding.measured == pytest.approx(size - 4.7625)
    better = re.search(rf"\({hole}='(.*?)'\)", finding.message)
    assert better
    assert not bores(handle(drilled(hole, better[1])))


def test_a_peened_rod_wants_more_room_in_the_tang() -> None:
    """25 to 50 % of 4.7625 mm; a hole with room for glue alone would let the swelling lift the scales."""
    tight = Pin(rod="C26000", diameter=4.7625, peened=True, tang_hole=4.9)
    (finding,) = [candidate for candidate in bores(handle(tight)) if candidate.code == "tang-play"]
    assert finding.limit == pytest.approx(0.25 * 4.7625)
    assert "less than" in finding.message


def test_a_tube_is_glued() -> None:
    loose = Tube(metal="304", outside=6.35, inside=4.8, tang_hole=7.0)
    assert [finding.code for finding in bores(handle(loose))] == ["tang-play"]
    assert not bores(handle(Tube(metal="304", outside=6.35, inside=4.8)))


def test_rods_alike_are_told_of_once() -> None:
    knife = handle(dataclasses.replace(ROD, tang_hole=4.7625))
    fastener = knife.fasteners[0]
    three = dataclasses.replace(
        knife, fasteners=tuple(dataclasses.replace(fastener, x=x) for x in (-90.0, -60.0, -30.0))
    )
    assert [found.code for found in bores(three)] == ["tang-play"]


# Drills


def test_a_drill_that_the_scales_need_is_named_once() -> None:
    """A shop with a single drill lacks #18 for the screws and 7.1 mm for the heads: each told once for two alike."""
    shop = Shop(drills=(chosen_drill("1/2"),))
    knife = dataclasses.replace(handle(INCH), shop=shop)
    fastener = knife.fasteners[0]
    two = dataclasses.replace(knife, fasteners=(fastener, dataclasses.replace(fastener, x=-80.0)))
    lacking = bores(two)
    assert [(found.code, found.part) for found in lacking] == [("no-drill", "scales")] * 2
    names = [re.search(r"get a (.+?) drill", found.message) for found in lacking]
    assert [name and name[1] for name in names] == ["#18", "7.1 mm"]
    assert not bores(dataclasses.replace(two, shop=Shop(drills=(*shop.drills, *map(chosen_drill, ("#18", "7.1 mm"))))))


def test_a_drill_that_the_tang_asks_for_is_not_asked_for_twice() -> None:
    shop = Shop(drills=drill_index("fractional"))
    knife = dataclasses.replace(handle(dataclasses.replace(METRIC, diameter=7.6)), shop=shop)
    in_tang = [finding.measured for finding in check_holes(knife) if finding.code == "no-drill"]
    assert in_tang
    assert not set(in_tang) & {finding.measured for finding in bores(knife)}
    (cut,) = (dataclasses.replace(fastener, made="cut") for fastener in knife.fasteners)
    by_waterjet = dataclasses.replace(knife, fasteners=(cut,))
    assert set(in_tang) <= {finding.measured for finding in bores(by_waterjet)}


# Webs between neighbours


def neighbours(apart: float, *, rules: HoleRules = FREE, hardware: Hardware = BOLT) -> Knife:
    knife = dataclasses.replace(handle(hardware), rules=rules)
    first = knife.fasteners[0]
    return dataclasses.replace(knife, fasteners=(first, dataclasses.replace(first, x=first.x - apart)))


def test_heads_too_near_to_each_other_in_the_scale() -> None:
    # 10.0 between the centres of counterbores of 9.525 mm
    knife = neighbours(10.0)
    (finding,) = [candidate for candidate in bores(knife) if candidate.code == "scale-web"]
    assert finding.severity == "error"
    assert finding.measured == pytest.approx(0.475)
    way = re.search(r"move them ([\d.]+) mm", finding.message)
    assert way
    assert not bores(neighbours(10.0 + float(way[1])))
    assert (
        "runs into" in next(candidate for candidate in bores(neighbours(9.0)) if candidate.code == "scale-web").message
    )


def test_where_the_steel_asks_for_more_the_scale_is_silent() -> None:
    """Heads leave 0.475 of 1.0 mm, the tang's holes of 6.4 mm 3.6 of 5.0 mm: moving them for the tang does for both."""
    strict = dataclasses.replace(FREE, web=5.0)
    assert "web" in {finding.code for finding in check_holes(neighbours(10.0, rules=strict))}
    assert not bores(neighbours(10.0, rules=strict))


def test_a_bare_hole_through_the_scales_is_a_neighbour_too() -> None:
    knife = dataclasses.replace(handle(BOLT), rules=FREE)
    thong = Hole(x=-48.0, y=-12.5, diameter=6.0, purpose="lanyard", made="cut")
    (finding,) = [
        candidate for candidate in bores(dataclasses.replace(knife, holes=(thong,))) if candidate.code == "scale-web"
    ]
    assert finding.measured == pytest.approx(8.0 - 9.525 / 2 - 3.0)
    light = dataclasses.replace(thong, purpose="lightening")
    assert not [
        candidate for candidate in bores(dataclasses.replace(knife, holes=(light,))) if candidate.code == "scale-web"
    ]


# The scales themselves


def test_a_taper_that_bends_under_the_scales_leaves_a_gap() -> None:
    """Half thicknesses 1.0, 1.8 and 2.0 at x -120, -60 and 0: the middle stands 0.3 over the chord of the ends.

    A slab that lies on the middle, as steep as that chord, gapes by 0.3 at both ends; tilted, by more at one.
    """
    knife = handle(ROD, taper=((-120.0, 2.0), (-60.0, 3.6), (0.0, 4.0)))
    (finding,) = check_scales(knife)
    assert (finding.code, finding.severity) == ("scale-gap", "warning")
    assert finding.measured == pytest.approx(0.3, abs=1e-6)
    ends = re.search(r"from ([\d.]+) mm .*? at x (-?[\d.]+) mm to ([\d.]+) mm .*? at x (-?[\d.]+) mm", finding.message)
    assert ends
    rear, x0, front, x1 = (float(text) for text in ends.groups())
    assert not list(check_scales(handle(ROD, taper=((x0, rear), (x1, front)))))


def test_a_hollow_taper_gapes_in_the_middle() -> None:
    # The middle lies 0.3 under the chord.
    (finding,) = check_scales(handle(ROD, taper=((-120.0, 2.0), (-60.0, 2.4), (0.0, 4.0))))
    assert finding.measured == pytest.approx(0.3, abs=1e-6)
    assert finding.x == pytest.approx(-60.0)


@given(st.floats(-110.0, -10.0), st.floats(2.0, 4.0))
def test_the_gap_is_that_of_the_best_way_to_lie(x: float, thick: float) -> None:
    """Against a search over slopes."""
    taper = ((-120.0, 2.0), (x, thick), (0.0, 4.0))
    stations = np.array(taper)
    slopes = np.linspace(-0.1, 0.1, 20001)
    left = stations[:, 1] / 2 - slopes[:, None] * stations[:, 0]
    best = float(np.ptp(left, axis=1).min())
    told = [finding.measured for finding in check_scales(handle(ROD, taper=taper))]
    if told:
        assert told == [pytest.approx(best, abs=2e-3)]
    else:
        assert best < 0.05 + 2e-3


def test_a_taper_that_runs_straight_under_the_scales_is_silent() -> None:
    assert not list(check_scales(handle(ROD, taper=((-120.0, 2.0), (0.0, 4.0)))))
    assert not list(check_scales(handle(ROD, taper=((20.0, 4.0), (100.0, 2.0)))))
    assert not list(check_scales(dataclasses.replace(handle(ROD, taper=((-60.0, 2.0), (0.0, 4.0))), scales=None)))


def test_roundings_wider_than_half_the_handle_meet_in_a_ridge() -> None:
    """25 mm high, arcs of 16 mm width and 3 mm depth: radius (256 + 9) / 6 = 44.1667; the middle lies 3.5 mm down the
    arc: 44.1667 - sqrt(1950.69 - 12.25) = 0.1389.
    """
    exact = Tolerances(contour=0.0)
    (finding,) = check_scales(handle(ROD, tolerances=exact, rounding=Rounding(width=16.0, depth=3.0)))
    assert (finding.code, finding.severity) == ("rounding-ridge", "note")
    assert "0.14 mm (0.005 in) below the flat" in finding.message
    narrower = re.search(r"up to ([\d.]+) mm .*? wide they leave a flat", finding.message)
    assert narrower
    assert not list(check_scales(handle(ROD, tolerances=exact, rounding=Rounding(width=float(narrower[1]), depth=3.0))))


def test_a_ridge_that_no_hand_can_tell_from_a_flat_is_none() -> None:
    assert not list(check_scales(handle(ROD, rounding=Rounding(width=13.0, depth=3.0))))


def test_fasteners_are_measured_from_the_arc_of_a_curved_front() -> None:
    """An arc that is hollowed by 2 mm comes 2 mm nearer to a pin in its middle."""
    knife = at(ROD, -8.5, -12.5, front_rounding=QUARTER)
    assert not border(knife)
    assert "near-border" in border(dataclasses.replace(knife, front_bow=-2.0))


def test_a_hole_declared_by_the_name_of_the_right_drill_is_silent() -> None:
    assert not bores(handle(Pin(rod="C26000", diameter=4.7625, tang_hole="#10", scale_hole="3/16")))
