"""The corner from which holes are measured: a straightedge along the outline, and a square against its rear end."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo

_FINE = 1e-6
"""How true the border is where it is touched, mm: a straightedge lies along it, so that this moves its touch by 0.2."""

_STRAIGHT = 0.05
"""A border that bulges less lies on a straightedge all along, mm; own choice: a scriber's line is wider."""

_BRIDGED = 0.5
"""A straightedge rests on two places that lie this part of a stretch apart at least; own choice."""

_AS_GOOD = 0.5
"""The spine's side is taken while its touching places lie this part as far apart as the other side's.

Own choice: the edge is still to be ground, the spine is not.
"""


@dataclass(frozen=True, kw_only=True)
class Datum:
    """A corner of two straight lines that the whole outline lies in: every hole has two positive distances from it.

    The straightedge touches the outline at two places, so that the blank lies against it in one way only; the square
    stands on the straightedge and touches the blank's rear end. It can be laid on a template, on a scribed bar, and on
    a blank that is cut out.

    Args:
        side: Whether the straightedge lies along the spine's side or the edge's.
        corner: Where the two lines meet, design frame, mm.
        along: Direction of the straightedge towards the tip, of length 1.
        touches: Distances from the square at which the outline touches the straightedge, the rear one first, mm.
        touches_square: Distance from the straightedge at which the outline touches the square, mm.
    """

    side: Literal["spine", "edge"]
    corner: Vector
    along: Vector
    touches: tuple[float, float]
    touches_square: float

    @property
    def off(self) -> Vector:
        """Direction from the straightedge into the steel, of length 1."""
        x, y = self.along
        return (y, -x) if self.side == "spine" else (-y, x)

    def measure(self, x: float, y: float) -> Vector:
        """Distances of a place of the design from the square and from the straightedge, mm."""
        dx, dy = x - self.corner[0], y - self.corner[1]
        return dx * self.along[0] + dy * self.along[1], dx * self.off[0] + dy * self.off[1]

    def place(self, along: float, off: float) -> Vector:
        """The place of the design that lies so far from the square and from the straightedge, mm."""
        (x, y), (ax, ay), (ox, oy) = self.corner, self.along, self.off
        return x + along * ax + off * ox, y + along * ay + off * oy


@memo
def datum(knife: Knife) -> Datum:
    """The corner for a knife: on the longest stretch that a straightedge bridges, the spine's side preferred."""
    border = shapely.convex_hull(knife.outline.polygon)
    hull = shapely.get_coordinates(shapely.simplify(border, _STRAIGHT))
    middle = hull[:-1].mean(axis=0)
    sides = [_side(a, b, middle) if a[0] < b[0] else _side(b, a, middle) for a, b in itertools.pairwise(hull)]
    best = {name: max((line for line in sides if line[2] == name), key=_reach) for name in ("spine", "edge")}
    spine_serves = _reach(best["spine"]) >= _AS_GOOD * _reach(best["edge"])
    fine = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(flatten(knife.outline.loop, _FINE))))
    rear, front = _resting(fine, *best["spine" if spine_serves else "edge"][:2])
    way = (front - rear) / math.dist(front, rear)
    return _at(fine, rear, front, (float(way[0]), float(way[1])), "spine" if spine_serves else "edge")


def _resting(hull: FloatArray, rear: FloatArray, front: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The two places of the hull itself that the straightedge rests on, near the ends of a stretch found roughly.

    A border that bulges all along between those ends is bridged nowhere: there the ends stay.
    """
    (dx, dy), reach = front - rear, math.dist(front, rear)
    # As near to the stretch as a border may bulge from it, and between its ends.
    along = np.abs(dx * (hull[:, 1] - rear[1]) - dy * (hull[:, 0] - rear[0])) <= _STRAIGHT * reach
    along &= (hull[:, 0] >= rear[0]) & (hull[:, 0] <= front[0])
    sizes = np.where(along[:-1] & along[1:], np.hypot(*np.diff(hull, axis=0).T), 0.0)
    i = int(sizes.argmax())
    if sizes[i] <= _BRIDGED * reach:
        return rear, front
    a, b = hull[i], hull[i + 1]
    return (a, b) if a[0] < b[0] else (b, a)


def _side(rear: FloatArray, front: FloatArray, middle: FloatArray) -> tuple[FloatArray, FloatArray, str]:
    """A straight stretch of the hull, and whether the steel lies below or above it."""
    (x, y), (dx, dy) = middle - rear, front - rear
    return rear, front, "spine" if dx * y - dy * x < 0 else "edge"


def _reach(side: tuple[FloatArray, FloatArray, str]) -> float:
    """How far apart the two places lie, along x: what stands upright at butt or tip is no side, mm."""
    return float(side[1][0] - side[0][0])


def _at(hull: FloatArray, rear: FloatArray, front: FloatArray, along: Vector, side: Literal["spine", "edge"]) -> Datum:
    way = (hull - rear) @ np.array(along)
    back = float(way.min())
    corner = (float(rear[0] + back * along[0]), float(rear[1] + back * along[1]))
    bare = Datum(side=side, corner=corner, along=along, touches=(0.0, 0.0), touches_square=0.0)
    x, y = hull[int(way.argmin())].tolist()
    return Datum(
        side=side,
        corner=corner,
        along=along,
        touches=(bare.measure(*rear.tolist())[0], bare.measure(*front.tolist())[0]),
        touches_square=bare.measure(x, y)[1],
    )
