"""The drill card: every hole once, in an order that works at a drill press, with the stacks' depths."""

from __future__ import annotations

import dataclasses
import itertools
import math
import re
from collections import Counter

import numpy as np
import pytest
import specimens
from fastened import (
    BOLT,
    CONTOURED,
    FLAT,
    GLUED,
    INCH_STANDOFF,
    LINED,
    METRIC_STANDOFF,
    PEENED,
    PIN,
    SHORT_STANDOFF,
    TUBE,
    WIDER_IN_SCALE,
    at,
    bar,
    knives,
    mixed,
)
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.curves.build import line, spline
from bladegeom.curves.flatten import flatten
from bladegeom.drilling.card import DrillCard
from bladegeom.drilling.datum import Datum, datum
from bladegeom.drilling.row import CardRow, PieceBore, point_depth
from bladegeom.drilling.tool import drill_under
from bladegeom.fasteners.hardware import Hardware
from bladegeom.fasteners.stack import lines_to_buy, stacks
from bladegeom.fasteners.stack_parts import SAW_CUT
from bladegeom.handle.parts import bare_holes
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import Outline
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.interval import give_or_take
from bladegeom.quantities.shown import caliper_length, drill_size, room_to_buy, sawn_length
from bladegeom.quantities.units import length, show_length
from bladegeom.sheets.stack_section import stack_sections

FLANKS = ("right", "left")


def wanted(knife: Knife) -> Counter[tuple[str, str, str]]:
    """Every bore that the stacks and the declared holes ask for, by hole, layer and shape."""
    out = Counter((name, "tang", "through hole") for name in knife.hole_ids)
    if knife.scales is None:
        return out
    layers = ("liner", "scale") if knife.scales.liners else ("scale",)
    for stack, flank, layer in itertools.product(stacks(knife), FLANKS, layers):
        out.update((stack.layers.name, f"{flank} {layer}", c.bore.shape) for c in stack.cuts if c.bore.layer == layer)
    for hole, flank, layer in itertools.product(bare_holes(knife), FLANKS, layers):
        name = next(n for n, o in zip(knife.hole_ids, knife.openings, strict=True) if o is hole)
        out[(name, f"{flank} {layer}", "through hole")] += 1
    return out


def made(steps: tuple[CardRow, ...]) -> Counter[tuple[str, str, str]]:
    return Counter((f.hole, f.piece, f.shape) for step in steps for f in step.makes)


def steps_of(knife: Knife) -> tuple[CardRow, ...]:
    return DrillCard(knife).steps


def tool_mm(step: CardRow) -> float:
    found = re.search(r"([0-9.]+) mm", step.tool)
    assert found, step.tool
    return float(found[1])


def where(steps: tuple[CardRow, ...], *, layer: str, shape: str = "through hole") -> list[int]:
    return [i for i, s in enumerate(steps) if any(f.piece == layer and f.shape == shape for f in s.makes)]


@given(knives())
def test_every_opening_and_every_bore_is_made_exactly_once(knife: Knife) -> None:
    assert made(steps_of(knife)) == wanted(knife)


@given(knives())
def test_no_steel_is_drilled_once_it_is_hard(knife: Knife) -> None:
    steps = steps_of(knife)
    phases = [step.phase for step in steps]
    assert phases == sorted(phases, key=["before hardening", "after hardening"].index)
    for step in steps:
        assert all((f.piece == "tang") == (step.phase == "before hardening") for f in step.makes)
    deburred = [i for i, s in enumerate(steps) if s.operation.startswith("deburr") and s.part == "tang"]
    assert len(deburred) == bool(knife.openings)
    if deburred:
        assert set(steps[deburred[0]].holes) == set(knife.hole_ids)
        assert max(where(steps, layer="tang")) < deburred[0]


@given(knives())
def test_scales_are_clamped_drilled_sunk_and_tried_in_this_order(knife: Knife) -> None:
    steps = steps_of(knife)
    if not any(step.part == "right scale" for step in steps):
        return
    clamped = {f: next(i for i, s in enumerate(steps) if s.part == f"{f} scale") for f in FLANKS}
    through = {f: where(steps, layer=f"{f} scale") for f in FLANKS}
    assert "clamp" in steps[clamped["right"]].operation
    assert clamped["right"] < min(through["right"]) <= max(through["right"]) < clamped["left"] < min(through["left"])
    sunk = [
        i for shape in ("pocket", "counterbore", "countersink") for i in where(steps, layer="left scale", shape=shape)
    ]
    assert all(i > max(through["left"]) for i in sunk)
    trial = [i for i, step in enumerate(steps) if step.operation.startswith("trial")]
    assert len(trial) == bool(knife.fasteners)
    assert all(i < trial[0] for i in sunk)
    # Only what is peened comes later: its heads would be ground off with the contour.
    last = list(range(trial[0] + 1, len(steps))) if trial else []
    peened = [fastener for fastener in knife.fasteners if fastener.hardware == PEENED]
    assert bool(last) == bool(peened)
    if last:
        order = [steps[i].operation.split()[0] for i in last]
        assert order == ["contour", "chamfer", "saw", *(["saw"] * (len(order) - 4)), "peen"]


