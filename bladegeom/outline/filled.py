"""What closed lines enclose: by how often they run round a place, or by how often they are crossed on the way there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from bladegeom.curves.curve import FloatArray

_LEAST_POINTS = 3
"""Of a ring that encloses anything."""


def filled_region(rings: Sequence[FloatArray], *, even_odd: bool = False) -> BaseGeometry:
    """The region of some closed lines, which may cross themselves and each other.

    Args:
        rings: Places of each, shape (n, 2); the last leads back to the first.
        even_odd: What an odd number of them runs round; else whatever they run round more often one way than the other.

    Source:
        SVG 2, section 13.4, fill-rule; the OpenType specification has letters filled by the first of the two.
    """
    closed = [np.concatenate([ring, ring[:1]]) for ring in rings if len(ring) >= _LEAST_POINTS]
    if not closed:
        return shapely.Polygon()
    noded = shapely.union_all([shapely.LineString(ring) for ring in closed])
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    if not len(cells):
        return shapely.Polygon()
    turns = np.array([_turns(ring, shapely.get_coordinates(shapely.point_on_surface(cells))) for ring in closed])
    inside = turns.sum(axis=0) % 2 != 0 if even_odd else turns.sum(axis=0) != 0
    return shapely.union_all(cells[inside])


def rings_of_region(region: BaseGeometry) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Its borders, each without its last place: outer ones counter-clockwise, each followed by its holes, clockwise."""
    out: list[tuple[tuple[float, float], ...]] = []
    for part in shapely.get_parts(region):
        if part.is_empty:
            continue
        whole = orient(part)
        out += [
            tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])
            for ring in (whole.exterior, *whole.interiors)
        ]
    return tuple(out)


def _turns(ring: FloatArray, places: FloatArray) -> npt.NDArray[np.int64]:
    """How often a closed line runs counter-clockwise round each place, shape (n,)."""
    (x0, y0), (x1, y1) = ring[:-1].T[:, :, None], ring[1:].T[:, :, None]
    x, y = places.T
    left = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
    up = (y0 <= y) & (y1 > y) & (left > 0)
    down = (y0 > y) & (y1 <= y) & (left < 0)
    return np.asarray(up.sum(axis=0) - down.sum(axis=0), dtype=np.int64)
