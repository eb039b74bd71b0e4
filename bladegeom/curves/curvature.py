"""Curvature along a chain by arc length: what the eye reads when it looks along an edge."""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, curvature, points
from bladegeom.curves.measure import curve_length

_PER_PIECE = 33


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
    k = len(curve)
    u = np.clip(np.linspace(0.0, 1.0, _PER_PIECE), 0.0, 1.0 - 1e-9)
    t = (np.arange(k)[:, None] + u).ravel()
    xy = points(curve, t)
    sizes = np.array([curve_length(Curve(piece[None]), tolerance=1e-4) for piece in curve.pieces])
    step = np.hypot(*np.diff(xy.reshape(k, _PER_PIECE, 2), axis=1).transpose(2, 0, 1))
    share = np.concatenate([np.zeros((k, 1)), np.cumsum(step, axis=1)], axis=1)
    along = (np.cumsum(sizes) - sizes)[:, None] + share / share[:, -1:] * sizes[:, None]
    return Course(t, xy, along.ravel(), curvature(curve, t))


def joints(curve: Curve) -> tuple[ChainJoint, ...]:
    """Each place where two pieces of a chain meet, in order."""
    out = []
    ends = [Curve(piece[None]) for piece in curve.pieces]
    for i, (a, b) in enumerate(itertools.pairwise(ends)):
        d, e = a.end_direction, b.start_direction
        turn = math.degrees(math.atan2(d[0] * e[1] - d[1] * e[0], d[0] * e[0] + d[1] * e[1]))
        before, after = (float(v) for v in curvature(curve, [i + 1 - 1e-9, i + 1 + 1e-9]))
        out.append(ChainJoint(a.end, turn, before, after))
    return tuple(out)