@given(knives())
def test_depth_stops_are_those_of_the_stacks(knife: Knife) -> None:
    at_hole = {stack.layers.name: stack for stack in stacks(knife)}
    for step in steps_of(knife):
        for f in step.makes:
            if f.shape == "through hole":
                continue
            (cut,) = (c for c in at_hole[f.hole].cuts if c.bore.shape == f.shape)
            assert step.depth is not None
            assert cut.depth is not None
            start = at_hole[f.hole].numbers["seat_depth"] if f.shape == "countersink" else give_or_take(0.0, 0.0)
            # Rows are shared by what reads alike in hundredths.
            assert step.depth.nominal == pytest.approx(cut.depth.nominal - start.nominal, abs=0.01)
            assert step.depth.low == pytest.approx(cut.depth.low - start.low, abs=0.01)
            lined = knife.scales is not None and bool(knife.scales.liners)
            glued = knife.scales is not None and knife.scales.liners_glued
            assert (
                step.face
                == {
                    "pocket": "liner's inside face" if glued else "bare inside face" if lined else "inside face",
                    "counterbore": "outside face",
                    "countersink": "rim of the screw's hole, where the cutter touches",
                }[f.shape]
            )
            assert step.part == "both scales"


@given(knives())
def test_nothing_goes_through_the_hard_tang_that_is_wider_than_its_hole(knife: Knife) -> None:
    tang = dict(zip(knife.hole_ids, (o.diameter for o in knife.openings), strict=True))
    through = (
        "drill through from the mark",
        "drill a pilot through from the mark",
        "step up to size, led by the pilot",
    )
    for step in steps_of(knife):
        if "through the tang's" in step.operation or step.operation in through:
            assert all(tool_mm(step) <= tang[name] + 0.005 for name in step.holes)


def test_holes_alike_are_one_row() -> None:
    steps = steps_of(bar(at(-30.0, INCH_STANDOFF), at(-60.0, INCH_STANDOFF), at(-80.0, PIN)))
    for shape in ("pocket", "countersink"):
        (row,) = where(steps, layer="left scale", shape=shape)
        assert steps[row].holes == ("F1", "F2")
        assert {f.piece for f in steps[row].makes} == {"right scale", "left scale"}


def test_other_depths_are_other_rows() -> None:
    knife = mixed()
    steps = steps_of(bar(at(-20.0, METRIC_STANDOFF), at(-60.0, METRIC_STANDOFF), scales=CONTOURED))
    # Contoured on an even tang: the pockets are alike, the countersinks are not.
    assert len(where(steps, layer="left scale", shape="pocket")) == 1
    assert len(where(steps, layer="left scale", shape="countersink")) == 2
    assert len(stacks(knife)) == 6


def test_a_narrower_hole_in_the_scale_is_marked_no_wider_than_itself() -> None:
    steps = steps_of(bar(at(-50.0, PEENED)))
    at_mark = next(i for i, step in enumerate(steps) if step.operation.startswith("mark"))
    mark, pilot, drill = steps[at_mark : at_mark + 3]
    (tang, _, scale) = stacks(bar(at(-50.0, PEENED)))[0].layers.bores
    assert tool_mm(mark) == pytest.approx(tang.diameter, abs=0.005)
    assert tool_mm(drill) == pytest.approx(scale.diameter, abs=0.005)
    assert mark.depth is not None
    # A point of 118 degrees, so deep, is as wide as the hole.
    assert 2 * mark.depth.nominal * math.tan(math.radians(59.0)) == pytest.approx(scale.diameter)
    # A bushing there would have a wall of half a millimetre: a pilot follows the mark, and the drill the pilot.
    assert (tang.diameter - scale.diameter) / 2 < 1.0
    assert tool_mm(pilot) <= scale.diameter / 2 + 0.005
    assert not pilot.makes
    assert drill.operation == "step up to size, led by the pilot"
    assert "bushing" not in drill.note


@given(knives())
def test_no_bushing_has_a_wall_under_a_millimetre(knife: Knife) -> None:
    for step in steps_of(knife):
        for outside, inside in re.findall(r"bushing of ([0-9.]+) mm .* with a ([0-9.]+) mm .* hole", step.note):
            # Least wall of a drill bush by DIN 179, from memory: 1 mm, at bores to 1 mm.
            assert (float(outside) - float(inside)) / 2 >= 1.0 - 0.005


