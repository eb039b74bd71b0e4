"""How much of each pixel a solid covers, exact along its silhouette, where samples would show steps."""

from __future__ import annotations

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.pictures.fill import turns_round
from bladegeom.pictures.nearest import Indexes
from bladegeom.pictures.studio import Floats


def silhouette(corners: FloatArray, triangles: Indexes, columns: int, rows: int) -> Floats:
    """Share of each pixel that a closed surface covers, shape (rows, columns).

    The sides of all triangles that face the eye run round each pixel once for each sheet of the surface over it; what
    two of them share is left out, as it runs both ways.

    Args:
        corners: Its vertices, pixels to the right and down, shape (n, 2).
        triangles: Numbers of their vertices, shape (m, 3).
        columns: Of the picture.
        rows: Of the picture.
    """
    a, b, c = (corners[triangles[:, i]] for i in range(3))
    turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    front = triangles[turn < 0]
    start, end = front.ravel(), front[:, [1, 2, 0]].ravel()
    there, back = (x * len(corners) + y for x, y in ((start, end), (end, start)))
    rim = ~np.isin(there, back)
    cover = np.zeros((rows, columns), dtype=np.float32)
    sides = np.concatenate([corners[start[rim]], corners[end[rim]]], axis=1)
    if not len(sides):
        return cover
    both = sides.reshape(-1, 2)
    left, top = np.clip(np.floor(both.min(axis=0)), 0, (columns, rows)).astype(np.intp)
    right, under = np.clip(np.ceil(both.max(axis=0)), 0, (columns, rows)).astype(np.intp)
    turns = turns_round(sides - np.array([left, top, left, top]), right - left, under - top)
    cover[top:under, left:right] = np.clip(np.abs(turns), 0, 1)
    return cover
