"""Which loop of a cut file is the part's outline, which are its holes, and which are neither."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.segments import Ints
from bladegeom.cutfile.cut_loops import MOST_PAIRS, Loop

_CHUNK = 256


@dataclass(frozen=True, kw_only=True, eq=False)
class NestedLoops:
    """Loops by what they are.

    Args:
        outline: The largest loop that stands in no other, even if it is open; None without loops.
        holes: Loops within it alone.
        outside: Loops that stand in no other, but are not the outline, the largest first.
        deeper: Loops within a hole.
    """

    outline: Loop | None
    holes: tuple[Loop, ...]
    outside: tuple[Loop, ...]
    deeper: tuple[Loop, ...]


def nested_loops(loops: Sequence[Loop]) -> NestedLoops | None:
    """Sort loops by how many others they stand in; None where that would take too many comparisons.

    A loop that crosses itself counts with the hull round it, so that what stands in it is still told.
    """
    real = [loop for loop in loops if loop.polygon.area > 0]
    shapes = [loop.polygon if loop.polygon.is_valid else loop.polygon.convex_hull for loop in real]
    depth = _depths(shapes)
    if depth is None:
        return None
    closed = np.array([loop.closed for loop in real], dtype=bool)
    area = np.array([shape.area for shape in shapes])
    outer = sorted(np.flatnonzero(depth == 0), key=lambda i: -area[i])
    within = np.array(
        [bool(outer) and shapes[outer[0]].covers(shape.representative_point()) for shape in shapes], dtype=bool
    )
    return NestedLoops(
        outline=real[outer[0]] if outer else None,
        holes=tuple(real[i] for i in np.flatnonzero((depth == 1) & within & closed)),
        outside=tuple(real[i] for i in outer[1:] if closed[i]),
        deeper=tuple(real[i] for i in np.flatnonzero((depth > 1) & within & closed)),
    )


def _depths(shapes: Sequence[BaseGeometry]) -> Ints | None:
    """In how many larger ones each stands, shape (n,)."""
    depth = np.zeros(len(shapes), dtype=np.int64)
    if not shapes:
        return depth
    tree, area, total = STRtree(shapes), shapely.area(shapes), 0
    inner = shapely.point_on_surface(shapes)
    for low in range(0, len(shapes), _CHUNK):
        i, j = tree.query(inner[low : low + _CHUNK], predicate="within")
        total += len(i)
        if total > MOST_PAIRS:
            return None
        np.add.at(depth, i[area[j] > area[i + low]] + low, 1)
    return depth
