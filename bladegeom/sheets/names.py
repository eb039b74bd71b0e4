"""Names on the blade: spine, edge and the bevel's measures, each where nothing else stands."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from bladegeom.drawing.drawing import SMALL_TEXT, Item, Label
from bladegeom.drawing.label_placement import first_clear, ink
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import DEPTH
from bladegeom.quantities.shown import scribed_length
from bladegeom.quantities.units import show_length

_GAP = 1.2
"""Between a name and the line that it names, mm."""

_FREE = 0.4
"""Between a name and anything else, mm."""

_LEADING = 1.5 * SMALL_TEXT

_SIZES = (SMALL_TEXT, 0.8 * SMALL_TEXT, 0.65 * SMALL_TEXT)
"""Heights of the mark on the steel that are tried, mm."""

_AMPLE = 3.0
"""A place this far from all lines is as good as any, mm."""

_GRID = 2.0
"""Its places that are tried are this far apart, mm."""

_ALONG = (0.42, 0.36, 0.48, 0.3, 0.54, 0.24, 0.6, 0.18, 0.66, 0.12, 0.72, 0.8, 0.88)
"""Places from heel to tip that are tried, in this order."""

_UP = (0.45, 0.3, 0.6)
"""Places from the edge to the grind line that are tried for the bevel's measures."""

_DOWN = (0.0, 4.0, 8.0, 16.0, 32.0, 64.0)
"""Or that far below the edge, mm; the last is beyond everything else."""


def name_labels(knife: Knife, drawn: Sequence[Item]) -> tuple[Label, ...]:
    """Labels for spine, edge and bevel, clear of each other and of what is drawn already."""
    taken = shapely.union_all([ink(item) for item in drawn])
    out: list[Label] = []
    for choices in (_spine(knife), _edge(knife), _bevel(knife)):
        labels = first_clear(choices, taken, _FREE)
        taken = shapely.union_all([taken, *(ink(label) for label in labels)])
        out += labels
    return tuple(out)


def own_mark(knife: Knife, drawn: Sequence[Item], face: str) -> tuple[Label, ...]:
    """Whose piece it is and which face it shows, on the steel, so that it stays when the piece is cut out.

    The longest words and the largest letters that find a clear place, there as far from all lines as may be; none
    where not even the shortest do.
    """
    taken = shapely.union_all([ink(item) for item in drawn])
    shapely.prepare(taken)
    inner = knife.outline.polygon.buffer(-_FREE)
    shapely.prepare(inner)
    x0, y0, x1, y1 = knife.outline.bounds
    grid = np.stack(np.meshgrid(np.arange(x0, x1, _GRID), np.arange(y0, y1, _GRID)), axis=-1).reshape(-1, 2)
    grid = grid[shapely.contains_xy(inner, grid[:, 0], grid[:, 1])]
    short = ", ".join(text for text in (revision_id(knife), face) if text)
    for text in (f"{knife.name}, {short}", short):
        for size in _SIZES:
            label = Label(layer="NOTE", x=0.0, y=0.0, text=text, height=size)
            boxes = np.asarray(shapely.polygons(grid[:, None, :] + label.corners))
            within = np.flatnonzero(shapely.contains(inner, boxes))
            ample = within[~shapely.dwithin(taken, boxes[within], _AMPLE)]
            free = np.array([_AMPLE]) if ample.size else shapely.distance(taken, boxes[within])
            if free.max(initial=0.0) > _FREE:
                x, y = grid[ample[0] if ample.size else within[int(free.argmax())]].tolist()
                return (dataclasses.replace(label, x=x, y=y),)
    return ()


def _spine(knife: Knife) -> Iterator[tuple[Label, ...]]:
    for x in sorted(_places(knife), key=lambda x: abs(x - 0.75 * knife.outline.tip[0])):
        label = _written("spine", x, 0.0)
        upper, _ = _borders(knife, label)
        yield (_written("spine", x, upper + _GAP + DEPTH * SMALL_TEXT),)


def _edge(knife: Knife) -> Iterator[tuple[Label, ...]]:
    for x in _places(knife):
        _, lower = _borders(knife, _written("edge", x, 0.0))
        yield (_written("edge", x, lower - _GAP - SMALL_TEXT),)


def _bevel(knife: Knife) -> Iterator[tuple[Label, ...]]:
    """The bevel's lines on its face; below the edge where they find no room there."""
    sheet = grind_sheet(knife)
    first, lines = sheet.first, _bevel_lines(sheet)
    height = first.grind_line if first.grind_line is not None else first.reach
    for up in _UP:
        for x in _places(knife):
            point = _written("", x, 0.0)
            upper, lower = _borders(knife, point)
            middle = lower + up * min(height, upper - lower)
            yield _stacked(lines, x, middle + 0.5 + (len(lines) / 2 - 1) * _LEADING)
    for down in _DOWN:
        for x in _places(knife):
            _, lower = _borders(knife, _written(max(lines, key=len), x, 0.0))
            yield _stacked(lines, x, lower - _GAP - SMALL_TEXT - down)


def _bevel_lines(sheet: GrindSheet) -> tuple[str, ...]:
    """Height, the dotted line of the rough grind, and the edge that each face leaves."""
    grind, first = sheet.knife.grind, sheet.first
    height = first.grind_line if first.grind_line is not None else first.reach
    only = f", {grind.only} side only" if grind.only else ""
    rough = sheet.rough_stations[0].grind_line if sheet.rough_stations else None
    return (
        f"bevel {scribed_length(height).text}{only}",
        *(() if rough is None else (f"dotted: {scribed_length(rough).text} {sheet.knife.stock.rough_when}",)),
        *(
            f"edge {show_length(earlier_stage.sheet.knife.grind.edge_thickness)}, {earlier_stage.words}"
            for earlier_stage in sheet.earlier
        ),
        f"edge thickness {show_length(grind.edge_thickness)}",
    )


def _stacked(lines: Sequence[str], x: float, top: float) -> tuple[Label, ...]:
    return tuple(_written(text, x, top - i * _LEADING) for i, text in enumerate(lines))


def _places(knife: Knife) -> list[float]:
    (tip, _), (heel, _) = knife.outline.tip, knife.outline.heel
    return [heel + along * (tip - heel) for along in _ALONG]


def _borders(knife: Knife, label: Label) -> tuple[float, float]:
    """Highest and lowest steel over the length of a label."""
    upper, lower = knife.outline.tang_height(label.x + np.linspace(-0.5, 0.5, 9) * label.width)
    return float(np.nanmax(upper)), float(np.nanmin(lower))


def _written(text: str, x: float, y: float) -> Label:
    return Label(layer="NOTE", x=x, y=y, text=text, height=SMALL_TEXT, anchor="middle")
