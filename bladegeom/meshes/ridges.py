"""A plan made finer where flat triangles over it leave a face, its border left as it is.

An edge is split where the face leaves it farthest. Over a ridge that is the ridge itself, so that the places of one
round are joined along it in the next.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Plan

Heights = Callable[[FloatArray, FloatArray], FloatArray]

_PROBES = np.arange(1, 8) / 8
"""Where an edge is probed, as parts of its length, and then again between the two probes next to the farthest."""

_CLOSER = 3
_ENDS = 0.03
"""An edge is split no nearer to its ends, as a part of its length."""

_POINT = 1e-12
_ROUNDS = 30


def refined(plan: Plan, height: Heights, tolerance: float) -> Plan:
    """The plan with corners enough that flat triangles stay within a tolerance of the face.

    Args:
        plan: Whose border is so already.
        height: Of the face at places x and y, shape (n,), mm.
        tolerance: mm.
    """
    for _ in range(_ROUNDS):
        where = np.full(len(plan.edges), np.nan)
        inner = np.flatnonzero(np.bincount(plan.sides.ravel(), minlength=len(plan.edges)) == 2)
        where[inner] = _farthest(plan.xy[plan.edges[inner]], height, tolerance)
        if not np.isfinite(where).any():
            return plan
        plan = plan.split(where)
    return plan


def _farthest(ends: FloatArray, height: Heights, tolerance: float) -> FloatArray:
    """Way along each edge to where the face is farthest from it; NaN where it is near enough everywhere."""
    out = np.full(len(ends), np.nan)
    z = height(*ends.reshape(-1, 2).T).reshape(-1, 2)
    size = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    # A drop along the upright is farther than the way to the chord, which leans.
    leans = size / np.maximum(np.hypot(size, z[:, 1] - z[:, 0]), _POINT)
    off, at = _probed(ends, z, height, np.broadcast_to(_PROBES, (len(ends), len(_PROBES))))
    far = np.flatnonzero(off * leans > tolerance)
    at, step = at[far], 1.0
    for _ in range(_CLOSER):
        step /= 4
        around = at[:, None] + (_PROBES - 0.5) * step
        _, at = _probed(ends[far], z[far], height, around)
    out[far] = np.clip(at, _ENDS, 1 - _ENDS)
    return out


def _probed(ends: FloatArray, z: FloatArray, height: Heights, at: FloatArray) -> tuple[FloatArray, FloatArray]:
    """How far the face leaves each edge at most, and where."""
    first, last = ends[:, :1], ends[:, 1:]
    xy = first + at[..., None] * (last - first)
    off = np.abs(height(*xy.reshape(-1, 2).T).reshape(at.shape) - z[:, :1] - at * (z[:, 1:] - z[:, :1]))
    which = off.argmax(axis=1)
    rows = np.arange(len(ends))
    return off[rows, which], at[rows, which]
