"""The bar seen from the spine and from the edge, at true size: its taper, and the lines to scribe."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import CUT_PEN, SMALL_TEXT, THIN_PEN, Drawing, Item, Label, Path, Pen
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.grinding.grind_words import scribe_words
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.number_alone import alone, units_alone
from bladegeom.quantities.shown import caliper_length, rule_length, scribed_length
from bladegeom.quantities.tolerances import JOINED
from bladegeom.quantities.units import show_both

STAGE_TITLES = {"finished": "ground to size"}

_STEP = 25.0
"""Regular stations are this far apart along x, mm."""

_APART = 15.0
"""Least distance of two stations, mm: what their numbers take."""

_FROM_END = 23.0
"""And from either end, whose numbers stand beside it, mm."""

_TICK = 2.0
"""A station's line reaches this far beyond the bar, mm."""

_CHORD = 0.005
"""How true the edge is measured, mm."""

_THIN_TEXT = 1.7
"""Height of the numbers at a station, mm."""

_GAP = 7.0
"""Between two strips with their words, mm."""

_LEAST = 0.02
"""A spine thinner than the bar by less is not drawn, mm."""

_GROUND_PEN = Pen(width=0.13, dashes=(1.5, 0.8))

_SIDES = ("left face", "right face")


def spine_view(knife: Knife) -> Drawing:
    """The bar from above, and below it a strip of the edge for each stage that is ground.

    The view from above counts along x. The strips of the edge are laid out flat: as long as the edge itself.
    """
    items: list[Item] = []
    low, left = 0.0, knife.outline.bounds[0]
    for drawing in spine_strips(knife):
        x0, bottom, _, top = drawing.bounds
        items += drawing.moved(left - x0, low - top).items
        low -= top - bottom + _GAP
    return Drawing(name=f"{knife.name}, seen from the spine", items=tuple(items))


@memo
def spine_strips(knife: Knife) -> tuple[Drawing, ...]:
    """The same one by one: the bar from above, then the edge at each stage."""
    sheet = grind_sheet(knife)
    blocks = [_from_above(knife), *(_edge_strip(sheet, stage) for stage in sheet.stages if stage != "sharp")]
    return tuple(Drawing(name=f"{knife.name}, seen from the spine", items=tuple(block)) for block in blocks)


def _from_above(knife: Knife) -> list[Item]:
    """The bar with its taper, tip to the right, right face below; dashed what is ground off the spine."""
    x0, _, x1, _ = knife.outline.bounds
    # A station at the very butt is the butt, whatever the last digit of either.
    between = (at for at, _ in knife.stock.taper if x0 + JOINED < at < x1 - JOINED)
    x = np.array(sorted({x0, x1, *between}))
    half = knife.stock.half_thickness(x)
    border = _closed(np.concatenate([np.stack([x, -half], axis=1), np.stack([x, half], axis=1)[::-1]]))
    items: list[Item] = [Path(layer="CUT", curve=border, closed=True, pen=CUT_PEN)]
    items += _ground_spine(knife)
    tall = knife.stock.thickness / 2
    for at in _stations(knife):
        end = float(knife.stock.half_thickness(np.array([at]))[0])
        items.append(Path(layer="NOTE", curve=line((at, -tall - _TICK), (at, tall + _TICK)), pen=THIN_PEN))
        lines = _place(at), show_both(2 * end)
        items += _numbers(lines, at, -tall - _TICK - 0.6, (x0, x1))
    title = (
        f"Seen from the spine, tip to the right, {_SIDES[1]} below. x in {units_alone().first}, thickness of the bar "
        f"in {units_alone().text}; dashed: the spine when ground to size."
    )
    items.append(Label(layer="NOTE", x=x0, y=tall + _TICK + 1.6, text=title, height=SMALL_TEXT))
    return items


def _place(x: float) -> str:
    """A station by where it lies along the knife."""
    return f"x {alone(scribed_length(x)).first}"


def _numbers(lines: Sequence[str], at: float, top: float, within: tuple[float, float]) -> Iterator[Label]:
    """Lines under a station, kept between the ends of the bar."""
    labels = [
        Label(layer="NOTE", x=at, y=top - (i + 1) * 1.35 * _THIN_TEXT, text=text, height=_THIN_TEXT, anchor="middle")
        for i, text in enumerate(lines)
    ]
    half = max(label.width for label in labels) / 2
    x = min(max(at, within[0] + half), within[1] - half)
    for label in labels:
        yield Label(layer="NOTE", x=x, y=label.y, text=label.text, height=_THIN_TEXT, anchor="middle")