def test_a_wide_sleeves_hole_takes_a_bushing() -> None:
    steps = steps_of(bar(at(-50.0, INCH_STANDOFF)))
    tang, _, scale, *_ = stacks(bar(at(-50.0, INCH_STANDOFF)))[0].layers.bores
    drill = next(step for step in steps if step.operation == "drill through from the mark")
    assert f"bushing of {caliper_length(tang.diameter)} with a {caliper_length(scale.diameter)} hole" in drill.note


def test_a_pocket_takes_out_the_mark_that_is_made_through_the_liners() -> None:
    knife = bar(at(-50.0, INCH_STANDOFF), scales=LINED)
    (stack,) = stacks(knife)
    steps = steps_of(knife)
    row = steps[where(steps, layer="right liner")[0]]
    assert row.depth is not None
    into_scale = row.depth.nominal - 1.3
    assert into_scale == pytest.approx(point_depth(stack.layers.bores[0].diameter))
    assert 0 < into_scale < stack.numbers["pocket_depth"].nominal


def test_liners_whose_mark_would_stay_are_opened_apart() -> None:
    knife = bar(at(-50.0, SHORT_STANDOFF), scales=LINED)
    assert stacks(knife)[0].numbers["pocket_depth"].nominal < point_depth(stacks(knife)[0].layers.bores[0].diameter)
    steps = steps_of(knife)
    for flank in FLANKS:
        (row,) = where(steps, layer=f"{flank} liner")
        assert "apart from the scale" in steps[row].operation
        assert row > where(steps, layer=f"{flank} scale")[0]


def test_a_wider_hole_in_the_scale_is_opened_off_the_tang() -> None:
    steps = steps_of(bar(at(-50.0, WIDER_IN_SCALE)))
    (row,) = where(steps, layer="right scale")
    assert steps[row].operation == "open up, off the tang"
    assert tool_mm(steps[row]) == pytest.approx(4.5)
    assert tool_mm(steps[row - 1]) == pytest.approx(4.1)


def test_a_bolt_is_drilled_with_the_tangs_own_drill() -> None:
    steps = steps_of(bar(at(-50.0, BOLT), scales=LINED))
    (row,) = where(steps, layer="right scale")
    assert steps[row].operation == "drill through the tang's hole"
    assert PieceBore(hole="F1", piece="right liner", shape="through hole") in steps[row].makes


def test_why_no_twist_drill_makes_a_pocket() -> None:
    knife = bar(at(-50.0, INCH_STANDOFF))
    (stack,) = stacks(knife)
    steps = steps_of(knife)
    note = steps[where(steps, layer="left scale", shape="pocket")[0]].note
    pocket, hole = stack.layers.bores[0].diameter, stack.layers.bores[2].diameter
    # 0.3 d deeper, as every workshop book has it for 118 degrees.
    deeper = 0.3 * pocket
    assert f"{show_length(1.961)} deeper" in note
    assert deeper == pytest.approx(1.961, abs=0.01)
    floor = stack.numbers["floor"].nominal
    left = floor - 0.3004 * (pocket - hole)
    assert f"leave {caliper_length(left)} of the floor of {caliper_length(floor)}" in note


def test_a_thin_floor_would_be_broken_through() -> None:
    thin = bar(at(-50.0, INCH_STANDOFF), scales=dataclasses.replace(FLAT, thickness=7.0))
    assert 0 < stacks(thin)[0].numbers["floor"].nominal < 0.6
    steps = steps_of(thin)
    assert "would break through" in steps[where(steps, layer="left scale", shape="pocket")[0]].note


def test_counterbore_before_cone_and_the_cone_is_fed_from_the_holes_rim() -> None:
    knife = bar(at(-50.0, METRIC_STANDOFF))
    (stack,) = stacks(knife)
    steps = steps_of(knife)
    (row,) = where(steps, layer="left scale", shape="countersink")
    first, cone = steps[row - 1], steps[row]
    assert first.depth == stack.numbers["seat_depth"]
    assert cone.depth is not None
    # 90 degrees from 9.4 mm to 4.5 mm: half the difference of the diameters (ISO 7046, ISO 273); the drill is near 4.5.
    assert cone.depth.nominal == pytest.approx((9.4 - 4.5) / 2, abs=0.005)
    assert cone.depth.high - cone.depth.nominal == pytest.approx(0.1)
    deep = show_length(stack.numbers["countersink_depth"].nominal)
    assert f"meets the screw's hole {deep} from the outside face" in cone.note
    # Cutters from the widest head that can be measured (8.4 mm, ISO 7046) to the counterbore.
    sink = next(bore for bore in stack.layers.bores if bore.shape == "countersink")
    assert cone.tool == f"countersink 90 degrees, {show_length(8.4)} to {show_length(sink.diameter)} wide"


