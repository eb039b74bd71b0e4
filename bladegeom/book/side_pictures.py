"""Pictures of steps that show the knife from its right side: template, cutting, drilling, mark, hardness, scales."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.book.section_pictures import STOP, stop_picture
from bladegeom.book.sketch import (
    DASHED,
    PICTURE,
    brought,
    fitting,
    rectangle,
    rings,
    shape,
    span_across,
    spot,
    stroke,
    words,
)
from bladegeom.drawing.drawing import CUT_PEN, THIN_PEN, Anchor, Drawing, Item, Path, Pen
from bladegeom.drawing.type_sizes import FINISHED_PEN, HEAVY_PEN, LEADING, TEXT
from bladegeom.handle.scale_blank import cut_out
from bladegeom.knife.knife import Knife
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.shown import rule_length, scribed_length
from bladegeom.workshop.blade_work import marks_of
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route

_OUTSIDE: Final = 4.0
"""By so much the saw stays outside in the picture, mm of the knife: more than it is, so that it is seen."""


def template_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """A sheet with both bars, and the blade on it whose length is measured."""
    knife = work.knife
    x0, y0, x1, y1 = knife.outline.bounds
    by = fitting((x0, y0, x1, y1), PICTURE - 18.0, 14.0)
    height = (y1 - y0) * by + 22.0
    yield rectangle(0.0, 0.0, PICTURE, height)
    yield from _bar((12.0, 2.5), (34.0, 2.5))
    yield words(36.0, 1.6, "100 mm", "start")
    yield from _bar((5.0, 5.0), (5.0, height - 3.0))
    left, low = 11.0 - by * x0, 16.5 - by * y0
    yield shape(brought(knife.outline.loop, by).moved(left, low))
    yield from span_across(11.0, 11.0 + by * (x1 - x0), 13.5, "length, glued on")


def _bar(start: tuple[float, float], end: tuple[float, float]) -> Iterator[Item]:
    """With a stroke at each end."""
    across = (0.0, 1.4) if start[1] == end[1] else (1.4, 0.0)
    yield stroke(start, end, pen=FINISHED_PEN)
    for x, y in (start, end):
        yield stroke((x - across[0], y - across[1]), (x + across[0], y + across[1]), pen=FINISHED_PEN)


def cut_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """The saw's way outside the line."""
    knife = work.knife
    outside = shapely.buffer(knife.outline.polygon, _OUTSIDE)
    by = fitting(outside.bounds, height=26.0)
    yield from rings(shapely.simplify(outside, 0.1), by, DASHED)
    yield shape(brought(knife.outline.loop, by))
    x0, low, x1, _ = outside.bounds
    yield words(by * (x0 + x1) / 2, by * low - TEXT * LEADING, "dashed: the saw; line: grind to it")
    b0, _, b1, _ = knife.outline.bounds
    yield from span_across(by * b0, by * b1, by * low - 2 * TEXT * LEADING, "overall length")


def drill_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """The holes of the steel with the names of those that hardware stands in, and where pitches are measured."""
    knife = work.knife
    part = _from(knife, knife.outline.bounds[0], min(knife.outline.bounds[2], knife.outline.heel[0] + 12.0))
    by = fitting(part.bounds, height=26.0)
    yield from rings(part, by)
    yield _front(knife, by, DASHED)
    for opening in knife.openings:
        for x, y in opening.axis.tolist():
            yield spot(by * x, by * y, max(by * opening.diameter / 2, 0.4), CUT_PEN)
    named = sorted(zip(knife.hole_ids, knife.fasteners, strict=False), key=lambda pair: pair[1].x)
    if not named:
        return
    _, low, _, top = part.bounds
    yield from _names([(by * fastener.x, name) for name, fastener in named], by * top + 1.2)
    if len(named) > 1:
        ends = [by * named[i][1].x for i in (-2, -1)]
        for x, (_, fastener) in zip(ends, named[-2:], strict=True):
            yield stroke((x, by * fastener.y), (x, by * low - 4.2))
        yield from span_across(ends[0], ends[1], by * low - 3.0, f"pitch {named[-1][0]} to {named[-2][0]}")


def _names(at: list[tuple[float, str]], y: float) -> Iterator[Item]:
    """Over their holes, as far as there is room between them."""
    free = float("-inf")
    for x, name in at:
        half = text_width(name, TEXT) / 2
        if x - half > free:
            yield words(x, y, name)
            free = x + half + 1.0