def _ground_spine(knife: Knife) -> Iterator[Item]:
    """Both faces where they meet the spine, where that is thinner than the bar."""
    x, y = knife.spine_points.T
    bar = 2 * knife.stock.half_thickness(x)
    thin = np.flatnonzero(thickness(knife, "finished", x, y) < bar - _LEAST)
    for run in np.split(thin, np.flatnonzero(np.diff(thin) > 1) + 1):
        if len(run) > 1:
            for flank, way in (("right", -1.0), ("left", 1.0)):
                z = knife.side("finished", flank).height(x[run], y[run])  # type: ignore[arg-type]  # a literal
                yield Path(layer="MARK", curve=line(*_vectors(np.stack([x[run], way * z], axis=1))), pen=_GROUND_PEN)


def _stations(knife: Knife) -> list[float]:
    """Butt, handle front, tip and the stations of the taper, and regular ones where there is room between."""
    x0, _, x1, _ = knife.outline.bounds
    kept = [x0, x1]
    regular = np.arange(np.ceil(x0 / _STEP) * _STEP, x1, _STEP).tolist()
    for at in (*(x for x, _ in knife.stock.taper if x0 < x < x1), *sorted(regular, key=abs)):
        if all(abs(at - other) >= (_APART if other not in (x0, x1) else _FROM_END) for other in kept):
            kept.append(at)
    return sorted(kept)


def _edge_strip(sheet: GrindSheet, stage: Stage) -> list[Item]:
    """The blank's edge laid out flat, heel to the left, right face above, with the two lines to scribe."""
    knife, bar = sheet.knife, sheet.knife.stock.thickness
    xy = flatten(knife.outline.edge, _CHORD)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    size = float(along[-1])
    border = line((0.0, 0.0), (size, 0.0), (size, bar), (0.0, bar), (0.0, 0.0))
    items: list[Item] = [Path(layer="CUT", curve=border, closed=True, pen=CUT_PEN)]
    places = np.unique(np.concatenate([np.arange(0.0, size, 5.0), [size]]))
    x = np.interp(places, along, xy[:, 0])
    right, left = np.array([sheet.scribe_offsets(stage, at) for at in x.tolist()]).T
    items += [
        Path(layer="MARK", curve=line(*_vectors(np.stack([places, y], axis=1))), pen=THIN_PEN)
        for y in (bar - right, left)
    ]
    for at in _regular(knife):
        s = float(np.interp(at, xy[:, 0], along))
        items.append(Path(layer="NOTE", curve=line((s, bar), (s, bar + _TICK)), pen=THIN_PEN))
        items += _numbers((_place(at),), s, bar + _TICK + 0.6 + 1.75 * _THIN_TEXT, (0.0, size))
    for i, text in enumerate(_edge_words(sheet, stage, size)):
        items.append(Label(layer="NOTE", x=0.0, y=-(i + 1) * 1.5 * SMALL_TEXT, text=text, height=SMALL_TEXT))
    return items


def _regular(knife: Knife) -> list[float]:
    """Stations along the edge that the view from above has too, mm."""
    heel, tip = knife.outline.heel[0], knife.outline.tip[0]
    return [x for x in np.arange(np.ceil(heel / _STEP) * _STEP, tip, _STEP).tolist() if heel + 1.0 < x < tip - 1.0]


def _edge_words(sheet: GrindSheet, stage: Stage, size: float) -> tuple[str, ...]:
    first = ", for the first face" if sheet.showing else ""
    full = ", before the taper is ground" if sheet.knife.stock.taper else ""
    tapered = sheet.knife.grind.only is not None and bool(sheet.knife.stock.taper)
    where = " at the heel" if tapered else ""
    stage_words = STAGE_TITLES.get(stage, sheet.knife.stock.rough_words)
    return (
        f"Edge of the blank, {stage_words}{first}: heel at the left, {_SIDES[1]} above; laid out flat, "
        f"{rule_length(size)} from heel to tip along the edge.",
        f"Scribe{where} {scribe_words(*sheet.scribe_offsets(stage))}{full}; "
        f"{caliper_length(sheet.scribed_edge(stage))} stays between the two inner lines.",
        f"{sheet.knife.name}, {revision_id(sheet.knife)}",
    )


def _closed(points: FloatArray) -> Curve:
    return line(*_vectors(np.concatenate([points, points[:1]])))


def _vectors(rows: FloatArray) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in rows]
