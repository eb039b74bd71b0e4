"""Finding room for text: what is drawn already, and the first place that is clear of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import Circle, Item, Label

_CHORD = 0.05
"""How true the lines are that text keeps clear of, mm."""

_AT_ONCE = 256
"""Places tried at a time: one of the first is most often free."""


def ink(item: Item) -> BaseGeometry:
    """What an item covers, or the line that it is."""
    if isinstance(item, Label):
        return Polygon(item.corners)
    if isinstance(item, Circle):
        return Point(item.x, item.y).buffer(item.radius)
    return LineString(flatten(item.curve, _CHORD))


def first_within(
    region: Polygon, taken: BaseGeometry, places: FloatArray, shapes: Callable[[FloatArray], NDArray[np.object_]]
) -> Vector | None:
    """The first place at which a shape lies within a region and off everything taken; None where there is none.

    Args:
        region: In which it must lie, its border excluded.
        taken: What it must not touch.
        places: To try, the best first, shape (n, 2), mm.
        shapes: The shape at each of some places.
    """
    shapely.prepare(region)
    shapely.prepare(taken)
    for first in range(0, len(places), _AT_ONCE):
        tried = shapes(places[first : first + _AT_ONCE])
        free = shapely.contains_properly(region, tried) & ~shapely.intersects(taken, tried)
        if free.any():
            x, y = places[first + int(free.argmax())].tolist()
            return x, y
    return None


def first_clear(choices: Iterable[tuple[Label, ...]], taken: BaseGeometry, free: float) -> tuple[Label, ...]:
    """The first choice that keeps a distance from everything taken, mm; the last where none does."""
    shapely.prepare(taken)
    last: tuple[Label, ...] = ()
    for labels in choices:
        last = labels
        if not shapely.intersects(shapely.union_all([ink(label) for label in labels]).buffer(free), taken):
            break
    return last
