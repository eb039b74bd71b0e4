"""An arrow for the grain, and the name of the line where the flat begins, on a scale's template."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from bladegeom.curves.build import line
from bladegeom.curves.curve import FloatArray, points
from bladegeom.drawing.drawing import SMALL_TEXT, THIN_PEN, Item, Label, Path
from bladegeom.drawing.label_placement import first_within, ink
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.sheets.scale_words import hand_of

_FREE = 0.5
"""Between what is written here and anything else, mm."""

_SIZE = 0.8 * SMALL_TEXT
"""Height of the letters, mm."""

_LENGTHS = (24.0, 18.0, 12.0, 8.0)
"""Of the arrow, mm: the first that finds room."""

_BARB = 1.2
"""Of the arrow's heads along and across it, mm."""

_PITCH = 2.0
"""Places are tried this far apart, mm."""


def flat_named(marks: Sequence[Path], items: Sequence[Item]) -> list[Item]:
    """A piece with the line's name once, beside it where nothing else stands; without where no place is free."""
    taken = shapely.union_all([ink(item) for item in items])
    shapely.prepare(taken)
    for label in _beside(marks):
        if not shapely.Polygon(label.corners).buffer(_FREE).intersects(taken):
            return [*items, label]
    return list(items)


def _beside(marks: Sequence[Path]) -> Iterator[Label]:
    for mark in marks:
        for t in np.linspace(0.0, len(mark.curve), 60).tolist():
            (x, y), *_ = points(mark.curve, np.array([t])).tolist()
            for dy in (0.8, -0.8 - _SIZE, 1.6, -1.6 - _SIZE):
                yield Label(layer="NOTE", x=x, y=y + dy, text="flat begins", height=_SIZE, anchor="middle")


def grained(knife: Knife, items: Sequence[Item], side: Flank, grain_deg: float) -> list[Item]:
    """A piece with an arrow along the grain, near the middle of the handle; above the piece where none finds room.

    Args:
        knife: The design.
        items: Of the piece, as it is seen from its outside.
        side: Which scale it is.
        grain_deg: Direction of the grain on the right scale, degrees.
    """
    hand = hand_of(side)
    angle = hand * grain_deg
    region = shapely.transform(knife.handle_region, lambda xy: xy * (hand, 1.0))
    taken = shapely.union_all([ink(item) for item in items])
    x0, y0, x1, y1 = region.bounds
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    grid = np.stack(np.meshgrid(np.arange(x0, x1, _PITCH), np.arange(y0, y1, _PITCH / 2)), axis=-1).reshape(-1, 2)
    places = grid[np.argsort(np.abs(grid - middle) @ (1.0, 2.0), kind="stable")]
    for length in _LENGTHS:
        around = shapely.union_all([ink(item) for item in _arrow(0.0, 0.0, length, angle)]).envelope.buffer(_FREE)
        place = first_within(region, taken, places, partial(_at_each, shapely.get_coordinates(around)))
        if place is not None:
            return [*items, *_arrow(*place, length, angle)]
    top = float(taken.bounds[3])
    low = min(
        item.curve.pieces[..., 1].min() for item in _arrow(0.0, 0.0, _LENGTHS[0], angle) if isinstance(item, Path)
    )
    return [*items, *_arrow(float(middle[0]), top + _FREE - float(low), _LENGTHS[0], angle)]


def _at_each(corners: FloatArray, places: FloatArray) -> NDArray[np.object_]:
    return np.asarray(shapely.polygons(corners + places[:, None, :]))


def _arrow(x: float, y: float, length: float, angle_deg: float) -> Iterator[Item]:
    """Both ways alike, with its name over the middle."""
    ux, uy = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    ends = [(x + way * length / 2 * ux, y + way * length / 2 * uy) for way in (-1.0, 1.0)]
    yield Path(layer="NOTE", curve=line(*ends), pen=THIN_PEN)
    for (ex, ey), way in zip(ends, (-1.0, 1.0), strict=True):
        barbs = [
            (ex - way * _BARB * ux - turn * _BARB / 2 * uy, ey - way * _BARB * uy + turn * _BARB / 2 * ux)
            for turn in (-1.0, 1.0)
        ]
        yield Path(layer="NOTE", curve=line(barbs[0], (ex, ey), barbs[1]), pen=THIN_PEN)
    over = 0.7
    yield Label(
        layer="NOTE",
        x=x - over * uy,
        y=y + over * ux,
        text="grain",
        height=_SIZE,
        angle_deg=angle_deg,
        anchor="middle",
    )
