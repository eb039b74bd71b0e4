"""Flat pieces on beds: turned where they do not lie straight, beside each other, on another bed where one is full."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.print_beds import PrintBed
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import show_size

_APART: Final = 4.0
"""Between two pieces on a bed, mm: own choice."""

_STEP: Final = 4.0
"""From place to place that is tried, mm."""

_TURNS: Final = np.arange(0.0, 180.0)
"""Degrees that are tried."""

_PLAIN: Final = 0.2
"""How far the footprint that is laid stands off the piece's own, mm."""


class Laid(NamedTuple):
    """Where a piece lies: turned about the origin, then moved, on a bed counted from 0."""

    bed: int
    angle_deg: float
    dx: float
    dy: float


def turn_for(footprint: BaseGeometry, bed: PrintBed) -> float | None:
    """By how many degrees a footprint is turned to lie on a bed; straight if it can; None where it never fits."""
    sizes = _sizes(footprint)
    spare = np.min([bed.width, bed.depth] - sizes, axis=1)
    if spare[0] >= 0:
        return 0.0
    best = int(np.argmax(spare))
    return float(_TURNS[best]) if spare[best] >= 0 else None


def least_square(footprint: BaseGeometry) -> float:
    """Side of the smallest square bed that holds it, to a degree of turning, mm."""
    return float(_sizes(footprint).max(axis=1).min())


def lay(footprints: Sequence[BaseGeometry], bed: PrintBed) -> tuple[Laid, ...]:
    """A place for each, in order: on the first bed with room for it.

    Raises:
        ParameterError: One fits on no bed of that size.
    """
    beds: list[BaseGeometry] = []
    out = []
    for footprint in footprints:
        angle = turn_for(footprint, bed)
        if angle is None:
            x0, y0, x1, y1 = footprint.bounds
            least = room_to_buy(least_square(footprint))
            must = f"hold a piece of {show_size(x1 - x0, y1 - y0)}: a square of {least} does"
            raise ParameterError("printing: bed", bed.size, must)
        turned = affinity.rotate(footprint, angle, origin=(0.0, 0.0))
        number, dx, dy = _first_place(turned, beds, bed)
        moved = affinity.translate(turned, dx, dy)
        if number == len(beds):
            beds.append(moved)
        else:
            beds[number] = beds[number].union(moved)
        out.append(Laid(number, angle, dx, dy))
    return tuple(out)


def _first_place(turned: BaseGeometry, beds: Sequence[BaseGeometry], bed: PrintBed) -> tuple[int, float, float]:
    x0, y0, x1, y1 = turned.bounds
    x, y = (np.arange(0.0, spare + 1e-9, _STEP) for spare in (bed.width - (x1 - x0), bed.depth - (y1 - y0)))
    # Nearest to the front first, then to the left.
    moves = np.array([(each_x, each_y) for each_y in y for each_x in x]) - (x0, y0)
    plain = turned.simplify(_PLAIN)
    copies = np.full(len(moves), plain)
    ways = np.tile(shapely.get_coordinates(plain), (len(moves), 1))
    ways += np.repeat(moves, shapely.get_num_coordinates(plain), axis=0)
    for number, there in enumerate(beds):
        placed = shapely.set_coordinates(copies.copy(), ways)
        free = np.flatnonzero(~shapely.dwithin(placed, there, _APART))
        if len(free):
            return number, float(moves[free[0], 0]), float(moves[free[0], 1])
    # Alone it lies in the middle.
    return len(beds), bed.width / 2 - (x0 + x1) / 2, bed.depth / 2 - (y0 + y1) / 2


def _sizes(footprint: BaseGeometry) -> FloatArray:
    """Width and depth when it is turned by each of the degrees, shape (n, 2)."""
    hull = shapely.get_coordinates(shapely.convex_hull(footprint))
    c, s = np.cos(np.radians(_TURNS))[:, None], np.sin(np.radians(_TURNS))[:, None]
    x, y = c * hull[:, 0] - s * hull[:, 1], s * hull[:, 0] + c * hull[:, 1]
    return np.column_stack([np.ptp(x, axis=1), np.ptp(y, axis=1)])
