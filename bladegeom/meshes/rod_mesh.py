"""Rods and tubes that go right through and are ground flush with the face on both sides."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.meshes.loop_plan import filled
from bladegeom.meshes.plan import Plan
from bladegeom.meshes.ridges import Heights, refined
from bladegeom.meshes.round_mesh import circle
from bladegeom.solids.mesh import Corners, Mesh
from bladegeom.solids.revolve import Ring


def rod_mesh(
    ring: Ring, centre: Vector, height: Heights, normals: Callable[[Plan], FloatArray], tolerance: float
) -> Mesh:
    """From the face on the left to its like on the right.

    Args:
        ring: Its radii; 0 inside is a rod.
        centre: Of its axis, (x, y), mm.
        height: Of the face.
        normals: Directions of the face at the corners of triangles over it.
        tolerance: Greatest distance from face and circles, mm.
    """
    loops = [circle(centre, radius, tolerance) for radius in (ring.outer, ring.inner) if radius > 0]
    plan = refined(filled(*loops), height, tolerance / 8)
    n, flip = len(plan.xy), np.array([1.0, 1.0, -1.0])
    right, up = np.column_stack([plan.xy, height(*plan.xy.T)]), normals(plan)
    first = np.cumsum([0, *(len(loop) for loop in loops)])
    walls = [_wall(np.arange(a, b), n) for a, b in itertools.pairwise(first)]
    out = (plan.xy[: first[-1]] - centre) / np.hypot(*(plan.xy[: first[-1]] - centre).T)[:, None]
    out[first[1] :] *= -1  # a bore looks at its axis
    out = np.column_stack([out, np.zeros(len(out))])
    # A bore has its wall turned inside out.
    triangles = [walls[0], *(wall[:, ::-1] for wall in walls[1:])]
    size = [len(plan.triangles)] * 2 + [len(wall) for wall in triangles]
    return Mesh(
        vertices=np.concatenate([right, right * flip]),
        triangles=np.concatenate([plan.triangles, n + plan.triangles[:, ::-1], *triangles]),
        patches=np.repeat(np.arange(len(size)), size),
        normals=np.concatenate([up, up[:, ::-1] * flip, *(out[wall % n] for wall in triangles)]),
    )


def _wall(loop: Corners, below: int) -> Corners:
    """Along a loop seen counter-clockwise from above, between its corners and those so many numbers later."""
    ahead = np.roll(loop, -1)
    lower = np.stack([below + loop, below + ahead, ahead], axis=1)
    return np.concatenate([lower, np.stack([below + loop, ahead, loop], axis=1)])
