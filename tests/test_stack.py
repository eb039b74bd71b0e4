"""The stack at a fastener, against sums worked out by hand and against assemblies with errors drawn at random."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Mapping
from typing import Any

import pytest
from handles import BOLT, DOME, INCH, METRIC, ROD, handle, liners
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.fasteners.bolt.kind import BoltStack, ShoulderedBolt
from bladegeom.fasteners.hardware import Hardware, Stack
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.rod import RodStack
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.standoff.kind import StandoffScrews, StandoffStack
from bladegeom.fasteners.tube import Tube
from bladegeom.knife.handle_rules import Tolerances
from bladegeom.knife.scales import Rounding
from bladegeom.quantities.interval import Interval

NEAR = 0.001
"""What a sum with four decimals can be held to, mm."""


def standoff(hardware: StandoffScrews, **how: Any) -> StandoffStack:
    (stack,) = stacks(handle(hardware, **how))
    assert isinstance(stack, StandoffStack)
    return stack


def bolted(hardware: ShoulderedBolt, **how: Any) -> BoltStack:
    (stack,) = stacks(handle(hardware, **how))
    assert isinstance(stack, BoltStack)
    return stack


def pinned(hardware: Pin | Tube, **how: Any) -> RodStack:
    (stack,) = stacks(handle(hardware, **how))
    assert isinstance(stack, RodStack)
    return stack


Expected = tuple[float, float] | tuple[float, float, float]
"""Nominal, and give or take; or least, nominal and greatest where the two sides differ."""


def assert_numbers(numbers: Mapping[str, Interval], expected: Mapping[str, Expected]) -> None:
    """All numbers there are."""
    assert set(numbers) == set(expected)
    for name, ends in expected.items():
        told = (numbers[name].low, numbers[name].nominal, numbers[name].high)
        wanted = ends if len(ends) == 3 else (ends[0] - ends[1], ends[0], ends[0] + ends[1])
        assert told == pytest.approx(wanted, abs=NEAR), name


# Worked by hand


def test_an_inch_standoff_by_hand() -> None:
    """#6-32 screws, heads of 82 degrees, in a half-inch standoff; a liner of 0.8 mm on each side.

    Half the tang 2.000, with the liner 2.800 is the scale's inside face.    +/- 0.025 + 0.030          = 0.055
    Slab 8.000 + 0.500 sanding = 8.500.                                      +/-                          0.100
    Half the sleeve 6.350.                                                   +/-                          0.050
    Pocket 6.350 + 0.250 play - 2.800 = 3.800.                               +/-                          0.100
    Scale over it 8.000 - 3.800 = 4.200.                                     +/- 0.200 contour + 0.100  = 0.300
    Widest head's top 8.000 - 0.500 recess = 7.500 over the inside face: counterbore
        8.500 - 7.500 = 1.000 under the slab's face.                         +/-                          0.100
    Cone: (0.279 in = 7.0866) less (#18 drill = 0.1695 in = 4.3053) = 2.7813;
        half of it 1.3907 over tan 41 deg = 0.8693 makes 1.5998; a setting of its own. +/-                0.100
    Countersink 1.000 + 1.5998 = 2.5998.                                     +/- 0.100 + 0.100          = 0.200
    Floor 8.500 - 2.5998 - 3.800 = 2.1002.                                   +/- 0.100 + 0.200 + 0.100  = 0.400
    Head's top 7.500, +/- 0.100 + 0.200 = 0.300; a smallest head 0.330 deeper.
    Recess 8.000 - 7.500 = 0.500.                                            +/- 0.200 + 0.300 = 0.500, + 0.330
    End play 2.800 + 3.800 - 6.350 = 0.250.                                  +/- 0.055 + 0.100 + 0.050  = 0.205
    Tip 2.800 + 7.500 - screw = 10.300 - screw.                              +/- 0.055 + 0.300 + 0.500 = 0.855, - 0.330
        3/8 in = 9.525: gap 2 x 0.775 = 1.550, in the worst case -0.820 < 0.5: too long.
        5/16 in = 7.9375: tip 2.3625, gap 4.725.                             +/- 1.710, - 0.660
    Thread: the sleeve, 12.700, slid against the far pocket's floor, 6.600 beyond the middle, reaches up to 6.100;
        6.100 - 2.3625 = 3.7375.                                 +/- 0.100 + 0.055 + 0.100 + 0.855 = 1.110, + 0.330
    """
    stack = standoff(INCH, liners=liners(0.8))
    assert stack.screw.name == "5/16 in"
    assert_numbers(
        stack.numbers,
        {
            "pocket_depth": (3.800, 0.100),
            "seat_depth": (1.000, 0.100),
            "countersink_depth": (2.5998, 0.200),
            "recess": (0.000, 0.500, 1.330),
            "floor": (2.1002, 0.400),
            "pocket_cover": (4.200, 0.300),
            "engagement": (2.6275, 3.7375, 5.1775),
            "tip_gap": (2.355, 4.725, 6.435),
            "end_play": (0.250, 0.205),
        },
    )


def test_a_metric_standoff_by_hand() -> None:
    """M4 screws of ISO 7046, 90 degrees, in a sleeve of 12 mm; scales of 9 mm, no liners.

    Inside face 2.000 +/- 0.025. Slab 9.500 +/- 0.100. Half the sleeve 6.000 +/- 0.050.
    Pocket 6.000 + 0.250 - 2.000 = 4.250 +/- 0.100; scale over it 9.000 - 4.250 = 4.750 +/- 0.300.
    Head's top 9.000 - 0.500 = 8.500 +/- 0.300, - 0.330; counterbore 9.500 - 8.500 = 1.000 +/- 0.100.
    Cone: (9.400 - 4.500) / 2, tan 45 deg being 1, = 2.450 +/- 0.100. Countersink 3.450 +/- 0.200.
    Floor 8.500 - 2.450 - 4.250 = 1.800 +/- 0.400. Recess 0.500 +/- 0.500, + 0.330.
    End play 2.000 + 4.250 - 6.000 = 0.250 +/- (0.025 + 0.100 + 0.050 = 0.175).
    Tip 2.000 + 8.500 - screw = 10.500 - screw +/- (0.025 + 0.300 + 0.500 = 0.825), - 0.330.
        10 mm: gap 1.000 - 2.310 < 0.5: too long. 8 mm: tip 2.500, gap 5.000 +/- 1.650, - 0.660.
    Thread 12.000 - (2.000 + 4.250) - 2.500 = 3.250 +/- (0.100 + 0.025 + 0.100 + 0.825 = 1.050), + 0.330.
    """
    stack = standoff(METRIC, thickness=9.0, drills="metric")
    assert stack.screw.name == "8 mm"
    assert_numbers(
        stack.numbers,
        {
            "pocket_depth": (4.250, 0.100),
            "seat_depth": (1.000, 0.100),
            "countersink_depth": (3.450, 0.200),
            "recess": (0.000, 0.500, 1.330),
            "floor": (1.800, 0.400),
            "pocket_cover": (4.750, 0.300),
            "engagement": (2.200, 3.250, 4.630),
            "tip_gap": (2.690, 5.000, 6.650),
            "end_play": (0.250, 0.175),
        },
    )


def test_a_shouldered_bolt_by_hand() -> None:
    """Two liners of 0.5 mm on each side; a dome 12 mm wide and 2 mm deep, the bolt on the middle of 25 mm.

    Inside face 2.000 + 2 x 0.500 = 3.000 +/- (0.025 + 2 x 0.030 = 0.085). Slab 8.500 +/- 0.100.
    The dome's radius is (12^2 + 2^2) / (2 x 2) = 37.000. The head's rim is 12.500 - 4.750 = 7.750 from the border,
        12.000 - 7.750 = 4.250 down the arc: 37.000 - sqrt(1369 - 18.0625) = 37.000 - 36.7551 = 0.2449 is gone there.
    Lowest of the face over the head 8.000 - 0.2449 = 7.7551 +/- 0.200; highest 8.000 +/- 0.200.
    Seat 7.7551 - 1.200 = 6.5551; counterbore 8.500 - 6.5551 = 1.9449 +/- 0.100.
    Floor 8.500 - 1.9449 = 6.5551 +/- (0.100 + 0.100 = 0.200).
    Left of the head 7.7551 - 6.5551 = 1.200 +/- 0.400.
    Head over the highest 6.5551 + 4.000 - 8.000 = 2.5551 +/- (0.400 + 0.100 = 0.500).
    Grip 2 x (3.000 + 6.5551) = 19.1102 +/- 2 x (0.085 + 0.200) = 0.570.
    Gap 19.1102 - 2 x 9.500 = 0.1102 +/- (0.570 + 2 x 0.100 = 0.770).
    Thread 5.000 - 0.1102 = 4.8898 +/- (0.770 + 0.100 = 0.870).
    Stud's end to the bottom of a hole as deep 0.1102 + 5.000 - 5.000 = 0.1102 +/- (0.770 + 2 x 0.100 = 0.970).
    Over that hole 1.200 + 9.500 - 5.000 = 5.700 +/- (0.400 + 2 x 0.100 = 0.600).
    """
    stack = bolted(BOLT, liners=liners(0.5, 0.5), rounding=DOME)
    assert_numbers(
        stack.numbers,
        {
            "counterbore_depth": (1.9449, 0.100),
            "floor": (6.5551, 0.200),
            "head_left": (1.200, 0.400),
            "head_cover": (2.5551, 0.500),
            "grip": (19.1102, 0.570),
            "shoulder_gap": (0.1102, 0.770),
            "engagement": (4.8898, 0.870),
            "stud_room": (0.1102, 0.970),
            "tap_end": (5.700, 0.600),
        },
    )


def test_a_pin_on_a_contoured_scale_by_hand() -> None:
    """6 mm from the border of a dome, over a liner of 0.8 mm on a tang of 4 mm.

    Highest of the face is over the rim towards the middle, 6.000 + 2.38125 = 8.38125 from the border:
        12.000 - 8.38125 = 3.61875 down the arc, 37.000 - sqrt(1369 - 13.0954) = 0.1774 gone, 7.8226 left.
    Finished length 2 x (2.000 + 0.800 + 7.8226) = 21.2452 +/- 2 x (0.055 + 0.200) = 0.510.
    Cut off 2 x (2.800 + 8.500) + 2.500 = 25.100 +/- 2 x (0.055 + 0.100) = 0.310.
    """
    stack = pinned(ROD, at=(-40.0, -6.0), liners=liners(0.8), rounding=DOME)
    assert_numbers(stack.numbers, {"length": (21.2452, 0.510), "cut_length": (25.100, 0.310)})


def test_a_tube_on_a_tapered_tang_by_hand() -> None:
    """At x -40 of a tang that runs from 2 mm at x -120 to 4 mm at x 0; the scale follows the taper.

    Tang 2 + 2 x 80 / 120 = 3.3333, half of it 1.6667; it gains 1/120 of a mm each mm on each side.
    Highest of the face over the tube's front rim: 8.000 + 3.175 / 120 = 8.0265.
    Finished length 2 x (1.6667 + 8.0265) = 19.3862 +/- 2 x (0.025 + 0.200) = 0.450.
    Cut off 2 x (1.6667 + 8.500) + 2.500 = 22.8333 +/- 2 x (0.025 + 0.100) = 0.250.
    """
    tube = Tube(metal="304", outside=6.35, inside=4.8)
    stack = pinned(tube, taper=((-120.0, 2.0), (0.0, 4.0)))
    assert_numbers(stack.numbers, {"length": (19.3862, 0.450), "cut_length": (22.8333, 0.250)})


def test_a_peened_pin_is_cut_half_a_diameter_longer_at_each_end() -> None:
    # It is peened on the finished scales: 2 x (2.000 + 8.000) + 2 x 0.5 x 4.7625 = 24.7625
    peened = dataclasses.replace(ROD, peened=True)
    assert pinned(peened).cut_length.nominal == pytest.approx(24.7625, abs=NEAR)


def test_a_sleeve_wider_than_its_head_is_covered_to_its_rim() -> None:
    """A sleeve of 12.5 mm in a hole of 12.7 mm: its rim is 12.500 - 6.350 = 6.150 mm from the border of the dome.

    5.850 down the arc: 37.000 - sqrt(1369 - 34.2225) = 0.4654 is gone there, 7.5346 is left; the pocket takes
    8.100 + 0.250 - 2.000 = 6.350 of it: 1.1846 +/- (0.200 contour + 0.100).
    """
    stack = standoff(StandoffScrews(thread="#2-56", diameter=12.5, length=16.2), rounding=DOME)
    told = stack.pocket_cover
    assert (told.low, told.nominal, told.high) == pytest.approx((0.8846, 1.1846, 1.4846), abs=NEAR)


def test_a_standoff_follows_the_taper_at_its_own_place() -> None:
    # Half the tang at x -90 is (2 + 2 x 30 / 120) / 2 = 1.25, at x -30 (2 + 2 x 90 / 120) / 2 = 1.75.
    taper = ((-120.0, 2.0), (0.0, 4.0))
    rear, front = (standoff(INCH, taper=taper, at=(x, -12.5)) for x in (-90.0, -30.0))
    assert rear.pocket_depth.nominal == pytest.approx(6.35 + 0.25 - 1.25, abs=NEAR)
    assert front.pocket_depth.nominal == pytest.approx(6.35 + 0.25 - 1.75, abs=NEAR)


# Errors drawn at random against the interval

Part = dict[str, float]
Error = Callable[[str, float], float]
"""Of a cause by name, which may stray so far to either side."""


def assembled(stack: Stack, error: Error) -> Part:
    """What a caliper would find on one handle as it came out; told of side A where the sides differ.

    The causes are those at the bench: each layer, each setting of a depth stop, each part that is bought, each face
    that is shaped.
    """
    shapers = {RodStack: rod_as_it_came_out, BoltStack: bolt_as_it_came_out, StandoffStack: standoff_as_it_came_out}
    t, scales = stack.layers.knife.shop.tolerances, stack.layers.knife.scales
    assert scales is not None
    tang = 2 * stack.layers.tang.nominal + error("tang", t.tang)
    inside, slab, worn = {"tang": tang / 2}, {}, {}
    for side in "AB":
        liner = sum(sheet.thickness + error(f"liner {i} {side}", t.liner) for i, sheet in enumerate(scales.liners))
        inside[side] = tang / 2 + liner
        slab[side] = scales.slab_thickness + error(f"slab {side}", t.slab)
        worn[side] = error(f"contour {side}", t.contour)
    return shapers[type(stack)](stack, error, inside, slab, worn)


def finished(stack: Stack, diameter: float) -> tuple[float, float]:
    """Lowest and highest of the scale's finished face over a disc, above its inside face."""
    face, fastener = stack.layers.knife.scale_face, stack.layers.fastener
    assert face is not None
    low, high = face.over_disc(fastener.x, fastener.y, diameter / 2)
    base = stack.layers.inside.nominal
    return low - base, high - base


def rod_as_it_came_out(stack: Any, error: Error, inside: Part, slab: Part, worn: Part) -> Part:  # noqa: ARG001
    high = finished(stack, stack.hardware.width)[1]
    sawn = sum(inside[side] + slab[side] for side in "AB")
    return {"length": sum(inside[side] + high + worn[side] for side in "AB"), "cut_length": sawn + 2.5}


def bolt_as_it_came_out(stack: Any, error: Error, inside: Part, slab: Part, worn: Part) -> Part:
    """Side A has the tapped half, side B the stud."""
    bolt, t = stack.hardware, stack.layers.knife.shop.tolerances
    low, high = finished(stack, bolt.head_diameter)
    stop = slab_nominal(stack) - (low - bolt.head_left)
    seat = {side: slab[side] - stop - error(f"counterbore {side}", t.depth_stop) for side in "AB"}
    shoulder = {side: bolt.shoulder_length + error(f"shoulder {side}", t.sleeve) for side in "AB"}
    head = bolt.head_height + error("head A", t.sleeve)
    stud, tapped = (bolt.stud_length + error(name, t.sleeve) for name in ("stud", "tapped hole"))
    grip = sum(inside[side] + seat[side] for side in "AB")
    gap = grip - shoulder["A"] - shoulder["B"]
    return {
        "floor": seat["A"],
        "head_left": low + worn["A"] - seat["A"],
        "head_cover": seat["A"] + head - high - worn["A"],
        "grip": grip,
        "shoulder_gap": gap,
        "engagement": stud - gap,
        "stud_room": tapped - (stud - gap),
        "tap_end": (low + worn["A"]) - (seat["A"] - shoulder["A"] + tapped),
    }


def standoff_as_it_came_out(stack: Any, error: Error, inside: Part, slab: Part, worn: Part) -> Part:
    item, screw, t = stack.hardware, stack.screw.length, stack.layers.knife.shop.tolerances
    head, tang = item.screw_head, stack.layers.inside.nominal
    glued = stack.layers.knife.scales.liners_glued
    low, bores = finished(stack, head.sharp_diameter)[0], stack.layers.bores
    cone = (head.sharp_diameter - bores[2].diameter) / 2 / math.tan(math.radians(head.angle_deg / 2))
    sleeve = item.length + error("sleeve", t.sleeve)
    deep = (item.length + item.pocket_play) / 2 - tang
    stop = slab_nominal(stack) - (low - item.recess)
    pocket, end, narrow, top, tip = {}, {}, {}, {}, {}
    for side in "AB":
        strays = error(f"pocket {side}", t.depth_stop) if deep > 0 else 0.0
        if glued and deep > 0:
            # The stop stands on the liner, which the pocket goes through: how thick that is does not matter to it.
            end[side] = inside["tang"] + deep + stack.layers.liner.nominal + strays
            pocket[side] = max(end[side] - inside[side], 0.0)
        else:
            pocket[side] = max(deep + strays, 0.0) if deep > 0 else 0.0
            end[side] = inside[side] + pocket[side]
        counterbore = stop + (error(f"counterbore {side}", t.depth_stop) if stop > 0.005 else 0.0)
        narrow[side] = slab[side] - counterbore - cone - error(f"cone {side}", t.depth_stop)
        # A head narrower than the widest falls deeper into the same cone, never less deep.
        top[side] = narrow[side] + cone - max(error(f"head {side}", t.head), 0.0)
        tip[side] = inside[side] + top[side] - screw - error(f"screw {side}", t.screw)
    # The sleeve lies on the floor of the far pocket.
    upper_end = sleeve - end["B"]
    return {
        "pocket_depth": pocket["A"],
        "countersink_depth": slab["A"] - narrow["A"],
        "recess": low + worn["A"] - top["A"],
        "floor": narrow["A"] - pocket["A"],
        "pocket_cover": finished(stack, bores[3].diameter)[0] + worn["A"] - pocket["A"],
        "tip_gap": tip["A"] + tip["B"],
        "engagement": upper_end - tip["A"],
        "end_play": (end["A"] + end["B"] - sleeve) / 2,
    }


def slab_nominal(stack: Stack) -> float:
    scales = stack.layers.knife.scales
    assert scales is not None
    return scales.slab_thickness


HARDWARE: tuple[Hardware, ...] = (INCH, METRIC, BOLT, ROD, dataclasses.replace(INCH, length=4.0))
"""The last ends within tang and liners: it has no pockets."""

hows = st.fixed_dictionaries(
    {
        "tang": st.floats(2.0, 6.0),
        "thickness": st.floats(6.0, 12.0),
        "liners": st.lists(st.floats(0.3, 1.5), max_size=3).map(lambda thick: liners(*thick)),
        "liners_glued": st.booleans(),
        "rounding": st.sampled_from([(), (DOME,), (DOME, Rounding(width=2.0, depth=2.0))]),
    }
).map(lambda how: how | {"liners_glued": how["liners_glued"] and bool(how["liners"])})


@given(st.sampled_from(HARDWARE), hows, st.data())
def test_no_handle_falls_outside_the_interval(hardware: Hardware, how: dict[str, Any], data: st.DataObject) -> None:
    (stack,) = stacks(handle(hardware, **how))
    drawn: dict[str, float] = {}

    def error(name: str, by: float) -> float:
        if name not in drawn:
            drawn[name] = data.draw(st.floats(-1.0, 1.0))
        return drawn[name] * by

    for name, value in assembled(stack, error).items():
        interval = stack.numbers[name]
        assert interval.low - 1e-9 <= value <= interval.high + 1e-9, name


@given(st.sampled_from(HARDWARE), hows)
def test_both_ends_of_the_interval_are_reached(hardware: Hardware, how: dict[str, Any]) -> None:
    """All errors at their limits, each to the side that lessens the number, make its low end: each counts once."""
    (stack,) = stacks(handle(hardware, **how))
    names: set[str] = set()

    def noted(name: str, by: float) -> float:
        names.add(name)
        return 0.0 * by

    nominal = assembled(stack, noted)
    for number, at in nominal.items():
        assert stack.numbers[number].nominal == pytest.approx(at, abs=1e-9)
        moved = {name: _one_error(stack, name)[number] - at for name in names}
        ends = [_all_errors(stack, moved, side)[number] for side in (-1.0, 1.0)]
        assert ends == pytest.approx([stack.numbers[number].low, stack.numbers[number].high], abs=1e-9), number


def _one_error(stack: Stack, code: str) -> Part:
    return assembled(stack, lambda name, by: by if name == code else 0.0)


def _all_errors(stack: Stack, moved: Mapping[str, float], side: float) -> Part:
    """Each error at the limit that lessens the number (side -1), or adds to it (side 1)."""
    return assembled(stack, lambda name, by: side * math.copysign(by, moved[name]))


EXACT = Tolerances(depth_division=0.0)
NOTHING_STRAYS = Tolerances(
    tang=0, liner=0, slab=0, depth_stop=0, depth_division=0, sleeve=0, screw=0, head=0, contour=0
)


@given(st.sampled_from(HARDWARE), hows)
def test_where_nothing_strays_the_worst_case_is_the_nominal(hardware: Hardware, how: dict[str, Any]) -> None:
    (stack,) = stacks(handle(hardware, tolerances=NOTHING_STRAYS, **how))
    for value in stack.numbers.values():
        assert value.low == value.nominal == value.high


# What must never be forgotten, and which way things move


@given(st.floats(0.3, 2.0), st.floats(2.0, 6.0))
def test_liners_count_on_both_sides(thick: float, tang: float) -> None:
    """Leaving the liners out of the grip is the classic error."""
    bare, lined = (bolted(BOLT, tang=tang, liners=lining) for lining in ((), liners(thick)))
    assert lined.grip.nominal == pytest.approx(bare.grip.nominal + 2 * thick)
    assert lined.floor.nominal == pytest.approx(bare.floor.nominal)
    rod, on_liners = (pinned(ROD, tang=tang, liners=lining) for lining in ((), liners(thick)))
    assert on_liners.flush.nominal == pytest.approx(rod.flush.nominal + 2 * thick)
    assert on_liners.cut_length.nominal == pytest.approx(rod.cut_length.nominal + 2 * thick)
    screwed, over = (standoff(INCH, tang=tang, liners=lining) for lining in ((), liners(thick)))
    assert over.tip_gap(9.525).nominal == pytest.approx(screwed.tip_gap(9.525).nominal + 2 * thick)
    assert over.pocket_depth.nominal == pytest.approx(screwed.pocket_depth.nominal - thick)


@given(st.floats(2.0, 20.0), st.floats(0.0, 3.0), hows)
def test_a_longer_standoff_never_lessens_engagement(size: float, more: float, how: dict[str, Any]) -> None:
    """Also where it begins to need pockets."""
    short, long = (
        standoff(dataclasses.replace(INCH, length=length, screw_length=9.525), **how) for length in (size, size + more)
    )
    assert long.engagement(9.525).nominal >= short.engagement(9.525).nominal - 1e-9
    assert long.engagement(9.525).low >= short.engagement(9.525).low - INCH_STEP


INCH_STEP = 0.1 + 1e-9
"""A pocket that was not there before brings the depth stop's error with it, mm."""


@given(st.floats(0.0, 3.0), st.floats(0.0, 1.0), hows)
def test_a_deeper_recess_thins_the_floor_and_brings_the_tips_together(
    recess: float, more: float, how: dict[str, Any]
) -> None:
    shallow, deep = (standoff(dataclasses.replace(INCH, recess=depth), **how) for depth in (recess, recess + more))
    assert deep.floor.nominal == pytest.approx(shallow.floor.nominal - more)
    assert deep.recess.nominal == pytest.approx(shallow.recess.nominal + more)
    assert deep.tip_gap(9.525).nominal == pytest.approx(shallow.tip_gap(9.525).nominal - 2 * more)
    assert deep.engagement(9.525).nominal == pytest.approx(shallow.engagement(9.525).nominal + more)


@given(st.sampled_from((INCH, METRIC)), hows)
def test_screws_are_the_longest_that_keep_the_tips_apart(hardware: StandoffScrews, how: dict[str, Any]) -> None:
    stack = standoff(hardware, **how)
    least = stack.layers.knife.handle_rules.tip_gap
    longer = [length for length in hardware.lengths if length.length > stack.screw.length]
    assert stack.screw in hardware.lengths
    assert all(stack.tip_gap(length.length).low < least for length in longer)
    if stack.screw != hardware.lengths[0]:
        assert stack.tip_gap(stack.screw.length).low >= least


def test_screws_that_are_asked_for_are_taken() -> None:
    assert standoff(dataclasses.replace(INCH, screw_length="1/2 in")).screw.name == "1/2 in"
    odd = standoff(dataclasses.replace(INCH, screw_length=9.0)).screw
    assert (odd.length, odd.source) == (9.0, "asked for")


@given(st.floats(1.0, 14.0), hows)
def test_scales_close_over_any_standoff_as_drawn(size: float, how: dict[str, Any]) -> None:
    stack = standoff(dataclasses.replace(INCH, length=size), **how)
    assert stack.end_play.nominal >= INCH.pocket_play / 2 - 1e-9
    shapes = [cut.bore.shape for cut in stack.cuts]
    assert ("pocket" in shapes) == (stack.pocket_depth.nominal > 0)


@given(st.floats(0.2, 3.5), hows)
def test_a_bolt_is_sunk_by_what_is_to_be_left_of_its_head(left: float, how: dict[str, Any]) -> None:
    stack = bolted(dataclasses.replace(BOLT, head_left=left), **how)
    assert stack.head_left.nominal == pytest.approx(left)
    assert stack.grip.nominal == pytest.approx(2 * (stack.layers.inside.nominal + stack.floor.nominal))
    assert stack.engagement.nominal + stack.shoulder_gap.nominal == pytest.approx(BOLT.stud_length)


def test_depths_count_from_the_face_that_the_bit_enters() -> None:
    faces = {cut.bore.shape: (cut.face, cut.depth) for cut in standoff(INCH).cuts}
    assert faces["pocket"][0] == "inside"
    assert faces["countersink"][0] == "outside"
    assert faces["through hole"] == (None, None)
    bolt = {cut.bore.shape: cut for cut in bolted(BOLT).cuts}
    assert bolt["counterbore"].face == "outside"


@given(st.floats(0.0, 2.0))
def test_a_thicker_slab_to_sand_off_deepens_the_countersink_and_nothing_else(sanding: float) -> None:
    plain, rough = standoff(INCH, sanding=0.0), standoff(INCH, sanding=sanding)
    assert rough.countersink_depth.nominal == pytest.approx(plain.countersink_depth.nominal + sanding)
    for name in ("floor", "recess", "tip_gap", "engagement", "pocket_depth"):
        assert rough.numbers[name].nominal == pytest.approx(plain.numbers[name].nominal)


def test_a_pocket_through_a_glued_liner_is_told_from_the_liners_face() -> None:
    loose, glued = (standoff(INCH, liners=liners(0.8), liners_glued=glued) for glued in (False, True))
    # Half of 12.7 mm and of 0.5 mm play, less half the tang, and the liner where it is off.
    assert glued.pocket_stop.nominal == pytest.approx(6.35 + 0.25 - 2.0)
    assert loose.pocket_stop.nominal == pytest.approx(6.35 + 0.25 - 2.0 - 0.8)
    assert glued.numbers["pocket_depth"].nominal == pytest.approx(loose.numbers["pocket_depth"].nominal)
    # Stop 0.1, half of tang and sleeve 0.05 each, and 0.03 of the liner where the stop does not stand on it.
    strays = [stack.end_play.high - stack.end_play.nominal for stack in (loose, glued)]
    assert strays == pytest.approx([0.1 + 0.025 + 0.05 + 0.03, 0.1 + 0.025 + 0.05])


@given(st.sampled_from(HARDWARE), hows)
def test_depths_are_what_a_stop_can_be_set_to_and_on_the_safe_side(hardware: Hardware, how: dict[str, Any]) -> None:
    (fine,), (told,) = (stacks(handle(hardware, tolerances=t, **how)) for t in (EXACT, Tolerances()))
    for name in {"pocket_stop", "seat_depth", "counterbore_depth"} & set(dir(told)):
        depth, exact = getattr(told, name), getattr(fine, name)
        assert -1e-6 < depth.nominal - exact.nominal < 0.05 + 1e-6
        if abs(depth.nominal - exact.nominal) > 1e-9:
            assert depth.nominal / 0.05 == pytest.approx(round(depth.nominal / 0.05), abs=1e-6)
    for name in {"recess", "end_play", "head_left"} & set(told.numbers):
        assert told.numbers[name].nominal >= fine.numbers[name].nominal - 1e-6