@pytest.mark.parametrize(("rod", "over"), [(PIN, 2.5), (TUBE, 2.5), (PEENED, 3.175)])
def test_rods_are_sawn_to_their_length(rod: Hardware, over: float) -> None:
    knife = bar(at(-50.0, rod), at(-70.0, rod), scales=LINED)
    (row,) = (step for step in steps_of(knife) if step.part == "rods" and step.operation.startswith("saw"))
    # Tang, two liners and a slab a side, and what stands out; a peened one is sawn for the finished scales.
    length = 4.0 + 2 * (1.3 + (8.0 if rod == PEENED else 8.5)) + over
    assert row.operation.startswith(f"saw to {sawn_length(length)}")
    assert row.note.startswith(f"2 to saw; stands out {show_length(over / 2)}")
    assert ("half a diameter, on each side of the finished scales" in row.note) == (rod == PEENED)


def test_a_hole_cut_by_the_shop_is_checked_and_one_to_ream_is_drilled_under_size() -> None:
    knife = bar(at(-30.0, PIN, made="cut"), at(-60.0, PIN, made="reamed"))
    steps = steps_of(knife)
    check, punch, under, ream = steps[:4]
    assert check.operation == "cut by the shop: check the diameter"
    assert check.tool.startswith("shank of #11 drill (")
    assert punch.holes == ("F2",)
    assert (under.makes, ream.operation) == ((), "ream")
    assert tool_mm(under) <= tool_mm(ream) - 0.09


def test_the_trial_tells_which_screws_go_where() -> None:
    knife = bar(at(-20.0, INCH_STANDOFF), at(-50.0, INCH_STANDOFF), at(-80.0, BOLT))
    note = next(step for step in steps_of(knife) if step.operation.startswith("trial")).note
    assert f"F1, F2: screws {stacks(knife)[0].screw.name}," in note  # type: ignore[union-attr]
    assert "F3: heads seat" in note


def test_what_the_shop_cut_needs_no_punch() -> None:
    steps = steps_of(bar(holes=(Hole(x=-50.0, y=-15.0, diameter=8.0, purpose="lightening"),), scales=None))
    assert [step.operation.split()[0] for step in steps] == ["cut", "deburr"]


def test_no_drill_goes_before_the_finest_reamer() -> None:
    with pytest.raises(ParameterError, match="made='drilled'"):
        drill_under(0.4, 0.1, ())


def test_a_knife_without_holes_has_no_rows() -> None:
    card = DrillCard(bar())
    assert not card.steps
    assert not card.places


def test_bare_steel_has_rows_for_the_steel_only() -> None:
    steps = steps_of(mixed(scales=None))
    assert {step.part for step in steps} == {"tang"}


def test_a_tapered_tang_is_shimmed_level() -> None:
    knife = bar(at(-50.0, PIN), taper=((-100.0, 2.0), (0.0, 4.0)))
    clamp = next(step for step in steps_of(knife) if step.part == "right scale")
    # From 2 mm to 4 mm thick: the thin end lies 1 mm nearer to the middle plane.
    assert f"shim the slab at the butt by {show_length(1.0)}" in clamp.note
    even = next(step for step in steps_of(bar(at(-50.0, PIN))) if step.part == "right scale")
    assert "shim" not in even.note


def test_a_slot_is_told_by_both_ends() -> None:
    knife = bar(holes=(Slot(start=(-40.0, -10.0), end=(-50.0, -12.0), diameter=5.0, purpose="lightening"),))
    a, b = DrillCard(knife).places
    assert [(p.name, p.along, p.off) for p in (a, b)] == [("L1a", 60.0, 10.0), ("L1b", 50.0, 12.0)]


def test_datum_of_a_bar_is_its_corner() -> None:
    datum_corner = datum(bar())
    assert datum_corner.side == "spine"
    np.testing.assert_allclose([datum_corner.corner, datum_corner.along], [(-100.0, 0.0), (1.0, 0.0)], atol=1e-9)
    assert datum_corner.touches == pytest.approx((0.0, 300.0))
    assert datum_corner.off == pytest.approx((0.0, -1.0))


def test_the_spines_side_serves_though_the_edges_side_is_longer() -> None:
    # Palm and spine lie 77 mm apart, butt and belly 124 mm.
    datum_corner = datum(specimens.drop_point())
    assert datum_corner.side == "spine"
    assert 70.0 < datum_corner.touches[1] - datum_corner.touches[0] < 80.0


