"""Finding room for text: what is drawn already, and the first place that is clear of it."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import Circle, Item, Label

_CHORD = 0.05
"""How true the lines are that text keeps clear of, mm."""


def ink(item: Item) -> BaseGeometry:
    """What an item covers, or the line that it is."""
    if isinstance(item, Label):
        return Polygon(item.corners)
    if isinstance(item, Circle):
        return Point(item.x, item.y).buffer(item.radius)
    return LineString(flatten(item.curve, _CHORD))


def first_clear(choices: Iterable[tuple[Label, ...]], taken: BaseGeometry, free: float) -> tuple[Label, ...]:
    """The first choice that keeps a distance from everything taken, mm; the last where none does."""
    shapely.prepare(taken)
    last: tuple[Label, ...] = ()
    for labels in choices:
        last = labels
        if not shapely.intersects(shapely.union_all([ink(label) for label in labels]).buffer(free), taken):
            break
    return last
