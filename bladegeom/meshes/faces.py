"""What shows on the upper and lower side of a plan: heights, surfaces, and the directions that these look in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Block, Field, Plan
from bladegeom.solids.mesh import Corners

_NEAR = 0.02
"""Slopes at a corner are measured over this part of the way to the other two."""


class Shown(NamedTuple):
    """One side of a plan, triangle by triangle."""

    height: FloatArray
    """At its corners, shape (m, 3), mm."""
    patch: Corners
    """Which smooth surface, shape (m,)."""
    normals: FloatArray
    """Unit vectors up from it at its corners, shape (m, 3, 3)."""


def shown(plan: Plan, blocks: Sequence[Block]) -> tuple[Shown, Shown]:
    """The upper and the lower side; where they would pass through each other no thickness is left between them."""
    m = len(plan.triangles)
    upper, lower = (Shown(np.zeros((m, 3)), np.zeros(m, dtype=np.int64), np.zeros((m, 3, 3))) for _ in range(2))
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(plan.block == number)
        if not len(mine):
            continue
        up = _seen(block.upper, plan, mine)
        down = (
            up._replace(height=-up.height, normals=-up.normals)
            if block.lower is None
            else _seen(block.lower, plan, mine)
        )
        gone = up.height < down.height
        middle = (up.height + down.height) / 2
        for side, seen in ((upper, up), (lower, down)):
            side.height[mine] = np.where(gone, middle, seen.height)
            side.patch[mine] = seen.patch
            side.normals[mine] = seen.normals
    return _smooth(plan, upper), _smooth(plan, lower)


def _seen(field: Field, plan: Plan, mine: Corners) -> Shown:
    """Heights, and slopes in place of normals: two numbers and a nought."""
    used, at = np.unique(plan.triangles[mine], return_inverse=True)
    height = field(*plan.xy[used].T)[0][at.reshape(-1, 3)]
    corners = plan.xy[plan.triangles[mine]]
    patch = field(*corners.mean(axis=1).T)[1]
    ways = _NEAR * np.stack([np.roll(corners, -k, axis=1) - corners for k in (1, 2)], axis=2)
    near = corners[:, :, None] + ways
    rise = field(*near.reshape(-1, 2).T)[0].reshape(near.shape[:-1]) - height[..., None]
    (ax, ay), (bx, by) = (ways[..., k, :].transpose(2, 0, 1) for k in (0, 1))
    det = ax * by - ay * bx
    a, b = rise[..., 0], rise[..., 1]
    slopes = np.stack([(a * by - b * ay) / det, (b * ax - a * bx) / det, np.zeros_like(det)], axis=2)
    return Shown(height, patch, slopes)


def _smooth(plan: Plan, side: Shown) -> Shown:
    """Slopes made normals, the same for all triangles of one surface at a corner."""
    key = plan.triangles * (int(side.patch.max()) + 1) + side.patch[:, None]
    _, at, count = np.unique(key, return_inverse=True, return_counts=True)
    at = at.ravel()
    slope = np.stack([np.bincount(at, side.normals[..., k].ravel()) / count for k in (0, 1)], axis=1)
    normal = np.column_stack([-slope, np.ones(len(slope))])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    return side._replace(normals=normal[at].reshape(-1, 3, 3))