def mark_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """Where each mark's field is, from the handle front at the spine."""
    knife = work.knife
    marks = marks_of(knife)
    x0, _, x1, _ = knife.outline.bounds
    low = min(mark.x - mark.width / 2 for mark in marks) - 14.0
    high = max(mark.x + mark.width / 2 for mark in marks) + 14.0
    part = _from(knife, max(x0, min(low, -8.0)), min(x1, max(high, 12.0)))
    by = fitting(part.bounds, height=15.0)
    yield from rings(part, by)
    yield _front(knife, by, DASHED)
    for mark in marks:
        yield rectangle(
            by * (mark.x - mark.width / 2), by * (mark.y - mark.height / 2), by * mark.width, by * mark.height
        )
        x, y = by * mark.x, by * mark.y
        yield stroke((x - 1.2, y), (x + 1.2, y))
        yield stroke((x, y - 1.2), (x, y + 1.2))
    top, bottom = by * part.bounds[3], by * part.bounds[1]
    mark = marks[0]
    yield stroke((0.0, top), (0.0, top + 2.5))
    yield words(0.0, top + 3.4, "x 0, y 0", "end" if mark.x > 0 else "start")
    yield stroke((by * mark.x, by * mark.y), (by * mark.x, bottom - 3.5))
    told = f"x {scribed_length(mark.x).first}, y {scribed_length(mark.y).first}"
    yield words(by * mark.x, bottom - 3.5 - TEXT * 1.2, told, _towards(by * mark.x, told, by, part.bounds))


def _towards(x: float, text: str, by: float, box: tuple[float, float, float, float]) -> Anchor:
    """How a text is anchored so that it stays over its picture."""
    half = text_width(text, TEXT) / 2
    if x - half < by * box[0]:
        return "start"
    return "end" if x + half > by * box[2] else "middle"


def hardness_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """The two places where hardness is measured."""
    knife = work.knife
    x0, low, x1, top = knife.outline.bounds
    by = fitting((x0, low, x1, top))
    yield shape(brought(knife.outline.loop, by))
    foot, end = knife.plunge_line.start, knife.plunge_line.end
    yield stroke((by * foot[0], by * foot[1]), (by * end[0], by * end[1]), pen=DASHED)
    beside = ((foot[0] + end[0]) / 2 - 5.0, (foot[1] + end[1]) / 2)
    rows = knife.outline.mid_line
    x, y, _ = rows[np.isfinite(rows[:, 1])][len(rows) // 2].tolist()
    tang = (x, y)
    for (x, y), text, up in ((tang, "on the tang", 1.0), (beside, "beside the plunge line", -1.0)):
        yield spot(by * x, by * y, 0.9, HEAVY_PEN)
        far = by * top + 2.5 if up > 0 else by * low - 2.5
        yield stroke((by * x, by * y + 0.9 * up), (by * x, far))
        yield words(by * x, far + (0.8 if up > 0 else -TEXT * 1.1), text)


def fit_picture(work: Route, operation: Operation) -> Iterator[Item]:
    """Where the scales are sawn out, and their front, which is finished before gluing."""
    knife = work.knife
    scales = knife.scales
    if scales is None:
        return
    wide = shapely.buffer(knife.handle_region, scales.overhang)
    by = fitting(wide.bounds, PICTURE - 4.0, 24.0)
    yield shape(brought(cut_out(knife, scales), by), DASHED)
    yield shape(brought(knife.handle_loop, by), CUT_PEN)
    yield _front(knife, by, HEAVY_PEN)
    for fastener in knife.holes_for_fasteners:
        yield spot(by * fastener.x, by * fastener.y, max(by * fastener.diameter / 2, 0.4), THIN_PEN)
    x0, low, x1, top = wide.bounds
    yield words(by * x1, by * top + 2.0, "heavy: front, finished now", "end")
    over = rule_length(scales.overhang).first
    yield words(by * (x0 + x1) / 2, by * low - TEXT * LEADING, f"dashed: sawn {over} outside")
    deep = next((row for row in operation.rows if row.makes and row.depth is not None), None)
    if deep is not None:
        below = by * low - 2 * TEXT * LEADING - STOP - 3.0
        stop = Drawing(name="", items=tuple(stop_picture(deep, scales.slab_thickness, below)))
        yield from stop.moved(by * x0, 0.0).items


def _front(knife: Knife, by: float, pen: Pen) -> Path:
    """The handle front."""
    return Path(layer="NOTE", curve=brought(knife.handle_front, by), pen=pen)


def _from(knife: Knife, x0: float, x1: float) -> BaseGeometry:
    """The side view from one x to another."""
    _, low, _, top = knife.outline.bounds
    return shapely.intersection(knife.outline.polygon, shapely.box(x0, low - 1.0, x1, top + 1.0))
