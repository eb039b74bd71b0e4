"""Sections through the fasteners' axes, enlarged and dimensioned, with the worst case of every number beside them."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.affinity import scale as scaled
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.drawing.dimension import PITCH, dimension_rows
from bladegeom.drawing.drawing import CENTRE_PEN, CUT_PEN, LEADER_PEN, SMALL_TEXT, Drawing, Item, Label, Path, Pen
from bladegeom.drawing.table import table_items
from bladegeom.fasteners.alike import by_name, close, grouped
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.section_shapes import mirrored
from bladegeom.fasteners.stack_limits import Limit
from bladegeom.fasteners.stack_words import number_words
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.units import show_both, show_mm, show_units
from bladegeom.sheets.stack_dimensions import dimensions
from bladegeom.sheets.stack_shapes import StackShapes

WIDEST = 232.0
"""What a page of A4 or Letter holds beside the bars, mm."""

_SCALES = (4, 2, 1)
_DASHED = Pen(width=0.13, dashes=(1.2, 0.7))
_HATCH = Pen(width=0.08, grey=0.35)
_STEEL_PITCH, _SLEEVE_PITCH = 1.8, 1.0
"""Between hatch lines on paper, mm."""

_GAP = 5.0
"""Between section, texts and table, mm."""

Page = tuple[str, Sequence[str], Sequence[Item]]
"""What a page is called, lines above the piece, and the piece."""


def section_lines() -> tuple[str, ...]:
    """Lines over a section."""
    return (
        f"Seen from the butt, right scale to the right; {show_units()}. Dashed: slab and hardware before contouring, "
        "hidden thread. Dimensions are nominal; the table has the worst case and what must be left.",
    )


def stack_sections(stacks: Sequence[Stack], room: float) -> Iterator[Page]:
    """A page for each stack that differs from the others; none on a bare tang.

    Args:
        stacks: Of all fasteners.
        room: Height of a page under those lines, mm.
    """
    scaled = [stack for stack in stacks if stack.layers.knife.scales is not None]
    for _, kind in grouped(((stack.layers.fastener.hardware, stack.screw), stack) for stack in scaled):
        for group in close(kind, _seen, kind[0].layers.knife.shop.tolerances.told_apart):
            names = ", ".join(by_name(stack.layers.name for stack in group))
            names += f" (drawn at {group[0].layers.name})" if len(group) > 1 else ""
            scale, items = _largest(group, room)
            title = f"Section through {names}: {group[0].layers.fastener.hardware.kind}, {scale}:1"
            yield title, section_lines(), items


def _seen(stack: Stack) -> tuple[float, ...]:
    """What makes two sections look alike and read alike, mm."""
    shapes = StackShapes(stack)
    at = np.linspace(0, len(shapes.surface) - 1, _PLACES).round().astype(int)
    numbers = (v for interval in stack.numbers.values() for v in (interval.low, interval.nominal, interval.high))
    return (*numbers, shapes.inside, shapes.slab_top, *shapes.surface[at].tolist())


_PLACES = 9
"""Across the handle, at which the faces of two sections are compared."""


def _largest(group: Sequence[Stack], room: float) -> tuple[int, tuple[Item, ...]]:
    """The section in the largest scale that fits; in the smallest where none does."""
    found: tuple[int, tuple[Item, ...]] = (_SCALES[-1], ())
    for scale in _SCALES:
        items = tuple(stack_section(group[0], scale, alike=group[1:]))
        x0, y0, x1, y1 = Drawing(name="", items=items).bounds
        found = scale, items
        if x1 - x0 <= WIDEST and y1 - y0 <= room:
            break
    return found


def stack_section(stack: Stack, scale: int, *, alike: Sequence[Stack] = ()) -> Iterator[Item]:
    """One section with dimensions and table; the fastener's axis along x, the tang's middle plane at x = 0.

    Args:
        stack: Of a fastener on a knife with scales.
        scale: 4 for 4:1.
        alike: Others for which it is drawn too: the worst case is that of all of them.
    """
    shapes = StackShapes(stack)
    yield from section_regions(shapes, scale)
    above, below = dimensions(shapes)
    reach = max(*(abs(v) for dimension in (*above, *below) for v in (dimension.low, dimension.high)), shapes.slab_top)
    right, (low, high) = scale * reach + _GAP, (scale * v for v in shapes.window)
    yield from dimension_rows(above, scale, high, right)
    yield from dimension_rows(below, scale, low, right)
    yield Path(layer="NOTE", curve=line((-right + 2.0, 0.0), (right - 2.0, 0.0)), pen=CENTRE_PEN)
    y = low - (len(below) + 1) * PITCH - SMALL_TEXT
    yield from _sides(scale * (shapes.inside + shapes.slab_top) / 2, y)
    numbers = Drawing(name="", items=tuple(_numbers(shapes, alike)))
    _, bottom, _, top = numbers.bounds
    if high - low < top - bottom + 2 * _GAP:
        texts = (
            Label(layer="NOTE", x=0.0, y=0.0, text=dimension.text, height=SMALL_TEXT) for dimension in (*above, *below)
        )
        right += max(label.width for label in texts) + _GAP
    yield from numbers.moved(right, (low + high - top - bottom) / 2).items


def _sides(middle: float, y: float) -> Iterator[Label]:
    """Which layer is which, under the section: under its own layer, or as near to it as the names keep apart."""
    names = [
        Label(layer="NOTE", x=0.0, y=y, text=text, height=SMALL_TEXT, anchor="middle")
        for text in ("left scale", "tang", "right scale")
    ]
    out = max(middle, names[1].width / 2 + max(names[0].width, names[2].width) / 2 + _APART)
    for x, label in zip((-out, 0.0, out), names, strict=True):
        yield dataclasses.replace(label, x=x)


_APART = 1.5
"""Between two names, mm."""


def section_regions(
    shapes: StackShapes, scale: float, *, hatch: Pen = _HATCH, ends: Pen = LEADER_PEN
) -> Iterator[Path]:
    """Every layer and the hardware.

    Args:
        shapes: Of the stack.
        scale: 4 for 4:1.
        hatch: How metal that is cut is drawn.
        ends: How the drawing ends where the handle goes on.
    """
    yield from _lines(_hatch(shapes.tang, scale, _STEEL_PITCH, 1.0), scale, hatch)
    for region in shapes.section.hatched:
        yield from _lines(_hatch(region, scale, _SLEEVE_PITCH, -1.0), scale, hatch)
    yield from _lines(shapes.open_ends, scale, ends)
    for border in shapes.dashed:
        yield from _lines(border, scale, _DASHED)
    layers = (shapes.tang, *shapes.liners, shapes.scale, mirrored(shapes.scale))
    for region in (*layers, *shapes.section.hatched, *shapes.section.plain):
        yield from _lines(shapes.border_of(region), scale, CUT_PEN)


def _hatch(region: BaseGeometry, scale: float, pitch: float, slope: float) -> BaseGeometry:
    """Lines at 45 degrees within a region, a pitch apart on paper."""
    x0, y0, x1, y1 = region.bounds
    size = (x1 - x0) + (y1 - y0)
    step = pitch * math.sqrt(2) / scale
    first = math.ceil((y0 - size) / step) * step
    starts = np.arange(first, y1 + size, step)
    strokes = [[(x0 - 1.0, y + slope * -1.0), (x1 + 1.0, y + slope * (x1 - x0 + 1.0))] for y in starts.tolist()]
    return shapely.MultiLineString(strokes).intersection(region)


def _lines(geometry: BaseGeometry, scale: float, pen: Pen) -> Iterator[Path]:
    """Every line of a geometry, enlarged; those too short to be seen are left out."""
    large = scaled(geometry, scale, scale, origin=(0.0, 0.0))
    parts = shapely.get_parts(large)
    for part in shapely.get_parts(shapely.line_merge(shapely.multilinestrings(parts[shapely.get_type_id(parts) == 1]))):
        if part.length > _SEEN:
            places = shapely.get_coordinates(shapely.simplify(part, _STRAIGHT))
            yield Path(layer="NOTE", curve=line(*((float(x), float(y)) for x, y in places)), pen=pen)


_SEEN = 0.05
"""Shortest line that a print shows, mm on paper."""

_STRAIGHT = 1e-3
"""A line this near to a straight one is one, mm on paper."""


def _numbers(shapes: StackShapes, alike: Sequence[Stack]) -> list[Item]:
    """The table of numbers: nominal, worst case, and what must be left; its left border at x = 0."""
    stack = shapes.stack
    drawn = {dimension.name: dimension.words for dimension in (*shapes.section.above, *shapes.section.below)}
    held: dict[str, Limit] = {limit.number: limit for limit in stack.limits if limit.number}
    values = {name: _worst([each_stack.numbers[name] for each_stack in (stack, *alike)]) for name in stack.numbers}
    body = [
        [
            drawn.get(name) or number_words(name),
            show_both(value.nominal),
            f"{show_mm(value.low)} to {show_mm(value.high)}",
            show_mm(held[name].least) if name in held else "",
        ]
        for name, value in values.items()
    ]
    if stack.screw:
        body.append(["screws, length over all", stack.screw.name, "", ""])
    grid = [[show_units(), "nominal", "worst case, mm", "at least"], *body]
    return table_items(grid if held else [row[:-1] for row in grid], 0.0, 0.0)[0]


def _worst(many: Sequence[Interval]) -> Interval:
    """The first one's nominal with the worst case of all."""
    return Interval(min(interval.low for interval in many), many[0].nominal, max(interval.high for interval in many))
