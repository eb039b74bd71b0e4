"""What a hole or a slot takes out of a layer."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Hole, Opening
from bladegeom.meshes.loop_plan import filled
from bladegeom.meshes.round_mesh import circle_in_chords, turned_mesh
from bladegeom.solids.mesh import Mesh


def opening_mesh(opening: Opening, low: float, high: float, tolerance: float) -> Mesh:
    """Between two heights; its chords enclose as much as the opening itself.

    Args:
        opening: The hole or slot.
        low: mm.
        high: mm.
        tolerance: Greatest distance of a chord from the rim, mm.
    """
    if isinstance(opening, Hole):
        r = opening.diameter / 2
        return turned_mesh(np.array([[0, low], [r, low], [r, high], [0, high]]), (opening.x, opening.y), tolerance)
    return _upright(rim(opening, tolerance), low, high)


def rim(opening: Opening, tolerance: float) -> FloatArray:
    """The rim of a hole or a slot as a polygon of its own area, counter-clockwise, shape (n, 2), mm."""
    r = opening.diameter / 2
    if isinstance(opening, Hole):
        return circle_in_chords((opening.x, opening.y), r, tolerance)
    first, last = opening.axis
    long = math.dist(first, last)
    along = (last - first) / long
    across = np.array([-along[1], along[0]])
    unit = circle_in_chords((0.0, 0.0), r, tolerance) / r
    unit /= np.hypot(*unit.T)[:, None]
    # Its two half rounds and the rectangle between them, all as wide as makes up for what the chords cut off.
    round_ = len(unit) / 2 * math.sin(2 * math.pi / len(unit))
    wide = (math.sqrt(long**2 + round_ * (math.pi * r**2 + 2 * r * long)) - long) / round_
    half = wide * unit[: len(unit) // 2 + 1] @ np.stack([-across, along])
    # From the right of the way round its far end to the left of it, then back round the near end.
    return np.concatenate([last + half, first - half])


def _upright(loop: FloatArray, low: float, high: float) -> Mesh:
    """A prism over a loop whose corners stand for smooth bends."""
    n, plan = len(loop), filled(loop)
    chord = np.roll(loop, -1, axis=0) - loop
    out = np.stack([chord[:, 1], -chord[:, 0]], axis=1) / np.hypot(*chord.T)[:, None]
    corner = out + np.roll(out, 1, axis=0)
    corner = np.column_stack([corner / np.hypot(*corner.T)[:, None], np.zeros(n)])
    a, b = np.arange(n), np.roll(np.arange(n), -1)
    walls = np.concatenate([np.stack([a, b, n + b], axis=1), np.stack([a, n + b, n + a], axis=1)])
    up = np.broadcast_to([0.0, 0.0, 1.0], (len(plan.triangles), 3, 3))
    return Mesh(
        vertices=np.concatenate([np.column_stack([loop, np.full(n, z)]) for z in (low, high)]),
        triangles=np.concatenate([plan.triangles[:, ::-1], n + plan.triangles, walls]),
        patches=np.repeat([0, 1, 2], [len(up), len(up), len(walls)]),
        normals=np.concatenate([-up, up, corner[walls % n]]),
    )
