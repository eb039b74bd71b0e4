"""A dimension: a line between two arrowheads, from each of which a thin line leads to what is measured."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from bladegeom.curves.build import line
from bladegeom.curves.curve import Vector
from bladegeom.drawing.drawing import CUT_PEN, THIN_PEN, Item, Path

_LONG: Final = 2.4
_HALF: Final = 0.45
"""Of an arrowhead: its length, and half of its width, mm."""

_OVER: Final = 1.0
"""By how much a leading line passes the dimension's line, mm."""

_FREE: Final = 0.8
"""Between what is measured and the line that leads to it, mm."""


def level_dimension(first: Vector, last: Vector, y: float) -> Iterator[Item]:
    """A distance along x of two places, told at a height below or above both.

    Args:
        first: The left place, mm.
        last: The right place, mm.
        y: Of the dimension's line, mm.
    """
    yield from _arrows((first[0], y), (last[0], y))
    for x, from_y in (first, last):
        yield from _leading((x, from_y), (x, y))


def upright_dimension(low: Vector, high: Vector, x: float) -> Iterator[Item]:
    """A distance along y of two places, told to the right of both.

    Args:
        low: The lower place, mm.
        high: The upper place, mm.
        x: Of the dimension's line, mm.
    """
    yield from _arrows((x, low[1]), (x, high[1]))
    for from_x, y in (low, high):
        yield from _leading((from_x, y), (x, y))


def _arrows(a: Vector, b: Vector) -> Iterator[Item]:
    yield Path(layer="NOTE", curve=line(a, b), pen=CUT_PEN)
    size = math.dist(a, b)
    dx, dy = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    long = min(_LONG, size / 3)
    for (x, y), way in ((a, 1.0), (b, -1.0)):
        base = (x + way * long * dx, y + way * long * dy)
        left, right = (base[0] - _HALF * dy, base[1] + _HALF * dx), (base[0] + _HALF * dy, base[1] - _HALF * dx)
        yield Path(layer="NOTE", curve=line((x, y), left, right, (x, y)), closed=True, pen=THIN_PEN, filled=True)


def _leading(start: Vector, end: Vector) -> Iterator[Item]:
    """From a place to a little beyond the dimension's line; none where the line is too near."""
    size = math.dist(start, end)
    if size <= _FREE:
        return
    dx, dy = (end[0] - start[0]) / size, (end[1] - start[1]) / size
    foot, top = (start[0] + _FREE * dx, start[1] + _FREE * dy), (end[0] + _OVER * dx, end[1] + _OVER * dy)
    yield Path(layer="NOTE", curve=line(foot, top), pen=THIN_PEN)