def arched() -> Outline:
    """A spine and a handle top that bulge all along: on a straightedge they rock."""
    front = (0.0, 0.0)
    return Outline(
        edge=line((0.0, -30.0), (100.0, -30.0)),
        spine=spline([(100.0, -30.0), (80.0, -8.0), front], end_deg=180.0),
        handle_top=spline([front, (-60.0, -6.0), (-100.0, -20.0)], start_deg=180.0),
        butt=line((-100.0, -20.0), (-100.0, -30.0)),
        handle_underside=line((-100.0, -30.0), (-1.0, -30.0)),
        choil=line((-1.0, -30.0), (0.0, -30.0)),
    )


def test_a_spine_that_rocks_gives_way_to_the_edges_side() -> None:
    datum_corner = datum(specimens.ground(arched()))
    assert datum_corner.side == "edge"
    assert datum_corner.measure(-50.0, -12.0) == pytest.approx((50.0, 18.0))


@pytest.mark.parametrize("knife", [specimens.drop_point(), specimens.petty(), specimens.chef(), specimens.recurve()])
def test_the_outline_lies_in_the_corner_and_touches_where_it_says(knife: Knife) -> None:
    datum_corner = datum(knife)
    along, off = np.array([datum_corner.measure(x, y) for x, y in flatten(knife.outline.loop, 1e-7).tolist()]).T
    # A straightedge lies along the border where it touches: a border drawn coarser touches elsewhere by millimetres.
    assert off.min() > -2e-6
    assert along.min() == pytest.approx(0.0, abs=2e-6)
    for touch in datum_corner.touches:
        near = np.abs(along - touch) < 8.0
        assert along[near][off[near].argmin()] == pytest.approx(touch, abs=0.25)
        assert off[near].min() == pytest.approx(0.0, abs=2e-6)
    assert off[along.argmin()] == pytest.approx(datum_corner.touches_square, abs=0.25)
    assert datum_corner.touches[1] - datum_corner.touches[0] > 0.25 * (along.max() - along.min())


def back(datum_corner: Datum, along: float, off: float) -> tuple[float, float]:
    """The place of the design at two distances from the corner, reckoned the other way round."""
    x, y = np.array(datum_corner.corner) + along * np.array(datum_corner.along) + off * np.array(datum_corner.off)
    return float(x), float(y)


@given(st.floats(-200.0, 300.0), st.floats(-60.0, 60.0))
def test_places_go_there_and_back(x: float, y: float) -> None:
    for knife in (specimens.drop_point(), specimens.chef(), specimens.ground(arched())):
        datum_corner = datum(knife)
        assert back(datum_corner, *datum_corner.measure(x, y)) == pytest.approx((x, y), abs=1e-9)


