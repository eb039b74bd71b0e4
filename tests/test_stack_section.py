"""Sections through stacks: regions with closed forms, dimensions that are the stacks' numbers, one page a stack."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
import shapely
from fastened import (
    BOLT,
    CONTOURED,
    FLAT,
    HARDWARE,
    INCH_STANDOFF,
    LINED,
    METRIC_STANDOFF,
    PEENED,
    PIN,
    TUBE,
    Taper,
    at,
    bar,
    knives,
    mixed,
)
from hypothesis import given

from bladegeom.drawing.dimension import Dimension, dimension_rows
from bladegeom.drawing.drawing import THIN_PEN, Drawing, Label, Path
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.section_shapes import mirrored
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_words import number_words
from bladegeom.fasteners.standoff.kind import StandoffStack
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Rounding, Scales
from bladegeom.quantities.units import show_both, show_mm
from bladegeom.sheets.stack_dimensions import dimensions
from bladegeom.sheets.stack_section import WIDEST, stack_section, stack_sections
from bladegeom.sheets.stack_shapes import StackShapes

TAPERED = ((-95.0, 2.0), (-5.0, 4.0))
ROOM = 145.0


def one(kind: str, *, y: float = -15.0, scales: Scales = LINED, taper: Taper = ()) -> Stack:
    (stack,) = stacks(bar(at(-50.0, HARDWARE[kind], y=y), scales=scales, taper=taper))
    return stack


KINDS = pytest.mark.parametrize("kind", list(HARDWARE))
PLACES = pytest.mark.parametrize(
    ("scales", "taper", "y"),
    [(FLAT, (), -15.0), (CONTOURED, TAPERED, -15.0), (CONTOURED, (), -21.0)],
    ids=["flat", "tapered", "near the border"],
)


@KINDS
@PLACES
def test_dimensions_are_the_stacks_numbers(kind: str, scales: Scales, taper: Taper, y: float) -> None:
    stack = one(kind, y=y, scales=scales, taper=taper)
    drawn = {d.name: d.value for d in itertools.chain(*dimensions(StackShapes(stack)))}
    if isinstance(stack, StandoffStack):
        assert drawn["pocket_cover"] == pytest.approx(stack.pocket_cover.nominal, abs=1e-9)
    for name, number in stack.numbers.items():
        if abs(number.nominal) > 1e-6:
            assert drawn[name] == pytest.approx(number.nominal, abs=1e-9), name


@given(knives())
def test_dimensions_of_any_stack_are_its_numbers(knife: Knife) -> None:
    for stack in stacks(knife) if knife.scales else ():
        for dimension in itertools.chain(*dimensions(StackShapes(stack))):
            if dimension.name in stack.numbers:
                assert dimension.value == pytest.approx(stack.numbers[dimension.name].nominal, abs=1e-9)


@KINDS
def test_dimension_lines_are_drawn_to_scale_with_their_text_on_the_row(kind: str) -> None:
    stack = one(kind)
    items = list(stack_section(stack, 4))
    texts = {label.text: label for label in items if isinstance(label, Label)}
    level = [i.curve for i in items if isinstance(i, Path) and i.pen == THIN_PEN and len(i.curve) == 1]
    for dimension in itertools.chain(*dimensions(StackShapes(stack))):
        label = texts[dimension.text]
        ends = sorted((4 * dimension.low, 4 * dimension.high))
        on_row = [c for c in level if abs(c.start[1] - label.y - 0.8) < 1e-9 and c.end[1] == c.start[1]]
        assert [(c.start[0], c.end[0]) for c in on_row] == [pytest.approx(tuple(ends))]
        assert label.x > ends[1]


def test_regions_of_a_flat_standoff_have_closed_forms() -> None:
    stack = one("inch standoff", scales=FLAT)
    shapes = StackShapes(stack)
    low, high = shapes.window
    tall, numbers = high - low, {name: v.nominal for name, v in stack.numbers.items()}
    tang, _, hole, pocket, sink = (bore.diameter for bore in stack.layers.bores)
    wide = INCH_STANDOFF.screw_head.sharp_diameter
    assert shapes.tang.area == pytest.approx(4.0 * (tall - tang))
    cone = numbers["countersink_depth"] - numbers["seat_depth"]
    bored = hole * 8.5 + (pocket - hole) * numbers["pocket_depth"] + (sink - hole) * numbers["seat_depth"]
    assert shapes.slab.area == pytest.approx(8.5 * tall - bored - (wide - hole) * cone / 2)
    # Contouring takes half a millimetre off, as wide as the scale is there.
    assert shapes.slab.area - shapes.scale.area == pytest.approx(0.5 * (tall - sink))
    (sleeve,) = shapes.section.hatched
    thread = INCH_STANDOFF.screw
    shank = min(INCH_STANDOFF.length, INCH_STANDOFF.length - numbers["tip_gap"])
    full = INCH_STANDOFF.length * INCH_STANDOFF.diameter
    assert sleeve.area == pytest.approx(full - shank * thread.major - numbers["tip_gap"] * thread.minor)


def test_regions_of_a_tube_have_closed_forms() -> None:
    shapes = StackShapes(one("tube", scales=FLAT))
    (tube,) = shapes.section.hatched
    assert tube.area == pytest.approx((4.0 + 2 * 8.0) * (6.35 - 4.8))
    assert StackShapes(one("pin", scales=FLAT)).section.plain[0].area == pytest.approx(20.0 * 4.7625)


def test_liners_lie_on_the_tang() -> None:
    shapes = StackShapes(one("pin", taper=TAPERED))
    # Half way from 2 to 4 mm.
    half = 1.5
    lows = sorted(liner.bounds[0] for liner in shapes.liners if liner.bounds[0] > 0)
    assert lows == pytest.approx([half, half + 0.8])
    assert shapes.scale.bounds[0] == pytest.approx(half + 1.3)


@KINDS
@PLACES
def test_the_contour_is_the_finished_face(kind: str, scales: Scales, taper: Taper, y: float) -> None:
    stack = one(kind, y=y, scales=scales, taper=taper)
    shapes, face = StackShapes(stack), stack.layers.knife.scale_face
    assert face is not None
    for across in np.linspace(*shapes.window, 7)[1:-1].tolist():
        (height,) = face.height(np.array([-50.0]), np.array([y + across]))
        ray = shapely.LineString([(0.0, across), (100.0, across)])
        assert shapes.envelope.intersection(ray).bounds[2] == pytest.approx(float(height), abs=1e-3)


@KINDS
def test_hardware_stands_in_its_holes(kind: str) -> None:
    shapes = StackShapes(one(kind))
    solid = shapely.union_all([shapes.tang, *shapes.liners, shapes.scale, mirrored(shapes.scale)])
    for metal in (*shapes.section.plain, *shapes.section.hatched):
        assert metal.area > 1.0
        assert metal.intersection(solid).area < 0.01
    for a, b in itertools.combinations((*shapes.section.plain, *shapes.section.hatched), 2):
        assert a.intersection(b).area < 0.01


def test_the_drawing_reaches_the_border_where_that_is_near() -> None:
    near, far = StackShapes(one("pin", y=-21.0)), StackShapes(one("pin"))
    # The bar's underside lies at y = -30, 9 mm below the pin; 15 mm below the other one.
    assert near.window == pytest.approx((-9.0, PIN.bores(())[0].diameter / 2 + 4.0))
    assert far.window[0] == -far.window[1]
    assert near.open_ends.bounds[1] == pytest.approx(near.window[1], abs=1e-3)


def titles(*fasteners: Fastener, scales: Scales | None = FLAT, taper: Taper = ()) -> list[str]:
    knife = bar(*fasteners, scales=scales, taper=taper)
    return [title for title, _, _ in stack_sections(stacks(knife), ROOM)]


def test_stacks_that_are_alike_are_drawn_once() -> None:
    two = (at(-30.0, INCH_STANDOFF), at(-60.0, INCH_STANDOFF))
    assert titles(*two) == ["Section through F1, F2 (drawn at F1): standoff and screws, 4:1"]
    assert len(titles(*two, taper=TAPERED)) == 2
    assert len(titles(*two, scales=CONTOURED)) == 2
    assert len(titles(*two, at(-80.0, PIN))) == 2
    # Both stand on the flat of the same scale; the rounding is in view of the one only.
    rounded = dataclasses.replace(LINED, rounding=Rounding(width=10.0, depth=2.5))
    assert len(titles(at(-30.0, PIN), at(-60.0, PIN, y=-17.4), scales=rounded)) == 2
    # On a flat scale the border is no part of the stack.
    assert len(titles(at(-30.0, PIN), at(-60.0, PIN, y=-25.0))) == 1
    assert titles(*two, scales=None) == []


def test_every_fastener_is_in_one_section() -> None:
    knife = mixed()
    told = [title.split(":")[0].removeprefix("Section through ") for title, _, _ in stack_sections(stacks(knife), ROOM)]
    assert sorted(name for names in told for name in names.split(", ")) == ["F1", "F2", "F3", "F4", "F5", "T1"]


@pytest.mark.parametrize(("thickness", "scale"), [(8.0, 4), (16.0, 2), (40.0, 1)])
def test_the_scale_is_the_largest_that_fits(thickness: float, scale: int) -> None:
    knife = bar(at(-50.0, INCH_STANDOFF), scales=dataclasses.replace(LINED, thickness=thickness))
    ((title, _, items),) = stack_sections(stacks(knife), ROOM)
    assert title.endswith(f"{scale}:1")
    x0, y0, x1, y1 = Drawing(name="", items=tuple(items)).bounds
    assert x1 - x0 <= WIDEST
    assert y1 - y0 <= ROOM


@KINDS
def test_the_table_has_every_number_with_its_worst_case_and_limit(kind: str) -> None:
    stack = one(kind)
    texts = [i.text for i in stack_section(stack, 4) if isinstance(i, Label)]
    for name, number in stack.numbers.items():
        assert any(text.startswith(number_words(name)) for text in texts)
        assert f"{show_mm(number.low)} to {show_mm(number.high)}" in texts
        assert show_both(number.nominal) in texts
    if stack.screw:
        assert stack.screw.name in texts


@KINDS
def test_what_must_be_left_stands_beside_its_number(kind: str) -> None:
    stack = one(kind)
    labels = [i for i in stack_section(stack, 4) if isinstance(i, Label) and i.anchor == "end"]
    told = {}
    for name, words in ((name, number_words(name)) for name in stack.numbers):
        for first in (label for label in labels if label.text in (words, f"{words}, sleeve slid away")):
            row = sorted((label for label in labels if label.y == first.y), key=lambda label: label.x)
            told[name] = row[1].text, row[-1].text
    assert set(stack.numbers) <= set(told)
    if not stack.limits:
        assert "at least" not in [label.text for label in labels]
        return
    assert sorted(least for _, least in told.values() if least) == sorted(
        show_mm(limit.least) for limit in stack.limits
    )
    for one_limit in stack.limits:
        mm = one_limit.value.nominal
        assert (show_both(mm), show_mm(one_limit.least)) in told.values()


@given(knives())
def test_no_text_is_covered_whatever_the_stack(knife: Knife) -> None:
    for _, _, items in stack_sections(stacks(knife), ROOM):
        boxes = [shapely.Polygon(i.corners).buffer(-0.05) for i in items if isinstance(i, Label) and i.text]
        lines = [shapely.LineString(i.curve.pieces[:, [0, 3]].reshape(-1, 2)) for i in items if isinstance(i, Path)]
        tree = shapely.STRtree(boxes)
        assert not len(tree.query(lines, predicate="intersects").T)
        assert all(a == b for a, b in tree.query(boxes, predicate="intersects").T.tolist())


def test_hatch_lines_lie_in_the_steel_at_45_degrees() -> None:
    stack = one("pin")
    tang = shapely.affinity.scale(StackShapes(stack).tang, 4, 4, origin=(0, 0)).buffer(1e-6)
    hatch = [i.curve for i in stack_section(stack, 4) if isinstance(i, Path) and i.pen.grey == 0.35]
    assert len(hatch) > 10
    for curve in hatch:
        assert shapely.LineString([curve.start, curve.end]).within(tang)
        dx, dy = curve.end[0] - curve.start[0], curve.end[1] - curve.start[1]
        assert math.isclose(abs(dx), abs(dy), rel_tol=1e-6)


def test_a_number_below_nought_is_told_and_drawn() -> None:
    dimension = Dimension(name="floor", words="floor", low=3.0, high=2.0, start=1.0)
    assert dimension.text == "floor -1.00 (-0.039)"
    drawn = [i.curve for i in dimension_rows([dimension], 2, 10.0, 30.0) if isinstance(i, Path) and i.pen == THIN_PEN]
    assert {(c.start[0], c.end[0]) for c in drawn if c.start[1] == c.end[1]} == {(4.0, 6.0)}


def test_the_hidden_stud_reaches_into_the_other_half() -> None:
    shapes = StackShapes(one("bolt"))
    stud = shapes.dashed[-1]
    number = shapes.stack.numbers
    x0, _, x1, _ = stud.bounds
    assert x1 == pytest.approx(number["shoulder_gap"].nominal / 2)
    assert x1 - x0 == pytest.approx(BOLT.stud_length)


def test_a_rod_as_sawn_is_dashed_beyond_the_slabs() -> None:
    for kind, hardware in (("pin", PIN), ("peened", PEENED), ("tube", TUBE)):
        stack = one(kind)
        ends = shapely.union_all(StackShapes(stack).dashed).bounds
        assert ends[2] - ends[0] == pytest.approx(stack.numbers["cut_length"].nominal), hardware


def test_metric_heads_are_drawn_at_their_angle() -> None:
    stack = one("metric standoff", scales=FLAT)
    screw = StackShapes(stack).section.plain[0]
    x, y = np.array(screw.exterior.coords).T  # type: ignore[attr-defined]
    top, neck = x.max(), x[(np.abs(y) < 2.1) & (x > 0)].max()
    # 90 degrees: the cone is as deep as its radius shrinks, from 9.4 to 4 mm.
    assert top - neck == pytest.approx((9.4 - METRIC_STANDOFF.screw.major) / 2)


def test_names_of_the_layers_keep_apart_at_any_scale() -> None:
    long = dataclasses.replace(BOLT, stud_length=60.0)
    stack = stacks(bar(at(-50.0, long)))[0]
    ((title, _, _),) = stack_sections([stack], ROOM)
    assert title.endswith("1:1")
    for scale in (1, 2, 4):
        names = [i for i in stack_section(stack, scale) if isinstance(i, Label) and i.text.endswith(("scale", "tang"))]
        left, tang, right = (shapely.Polygon(label.corners) for label in names if label.anchor == "middle")
        assert left.bounds[2] + 1.0 < tang.bounds[0]
        assert tang.bounds[2] + 1.0 < right.bounds[0]


@KINDS
def test_a_column_with_nothing_in_it_is_left_out(kind: str) -> None:
    stack = one(kind)
    texts = [i.text for i in stack_section(stack, 4) if isinstance(i, Label)]
    assert ("at least" in texts) == bool(stack.limits)
