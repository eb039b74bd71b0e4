"""What shows on the upper and lower side of a plan: heights, surfaces, and the directions that these look in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Marks, Plan
from bladegeom.meshes.survey import BlockSurvey, Surveyed
from bladegeom.solids.mesh import Corners

_NEAR = 0.02
"""Slopes at a corner are measured over this part of the way to the other two."""

_THIN = 1e-3
"""What is thinner is an edge, mm."""


class SeenFace(NamedTuple):
    """One side of a plan, triangle by triangle."""

    height: FloatArray
    """At its corners, shape (m, 3), mm."""
    patch: Corners
    """Which smooth surface, shape (m,)."""
    normals: FloatArray
    """Unit vectors up from it at its corners, shape (m, 3, 3)."""


def shown(plan: Plan, surveyed: Sequence[BlockSurvey], within: int) -> tuple[SeenFace, SeenFace]:
    """The upper and the lower side; where they would pass through each other no thickness is left between them.

    Args:
        plan: The triangles.
        surveyed: Their heights.
        within: From this corner on all have solid beside them, and so a hair of thickness.
    """
    m = len(plan.triangles)
    sides = tuple(SeenFace(np.zeros((m, 3)), np.zeros(m, dtype=np.int64), np.zeros((m, 3, 3))) for _ in range(2))
    for mine, faces in surveyed:
        if not faces:
            continue
        corners = plan.xy[plan.triangles[mine]]
        slopes = [_slopes(face, corners) for face in faces]
        up, down = (faces[0], faces[-1])
        turn = 1 if len(faces) == 2 else -1
        high, low = _apart(up, down, turn, np.unique(plan.triangles[mine]) >= within)
        for side, face, height, slope in zip(
            sides, (up, down), (high, low), (slopes[0], turn * slopes[-1]), strict=True
        ):
            side.height[mine] = height[face.corner]
            side.patch[mine] = face.patch
            side.normals[mine] = slope
    upper, lower = (_smooth(plan, side) for side in sides)
    return upper, lower


def _apart(up: Surveyed, down: Surveyed, turn: int, within: Marks) -> tuple[FloatArray, FloatArray]:
    """Heights of both sides, shape (n,) each, mm: the upper one nowhere under the lower one."""
    high, low = up.height, turn * down.height
    # Where there is next to no thickness none may be added.
    thick = high - low > _THIN
    high, low = np.where(thick, up.evened, high), np.where(thick, turn * down.evened, low)
    middle, least = (high + low) / 2, np.where(within, _THIN / 2, 0.0)
    return np.maximum(high, middle + least), np.minimum(low, middle - least)


def _slopes(face: Surveyed, corners: FloatArray) -> FloatArray:
    """Of the heights at the corners of triangles, within these: along x, along y and a nought, shape (m, 3, 3)."""
    ways = _NEAR * np.stack([np.roll(corners, -k, axis=1) - corners for k in (1, 2)], axis=2)
    near = corners[:, :, None] + ways
    height = face.height[face.corner]
    rise = face.field(*near.reshape(-1, 2).T)[0].reshape(near.shape[:-1]) - height[..., None]
    (ax, ay), (bx, by) = (ways[..., k, :].transpose(2, 0, 1) for k in (0, 1))
    det = ax * by - ay * bx
    a, b = rise[..., 0], rise[..., 1]
    return np.stack([(a * by - b * ay) / det, (b * ax - a * bx) / det, np.zeros_like(det)], axis=2)


def _smooth(plan: Plan, side: SeenFace) -> SeenFace:
    """Slopes made normals, the same for all triangles of one surface at a corner."""
    key = plan.triangles * (int(side.patch.max()) + 1) + side.patch[:, None]
    _, at, count = np.unique(key, return_inverse=True, return_counts=True)
    at = at.ravel()
    slope = np.stack([np.bincount(at, side.normals[..., k].ravel()) / count for k in (0, 1)], axis=1)
    normal = np.column_stack([-slope, np.ones(len(slope))])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    return side._replace(normals=normal[at].reshape(-1, 3, 3))
