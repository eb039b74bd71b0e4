"""What lies over the outline of the handle between two heights: scales, liners, the room under a scale's face."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Plan
from bladegeom.meshes.scale_loop import HandleLoop
from bladegeom.meshes.scale_top import ScaleTop
from bladegeom.solids.mesh import Corners, Mesh

Level = Callable[[FloatArray], FloatArray]
"""Height over the middle plane at each x, straight between stations, shape (n,), mm."""

_STEP = 1e-3
"""For slopes along x, mm."""


def laid_sheet(loop: HandleLoop, plan: Plan, low: Level, high: Level, breaks: tuple[float, ...]) -> Mesh:
    """Between two heights that bend at stations only.

    Args:
        loop: Its border.
        plan: Of :func:`flat_plan`.
        low: Of the lower face.
        high: Of the upper one.
        breaks: The stations, mm.
    """
    upper = ScaleTop(plan=plan, z=high(plan.xy[:, 0]), normals=sloping(plan, high), rim=np.arange(len(loop.xy)))
    return under_face(loop, upper, plan, low, breaks, patches=_pieces(plan, breaks))


def under_face(
    loop: HandleLoop,
    top: ScaleTop,
    plan: Plan,
    low: Level,
    breaks: tuple[float, ...],
    *,
    patches: Corners | None = None,
) -> Mesh:
    """From a height that bends at stations only up to a face.

    Args:
        loop: Its border.
        top: The face.
        plan: Of :func:`flat_plan`, for the lower side.
        low: Height of the lower side.
        breaks: Its stations, mm.
        patches: Numbers of the smooth surfaces of the face; None is a single one.
    """
    n = len(top.z)
    x = plan.xy[:, 0]
    lower = np.column_stack([plan.xy, low(x)])
    rim = np.arange(len(loop.xy))
    walls, wall_normals, wall_patches = _walls(loop, top.rim, n + rim)
    own = np.zeros(len(top.plan.triangles), dtype=np.int64) if patches is None else patches
    below = own.max() + 1 + _pieces(plan, breaks)
    return Mesh(
        vertices=np.concatenate([np.column_stack([top.plan.xy, top.z]), lower]),
        triangles=np.concatenate([top.plan.triangles, n + plan.triangles[:, ::-1], walls]),
        patches=np.concatenate([own, below, below.max() + 1 + wall_patches]),
        normals=np.concatenate([top.normals, -sloping(plan, low)[:, ::-1], wall_normals]),
    )


def between_faces(loop: HandleLoop, top: ScaleTop) -> Mesh:
    """From a face on the left side to its like on the right."""
    n = len(top.z)
    flip = np.array([1.0, 1.0, -1.0])
    walls, wall_normals, wall_patches = _walls(loop, top.rim, n + top.rim)
    count = len(top.plan.triangles)
    right = np.column_stack([top.plan.xy, top.z])
    return Mesh(
        vertices=np.concatenate([right, right * flip]),
        triangles=np.concatenate([top.plan.triangles, n + top.plan.triangles[:, ::-1], walls]),
        patches=np.concatenate([np.zeros(count), np.ones(count), 2 + wall_patches]),
        normals=np.concatenate([top.normals, top.normals[:, ::-1] * flip, wall_normals]),
    )


def _walls(loop: HandleLoop, above: Corners, below: Corners) -> tuple[Corners, FloatArray, Corners]:
    """Along the border: triangles, their normals and the smooth stretch that each is of."""
    a, b, c, d = below, np.roll(below, -1), np.roll(above, -1), above
    out = np.concatenate([-loop.inwards, np.zeros((len(loop.xy), 2, 1))], axis=2)
    first, last = out[:, 0], out[:, 1]
    stretch = np.cumsum(~loop.smooth) - 1
    triangles = np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])
    normals = np.concatenate([np.stack([first, last, last], axis=1), np.stack([first, last, first], axis=1)])
    return triangles, normals, np.tile(stretch, 2)


def _pieces(plan: Plan, breaks: tuple[float, ...]) -> Corners:
    """Between which stations each triangle lies."""
    return np.asarray(np.searchsorted(np.array(sorted(breaks)), plan.xy[plan.triangles, 0].mean(axis=1)))


def sloping(plan: Plan, level: Level) -> FloatArray:
    """Upward normals of a height that is plane over each triangle, shape (m, 3, 3)."""
    x = plan.xy[plan.triangles, 0].mean(axis=1)
    slope = (level(x + _STEP) - level(x - _STEP)) / (2 * _STEP)
    normal = np.column_stack([-slope, np.zeros(len(x)), np.ones(len(x))])
    return np.repeat((normal / np.linalg.norm(normal, axis=1)[:, None])[:, None], 3, axis=1)
