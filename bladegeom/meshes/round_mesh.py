"""Round bodies square to the tang, as closed meshes of their own volume."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.solids.mesh import Corners, Mesh

_FEWEST = 24
"""Sides of the smallest circle."""


def circle_in_chords(centre: Vector, radius: float, tolerance: float, *, of: float | None = None) -> FloatArray:
    """A polygon of a circle's own area, counter-clockwise from its +x side, shape (n, 2), mm; n is divisible by 4.

    Args:
        centre: (x, y), mm.
        radius: More than 0 mm.
        tolerance: Greatest distance from the circle, mm; there are 24 sides at least.
        of: A circle that is to have as many sides has this radius, mm; None takes its own.
    """
    count = sides(radius if of is None else of, tolerance)
    way = np.arange(count) * (2 * np.pi / count)
    return np.array(centre) + _grown(len(way)) * radius * np.stack([np.cos(way), np.sin(way)], axis=1)


def sides(radius: float, tolerance: float) -> int:
    """Of the polygon that stands for a circle."""
    # Half the height of an arc lies outside the polygon, half of it inside; a quarter of the tolerance is spent.
    needed = math.pi / math.acos(max(1 - tolerance / 4 / radius, -1.0))
    return max(_FEWEST, 4 * math.ceil(needed / 4))


def turned_mesh(profile: FloatArray, centre: Vector, tolerance: float) -> Mesh:
    """A body turned round an axis along z, whose circles are polygons of their own area.

    Args:
        profile: Half of its section as a polygon (radius, z), shape (n, 2), counter-clockwise, mm.
        centre: Of the axis, (x, y), mm.
        tolerance: Greatest distance of a polygon from its circle, mm.
    """
    radius, z = profile.T
    count = sides(float(radius.max()), tolerance)
    way = np.arange(count) * (2 * np.pi / count)
    round_ = np.stack([np.cos(way), np.sin(way)], axis=1)
    grown = _grown(count)
    # A place on the axis stands once, every other as often as the circle has corners.
    size = np.where(radius > 0, count, 1)
    start = np.cumsum(size) - size
    rings = [
        np.column_stack([np.array(centre) + grown * r * round_[: (count if r > 0 else 1)], np.full(n, height)])
        for r, height, n in zip(radius, z, size, strict=True)
    ]
    parts = [_band(i, (i + 1) % len(profile), profile, (start, size), round_) for i in range(len(profile))]
    return Mesh(
        vertices=np.concatenate(rings),
        triangles=np.concatenate([triangles for triangles, _ in parts]),
        patches=np.repeat(np.arange(len(parts)), [len(triangles) for triangles, _ in parts]),
        normals=np.concatenate([normals for _, normals in parts]),
    )


def _grown(count: int) -> float:
    """By how much a polygon's corners stand farther out than the circle of its area."""
    return math.sqrt(2 * math.pi / count / math.sin(2 * math.pi / count))


def _band(
    i: int, j: int, profile: FloatArray, rings: tuple[Corners, Corners], round_: FloatArray
) -> tuple[Corners, FloatArray]:
    """What one side of the profile sweeps: triangles, and the normals of cone, cylinder or plane at their corners."""
    start, size = rings
    if size[i] == 1 and size[j] == 1:
        return np.zeros((0, 3), dtype=np.int64), np.zeros((0, 3, 3))
    n = max(size[i], size[j])
    k = np.arange(n)
    here, ahead = k, (k + 1) % n
    a, b = start[i] + here % size[i], start[i] + ahead % size[i]
    c, d = start[j] + here % size[j], start[j] + ahead % size[j]
    (dr, dz) = profile[j] - profile[i]
    long = math.hypot(dr, dz)
    out = np.column_stack([round_ * dz / long, np.full(len(round_), -dr / long)])
    lower = (np.stack([a, b, d], axis=1), out[np.stack([here, ahead, ahead], axis=1)])
    upper = (np.stack([a, d, c], axis=1), out[np.stack([here, ahead, here], axis=1)])
    kept = [part for part, there in ((lower, size[i] > 1), (upper, size[j] > 1)) if there]
    return np.concatenate([triangles for triangles, _ in kept]), np.concatenate([normals for _, normals in kept])
