"""Closed meshes between two heights over regions side by side, with upright walls where heights end or differ."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.bends import bent
from bladegeom.meshes.creases import creases
from bladegeom.meshes.faces import SeenFace, shown
from bladegeom.meshes.plan import Block, Marks, Plan, arranged
from bladegeom.meshes.survey import survey
from bladegeom.meshes.walls import Upright, walls
from bladegeom.quantities.solid_errors import MeshError
from bladegeom.solids.mesh import Corners, Mesh

_JOINED = 2e-4
"""Corners over one place nearer than this are one, mm."""


def height_mesh(blocks: Sequence[Block], tolerance: float) -> Mesh:
    """The solid between the heights of some blocks that lie side by side, as one closed mesh.

    Borders of regions are edges of the mesh, and so is every line where another surface counts. Upright walls stand
    along borders and wherever the heights of two neighbours differ; where no thickness is left nothing is.

    Args:
        blocks: Regions that do not overlap, each with its heights.
        tolerance: Greatest distance of the mesh from the heights, > 0 mm. Borders are taken as they are given.

    Raises:
        MeshError: Nothing is left between the two sides, or the two sides of a wall change places along it.
    """
    lines = creases(arranged(blocks), blocks, tolerance)
    plan, surveyed = bent(arranged(blocks, lines), blocks, tolerance)
    within = len(plan.xy)
    while True:
        upper, lower = shown(plan, surveyed, within)
        vertices, low, high = _joined(plan, lower.height, upper.height)
        pinched = _pinched(plan, low, high)
        if not pinched.any():
            break
        plan = plan.split(np.where(pinched, 0.5, np.nan))
        surveyed = survey(plan, blocks)
    solid = (low != high).any(axis=1)
    if not solid.any():
        raise MeshError("no thickness is left anywhere between the two sides")
    parts = (_lids(high, upper, solid), _lids(low, lower, solid).turned(), walls(plan, low, high))
    used, triangles = np.unique(np.concatenate([part.triangles for part in parts]), return_inverse=True)
    vertices, triangles = vertices[used], triangles.reshape(-1, 3)
    _require_closed(vertices, triangles)
    first = np.cumsum([0, *(int(part.patches.max(initial=-1)) + 1 for part in parts)])
    return Mesh(
        vertices=vertices,
        triangles=triangles,
        patches=np.concatenate([part.patches + start for part, start in zip(parts, first, strict=False)]),
        normals=np.concatenate([part.normals for part in parts]),
    )


def _require_closed(vertices: FloatArray, triangles: Corners) -> None:
    """Refuse triangles that do not meet in pairs along every side, once this way and once that."""
    start, end = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    there, back = (np.sort(a * len(vertices) + b) for a, b in ((start, end), (end, start)))
    if (there == back).all() and (there[1:] != there[:-1]).all():
        return
    keys, count = np.unique(np.concatenate([there, back]), return_counts=True)
    x, y, _ = vertices[keys[count.argmax() if count.max() > 2 else count.argmin()] // len(vertices)].tolist()
    raise MeshError(
        "surfaces do not meet as they must to enclose a solid{at}; move the line or hole there a little", (x, y)
    )


def _pinched(plan: Plan, low: Corners, high: Corners) -> Marks:
    """Edges without any thickness between triangles that have some: four triangles of the mesh would meet there."""
    first, second = plan.neighbours
    thin = low == high
    solid = ~thin.all(axis=1)
    ends = thin[:, [[1, 2], [2, 0], [0, 1]]].all(axis=2)
    nothing = np.ones(len(plan.edges), dtype=bool)
    nothing[plan.sides[~ends]] = False
    return np.asarray(nothing & (second >= 0) & solid[first] & solid[second])


def _lids(corner: Corners, face: SeenFace, solid: Corners) -> Upright:
    patches = np.unique(face.patch[solid], return_inverse=True)[1]
    return Upright(corner[solid], patches.reshape(-1), face.normals[solid])


def _joined(plan: Plan, low: FloatArray, high: FloatArray) -> tuple[FloatArray, Corners, Corners]:
    """Vertices, each but once, sorted up each column; and of each triangle's corners the lower and upper one.

    Args:
        plan: The triangles.
        low: Lower heights at their corners, shape (m, 3), mm.
        high: Upper ones, mm.
    """
    corner = np.tile(plan.triangles.ravel(), 2)
    z = np.concatenate([low.ravel(), high.ravel()])
    order = np.lexsort((z, corner))
    corner, z = corner[order], z[order]
    new = np.ones(len(z), dtype=bool)
    new[1:] = (np.diff(corner) != 0) | (np.diff(z) > _JOINED)
    start = np.flatnonzero(new)
    height = np.add.reduceat(z, start) / np.diff(np.append(start, len(z)))
    number = np.empty(len(z), dtype=np.int64)
    number[order] = np.cumsum(new) - 1
    below, above = number.reshape(2, -1, 3)
    return np.column_stack([plan.xy[corner[start]], height]), below, above
