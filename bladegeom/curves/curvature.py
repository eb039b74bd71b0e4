"""Curvature along a chain by arc length: what the eye reads when it looks along an edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, curvature, curvature_of, end_directions, points_of
from bladegeom.curves.measure import piece_lengths

_PER_PIECE = 33
_PLACES = np.clip(np.linspace(0.0, 1.0, _PER_PIECE), 0.0, 1.0 - 1e-9)
"""Where a piece is read; its end so near that it is not read on the next one."""


class Course(NamedTuple):
    """Curvature at many places of a chain; at the joint of two pieces each has a place of its own."""

    t: FloatArray
    """Places on the curve, shape (n,)."""
    xy: FloatArray
    """Points, shape (n, 2), mm."""
    along: FloatArray
    """Distance from the start along the curve, shape (n,), mm."""
    bend: FloatArray
    """Signed curvature, 1/mm, left positive, shape (n,)."""


class ChainJoint(NamedTuple):
    """Where two pieces of a chain meet."""

    xy: tuple[float, float]
    turn_deg: float
    """Left positive; 0 where they are tangent."""
    before: float
    """Curvature of the piece that ends, 1/mm."""
    after: float
    """Curvature of the piece that begins, 1/mm."""


def course(curve: Curve) -> Course:
    """Curvature along a curve, read at 33 places of each piece."""
    return courses((curve,))[0]


def courses(curves: Sequence[Curve]) -> tuple[Course, ...]:
    """The same along each of several curves, which are read all at once."""
    pieces = np.concatenate([curve.pieces for curve in curves])
    index = np.concatenate([np.arange(len(curve)) for curve in curves])[:, None]
    # The local parameter as it is read back from a place on the chain.
    t = index + _PLACES
    p, u = np.repeat(pieces, _PER_PIECE, axis=0), (t - index).reshape(-1, 1)
    xy, bend = points_of(p, u).reshape(-1, _PER_PIECE, 2), curvature_of(p, u).reshape(t.shape)
    sizes = piece_lengths(pieces, tolerance=1e-4)
    way = xy[:, 1:] - xy[:, :-1]
    share = np.concatenate([np.zeros((len(xy), 1)), np.cumsum(np.hypot(way[..., 0], way[..., 1]), axis=1)], axis=1)
    within = share / share[:, -1:] * sizes[:, None]
    out, first = [], 0
    for curve in curves:
        own = slice(first, first + len(curve))
        along = (np.cumsum(sizes[own]) - sizes[own])[:, None] + within[own]
        out.append(Course(t[own].ravel(), xy[own].reshape(-1, 2), along.ravel(), bend[own].ravel()))
        first = own.stop
    return tuple(out)


def joints(curve: Curve) -> tuple[ChainJoint, ...]:
    """Each place where two pieces of a chain meet, in order."""
    at = np.arange(1.0, len(curve))
    bend = curvature(curve, np.stack([at - 1e-9, at + 1e-9], axis=1).ravel()).reshape(-1, 2).tolist()
    ends = curve.pieces[:-1, 3].tolist()
    found = zip(ends, turns_deg(curve), bend, strict=False)
    return tuple(ChainJoint((x, y), turn, before, after) for (x, y), turn, (before, after) in found)


def turns_deg(curve: Curve) -> list[float]:
    """How far the direction turns from the end of each piece to the start of the next one, left positive, degrees.

    Of the last piece: to the start of the first one, which follows it where a chain is closed.
    """
    starts, ends = end_directions(curve)
    after = np.concatenate([starts[1:], starts[:1]])
    pairs = zip(ends.tolist(), after.tolist(), strict=True)
    return [math.degrees(math.atan2(dx * ey - dy * ex, dx * ex + dy * ey)) for (dx, dy), (ex, ey) in pairs]