@given(knives())
def test_every_place_leads_back_to_its_hole(knife: Knife) -> None:
    card = DrillCard(knife)
    ends = {(round(x, 6), round(y, 6)) for o in knife.openings for x, y in o.axis.tolist()}
    found = [back(card.datum, place.along, place.off) for place in card.places]
    assert {(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in found} == {(x + 0.0, y + 0.0) for x, y in ends}
    assert all(place.along > 0 and place.off > 0 for place in card.places)


def leaf() -> Outline:
    """Round on both sides."""
    front = (0.0, 0.0)
    return Outline(
        edge=spline([(0.0, -32.0), (60.0, -27.0), (100.0, -15.0)], start_deg=0.0),
        spine=spline([(100.0, -15.0), (60.0, -5.0), front], end_deg=180.0),
        handle_top=spline([front, (-60.0, -5.0), (-100.0, -15.0)], start_deg=180.0),
        butt=line((-100.0, -15.0), (-100.0, -16.0)),
        handle_underside=spline([(-100.0, -16.0), (-60.0, -27.0), (-2.0, -32.0)], end_deg=0.0),
        choil=line((-2.0, -32.0), (0.0, -32.0)),
    )


def test_a_blank_that_can_rock_is_said_to() -> None:
    assert not any("rock" in words for words in DrillCard(mixed()).datum_words)
    assert any("rock" in words for words in DrillCard(specimens.ground(leaf())).datum_words)


def test_a_head_that_stands_as_high_as_the_slab_needs_no_counterbore() -> None:
    # Nothing to sand off, and the head level with the scale.
    flush = dataclasses.replace(INCH_STANDOFF, recess=0.0)
    knife = bar(at(-50.0, flush), scales=dataclasses.replace(FLAT, sanding=0.0))
    (stack,) = stacks(knife)
    assert stack.numbers["seat_depth"].nominal == pytest.approx(0.0)
    steps = steps_of(knife)
    assert not [step for step in steps if step.tool.startswith("counterbore")]
    (row,) = where(steps, layer="left scale", shape="countersink")
    assert steps[row].depth == stack.numbers["countersink_depth"]
    assert steps[row].tool.endswith("or more wide")


def row_of(knife: Knife, start: str) -> CardRow:
    return next(step for step in steps_of(knife) if step.operation.startswith(start))


def test_liners_come_off_before_pockets_and_both_depths_are_told() -> None:
    knife = bar(at(-50.0, INCH_STANDOFF), scales=LINED)
    steps = steps_of(knife)
    off = next(i for i, step in enumerate(steps) if step.operation.startswith("take the liners off"))
    (pocket,) = where(steps, layer="left scale", shape="pocket")
    assert max(where(steps, layer="left scale")) < off < pocket
    assert steps[pocket].face == "bare inside face"
    deep = stacks(knife)[0].numbers["pocket_depth"].nominal
    # 0.8 and 0.5 mm of liner lie on the scale.
    assert f"with them on, set {show_length(deep + 1.3)}" in steps[pocket].note
    assert "iners" not in row_of(bar(at(-50.0, INCH_STANDOFF)), "sink the pocket").note


def test_slabs_are_brought_to_thickness_before_anything_is_drilled_in_them() -> None:
    knife = bar(at(-50.0, BOLT))
    hard = [step for step in steps_of(knife) if "scale" in step.part]
    assert hard[0].operation == f"thickness both slabs to {show_length(8.5)}, within {show_length(0.1)}"
    assert "every depth from the outside face" in hard[0].note
    assert "outside" not in row_of(bar(at(-50.0, PIN)), "thickness").note


def test_burrs_come_off_the_scales_before_they_are_tried() -> None:
    for hardware, times in ((PIN, 1), (BOLT, 2)):
        steps = steps_of(bar(at(-50.0, hardware)))
        rows = [i for i, s in enumerate(steps) if s.part == "both scales" and "deburr" in s.operation]
        trial = next(i for i, step in enumerate(steps) if step.operation.startswith("trial"))
        assert len(rows) == times
        assert max(where(steps, layer="left scale")) < rows[0] <= rows[-1] < trial


def test_a_peened_rod_is_sawn_for_the_finished_scales_and_peened_last() -> None:
    knife = bar(at(-50.0, PEENED), scales=CONTOURED)
    contour, chamfer, saw, peen = steps_of(knife)[-4:]
    assert [row.operation.split()[0] for row in (contour, chamfer, saw, peen)] == ["contour", "chamfer", "saw", "peen"]
    (stack,) = stacks(knife)
    # Half a diameter of 1/8 in stands out at each end.
    assert stack.numbers["cut_length"].nominal == pytest.approx(stack.numbers["length"].nominal + 3.175)


def test_hardware_is_brought_to_length() -> None:
    cut = dataclasses.replace(INCH_STANDOFF, screw_length=8.1)
    steps = steps_of(bar(at(-20.0, INCH_STANDOFF), at(-50.0, cut), at(-80.0, BOLT)))
    told = [(s.part, s.holes, s.operation) for s in steps if s.part in ("standoffs", "screws", "bolts")]
    within = show_length(0.1)
    assert told == [
        ("standoffs", ("F1",), f"face the sleeve to {show_length(12.7)}, within {within}"),
        ("standoffs", ("F2",), f"face the sleeve to {show_length(12.7)}, within {within}"),
        ("screws", ("F2",), f"cut to {show_length(8.1)} over all, within {show_length(0.5)}"),
        ("bolts", ("F3",), f"face the shoulders to {show_length(9.0)}, within {within}"),
    ]


def test_what_to_buy_adds_up() -> None:
    knife = bar(at(-10.0, INCH_STANDOFF), at(-25.0, INCH_STANDOFF), at(-40.0, BOLT), at(-60.0, PIN), at(-80.0, PIN))
    sleeves, screws, bolts, rod = lines_to_buy(stacks(knife))
    assert sleeves.startswith("Standoffs: 2 of 304, round, tapped #6-32 right through, 6.35 mm (1/4 in)")
    name = stacks(knife)[0].screw.name  # type: ignore[union-attr]
    assert screws == f"Screws: 4 of 304, #6-32 x {name} over all, countersunk 82 degrees, ASME B18.6.3."
    assert bolts.startswith("Shouldered bolts: 1 pairs of 304, #6-32")
    # Tang, two slabs and 2.5 mm, twice, and a saw cut each.
    assert rod.startswith(
        f"Rod of C26000, {show_length(4.7625)} in diameter: {room_to_buy(2 * (23.5 + SAW_CUT))} in all"
    )
    assert f"2 of {sawn_length(23.5)}" in rod


def test_what_others_cut_is_checked_and_not_drilled_through() -> None:
    knife = bar(at(-50.0, PIN, made="cut"))
    assert [step.checks for step in steps_of(knife)[:2]] == [True, False]


def test_a_reamed_hole_names_its_drill_in_the_table_too() -> None:
    knife = bar(at(-60.0, PIN, made="reamed"))
    (place,) = DrillCard(knife).places
    under = next(step for step in steps_of(knife) if "under size" in step.operation)
    assert place.drill == f"{under.tool}, then reamer {show_length(place.diameter)}"


def test_the_shops_own_drill_keeps_its_name() -> None:
    own = Drill(name="long K", series="letter", diameter=4.87, source="the shop", confidence="high")
    knife = bar(at(-60.0, PIN))
    knife = dataclasses.replace(knife, shop=dataclasses.replace(knife.shop, drills=(own, *knife.shop.drills)))
    knife = dataclasses.replace(knife, fasteners=(at(-60.0, dataclasses.replace(PIN, tang_hole=own)),))
    assert DrillCard(knife).places[0].drill.startswith("long K drill (")
    assert any(step.tool.startswith("long K drill (") for step in steps_of(knife))


def test_a_cut_hole_that_no_drill_fits_is_marked_with_a_punch() -> None:
    odd = dataclasses.replace(PIN, tang_hole=4.91)
    steps = steps_of(bar(at(-50.0, odd, made="cut")))
    assert steps[0].tool == f"caliper, {show_length(4.91)}"
    mark = next(step for step in steps if step.operation.startswith("mark"))
    assert mark.tool.startswith("transfer punch")
    assert mark.depth is None
    drilled = next(step for step in steps_of(bar(at(-50.0, odd))) if step.operation.startswith("mark"))
    assert drilled.tool.startswith("4.91 mm drill (")


def test_an_odd_bare_hole_is_drilled_below_size_and_filed() -> None:
    knife = bar(holes=(Hole(x=-50.0, y=-15.0, diameter=7.77, purpose="lanyard"),))
    row = row_of(knife, "drill through the tang's hole, then file")
    assert 7.5 < tool_mm(row) < 7.77
    assert "No drill of 7.77 mm" in row.note


def test_rims_are_broken_to_a_width_that_reads_as_no_tool() -> None:
    row = row_of(bar(at(-50.0, PIN)), "deburr both faces, break the rims 0.30 to 0.50 mm (0.012 to 0.020 in) wide")
    assert "0.3" not in row.tool


def test_tools_that_bore_flat_exist() -> None:
    knife = bar(at(-50.0, INCH_STANDOFF))
    row = row_of(knife, "sink the pocket")
    bore = next(bore for bore in stacks(knife)[0].layers.bores if bore.shape == "pocket")
    assert row.tool.startswith(f"{drill_size(bore.drill)}, ground flat; or an end mill")
    assert show_length(6.35) in row.tool


def test_no_floor_is_said_to_be_none() -> None:
    gone = bar(at(-50.0, INCH_STANDOFF), scales=dataclasses.replace(FLAT, thickness=6.0))
    assert stacks(gone)[0].numbers["floor"].nominal < 0
    note = row_of(gone, "sink the pocket").note
    assert "There is no floor" in note
    assert "break through" not in note


def test_how_the_loose_scale_of_a_tapered_tang_lies() -> None:
    # From 4 mm to 2 mm over 100 mm: the inside leans 1 mm in 100.
    gentle = bar(at(-50.0, INCH_STANDOFF), taper=((-100.0, 2.0), (0.0, 4.0)))
    assert f"leans {0.01 * 6.5278:.2f} mm across" in row_of(gentle, "sink the pocket").note
    # From 1 mm to 4 mm: 1.5 mm in 100 is 0.14 mm across the bolt's head, more than a depth may stray.
    steep = bar(at(-50.0, BOLT), taper=((-100.0, 1.0), (0.0, 4.0)))
    assert f"shim the scale at the handle front by {show_length(1.5)}" in row_of(steep, "counterbore").note
    assert "Tapered" not in row_of(bar(at(-50.0, BOLT)), "counterbore").note


def test_liners_that_are_glued_on_never_come_off() -> None:
    many: tuple[Hardware, ...] = (INCH_STANDOFF, SHORT_STANDOFF, PIN, BOLT)
    knife = bar(*(at(-10.0 - 15.0 * i, hardware) for i, hardware in enumerate(many)))
    steps = steps_of(dataclasses.replace(knife, scales=GLUED))
    told = " ".join(f"{step.operation} {step.note}" for step in steps)
    for words in ("take the liners off", "Liners off", "apart from the scale", "on liners too"):
        assert words not in told
    glued = next(i for i, step in enumerate(steps) if step.operation.startswith("glue the liners"))
    assert glued < min(where(steps, layer="right scale"))
    opened = [steps[i] for i in where(steps, layer="right liner")]
    (pocket,) = (step for step in opened if step.holes == ("F1",))
    assert pocket.operation.startswith("sink the pocket")
    # Half of 12.7 mm and 0.5 mm, less half the tang: from the liner's face, as the stop stands on it.
    assert pocket.depth is not None
    assert pocket.depth.nominal == pytest.approx(6.35 + 0.25 - 2.0)
    # The short one's pocket is sunk through the liners too; none of them is drilled apart.
    loose = steps_of(dataclasses.replace(knife, scales=LINED))
    assert any("take the liners off" in step.operation for step in loose)


def test_a_sleeve_that_ends_within_glued_liners_opens_them_to_the_scale() -> None:
    ends = dataclasses.replace(SHORT_STANDOFF, length=5.5)
    knife = bar(at(-50.0, ends), scales=GLUED)
    assert stacks(knife)[0].numbers["pocket_depth"].nominal == 0.0
    steps = steps_of(knife)
    assert made(steps) == wanted(knife)
    (row,) = where(steps, layer="right liner")
    depth = steps[row].depth
    assert depth is not None
    assert depth.nominal == pytest.approx(1.3)
    assert steps[row].face == "liner's inside face"


def test_glued_liners_that_are_not_there_mean_nothing() -> None:
    """A lever takes the liners away and leaves the rest as it is declared."""
    knife = bar(at(-50.0, INCH_STANDOFF))
    glued = dataclasses.replace(knife, scales=dataclasses.replace(FLAT, liners_glued=True))
    assert steps_of(glued) == steps_of(knife)


def depths(steps: tuple[CardRow, ...], *words: str) -> list[float]:
    return sorted(s.depth.nominal for s in steps if s.depth is not None and s.operation.startswith(words))


@given(st.floats(1.5, 3.99), st.lists(st.floats(-95.0, -5.0), min_size=2, max_size=5), st.booleans())
def test_no_two_steps_differ_by_less_than_a_stop_can_be_set(thin: float, places: list[float], bolts: bool) -> None:  # noqa: FBT001
    hardware = BOLT if bolts else METRIC_STANDOFF
    knife = bar(*(at(x, hardware) for x in places), scales=CONTOURED, taper=((-100.0, thin), (0.0, 4.0)))
    for words in ("sink the pocket", "counterbore"):
        told = depths(steps_of(knife), words)
        assert all(b - a > 0.05 - 1e-6 for a, b in itertools.pairwise(told)), told


def test_pockets_a_hundredth_apart_are_one_step_and_one_section() -> None:
    # The tang is 0.02 mm thinner 20 mm farther back.
    knife = bar(at(-20.0, METRIC_STANDOFF), at(-40.0, METRIC_STANDOFF), taper=((-100.0, 3.9), (0.0, 4.0)))
    assert len(where(steps_of(knife), layer="left scale", shape="pocket")) == 1
    assert len(list(stack_sections(stacks(knife), 150.0))) == 1
    far = bar(at(-20.0, METRIC_STANDOFF), at(-90.0, METRIC_STANDOFF), taper=((-100.0, 3.0), (0.0, 4.0)))
    assert len(where(steps_of(far), layer="left scale", shape="pocket")) == 2
    assert len(list(stack_sections(stacks(far), 150.0))) == 2


def test_rods_that_nobody_saws_apart_are_one_step_and_one_line_to_buy() -> None:
    knife = bar(at(-20.0, PIN), at(-40.0, PIN), taper=((-100.0, 3.9), (0.0, 4.0)))
    (saw,) = (step for step in steps_of(knife) if step.operation.startswith("saw to"))
    longest = max(stack.numbers["cut_length"].nominal for stack in stacks(knife))
    assert saw.operation.startswith(f"saw to {sawn_length(longest)}")
    assert f"for 2 of {sawn_length(longest)}" in lines_to_buy(stacks(knife))[0]


def test_the_hard_tang_is_measured_before_any_depth_is_set() -> None:
    steps = steps_of(bar(at(-20.0, INCH_STANDOFF), at(-50.0, BOLT), at(-80.0, PIN), taper=((-100.0, 3.0), (0.0, 4.0))))
    (at_row,) = (i for i, step in enumerate(steps) if step.operation.startswith("measure the thickness"))
    row = steps[at_row]
    assert (row.part, row.phase, row.holes) == ("tang", "after hardening", ("F1", "F2"))
    # Tapered by 1 mm in 100.
    assert f"F1 {show_length(3.8)}, F2 {show_length(3.5)}" in row.note
    deep = [i for i, step in enumerate(steps) if step.phase == "after hardening" and step.depth is not None]
    assert at_row < min(deep)
    assert not any("measure the thickness" in step.operation for step in steps_of(bar(at(-80.0, PIN))))
    base = bar(at(-50.0, BOLT))
    steps = steps_of(dataclasses.replace(base, stock=dataclasses.replace(base.stock, thickness=length("5/32 in"))))
    (told,) = (step.note for step in steps if step.operation.startswith("measure the thickness"))
    assert "F1 3.969 mm (5/32 in)" in told
