"""A plan made finer where flat triangles over it leave a face.

An edge is split where the face leaves it farthest. Over a ridge that is the ridge itself, so that the places of one
round are joined along it in the next.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Plan
from bladegeom.quantities.solid_errors import MeshError

Heights = Callable[[FloatArray, FloatArray], FloatArray]

_PROBES = np.arange(1, 8) / 8
"""Where an edge is probed, as parts of its length, and then again between the two probes next to the farthest."""

_CLOSER = 4
_ENDS = 0.03
"""An edge is split no nearer to its ends, as a part of its length."""

_POINT = 1e-12
_FINE_ROUNDS, _ROUNDS = 12, 60
_MORE = 1.4
"""Than the border's own distance is asked of edges beside it; own choice."""


def refined(plan: Plan, height: Heights, tolerance: float, *, border: float | None = None) -> Plan:
    """The plan with corners enough that flat triangles stay within a tolerance of the face.

    Args:
        plan: Triangles over the face.
        height: Of the face at places x and y, shape (n,), mm.
        tolerance: mm.
        border: How far from the face the plan's border may be, which then stays as it is, mm; None refines it too.

    Raises:
        MeshError: However many corners there are, they do not; the message says where.
    """
    near = np.zeros(0, dtype=np.int64)
    for count in range(_ROUNDS):
        keys = (plan.edges[:, 0] << 32) | plan.edges[:, 1]
        mine = np.bincount(plan.sides.ravel(), minlength=len(keys)) == 2 if border else np.ones(len(keys), dtype=bool)
        asked = np.flatnonzero(mine & ~np.isin(keys, near))
        where = np.full(len(keys), np.nan)
        # An edge just inside the border can be no nearer to the face than that is.
        wanted = tolerance if border is None or count < _FINE_ROUNDS else max(tolerance, _MORE * border)
        where[asked] = _farthest(plan.xy[plan.edges[asked]], height, wanted)
        split = np.isfinite(where)
        if not split.any():
            return plan
        near = keys[mine & ~split]
        plan = plan.split(where)
    x, y = plan.xy[-1].tolist()
    message = f"no triangles stay within {tolerance:.4f} mm of a scale's outside{{at}}; ask for a coarser tolerance"
    raise MeshError(message, (x, y))


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
