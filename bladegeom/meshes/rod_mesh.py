"""Rods and tubes that go right through and are ground flush with the face on both sides."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.meshes.loop_plan import filled
from bladegeom.meshes.plan import Plan
from bladegeom.meshes.ridges import Heights, refined
from bladegeom.meshes.round_mesh import circle_in_chords
from bladegeom.solids.mesh import Corners, Mesh
from bladegeom.solids.revolve import Ring

_POINT = 1e-9


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
    # The chords of a wall thinner than they are deep would cross, were there not as many of them on both sides.
    thin = ring.outer - ring.inner < tolerance
    loops = [
        circle_in_chords(centre, radius, tolerance, of=ring.outer if thin else radius)
        for radius in (ring.outer, ring.inner)
        if radius > 0
    ]
    plan = refined(filled(*loops), height, tolerance / 8)
    n, flip = len(plan.xy), np.array([1.0, 1.0, -1.0])
    right, up = np.column_stack([plan.xy, height(*plan.xy.T)]), normals(plan)
    off = plan.xy - centre
    out = np.column_stack([off / np.maximum(np.hypot(*off.T), _POINT)[:, None], np.zeros(n)])
    parts = [(plan.triangles, up), (n + plan.triangles[:, ::-1], up[:, ::-1] * flip)]
    outer, *bore = _rims(plan, off, ring)
    parts.append((wall := _wall(outer, n), out[wall % n]))
    # A bore has its wall turned inside out, and looks at its axis.
    parts += [(wall := _wall(inner, n)[:, ::-1], -out[wall % n]) for inner in bore]
    return Mesh(
        vertices=np.concatenate([right, right * flip]),
        triangles=np.concatenate([triangles for triangles, _ in parts]),
        patches=np.repeat(np.arange(len(parts)), [len(triangles) for triangles, _ in parts]),
        normals=np.concatenate([normals for _, normals in parts]),
    )


def _rims(plan: Plan, off: FloatArray, ring: Ring) -> list[Corners]:
    """The corners on the outer rim, and on the bore's if there is one, each round the axis."""
    first, ahead = plan.rim.T
    # Triangles lie to the left of their sides: these run round the outside one way, and round a bore the other.
    outwards = off[first, 0] * off[ahead, 1] > off[first, 1] * off[ahead, 0]
    rims = [first[outwards], first[~outwards]] if ring.inner else [first]
    return [rim[np.argsort(np.arctan2(off[rim, 1], off[rim, 0]))] for rim in rims]


def _wall(loop: Corners, below: int) -> Corners:
    """Along a loop seen counter-clockwise from above, between its corners and those so many numbers later."""
    ahead = np.roll(loop, -1)
    lower = np.stack([below + loop, below + ahead, ahead], axis=1)
    return np.concatenate([lower, np.stack([below + loop, ahead, loop], axis=1)])
