"""Triangles over a flat region that follow its border and lines within it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray

IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

SNAP = 0.02
"""Corners of region and lines lie on a grid of this, mm, so that no triangle is much thinner."""

SIDES = ((1, 2), (2, 0), (0, 1))
"""Corners at the ends of a triangle's three sides."""

_CLEAR = 0.6
"""Inner corners stay so far from every line, in sides; over half, so that no line is bridged."""

_HALVINGS = 6
"""Lines that triangles still cross are halved so often at most; openings that all but touch need more than one."""

_LEAST_AREA = 1e-7
"""A triangle with less is a line, mm2."""


@dataclass(frozen=True, kw_only=True, eq=False)
class TriangleMesh:
    """Triangles over the convex hull of a region; :meth:`within` tells which lie in the region itself, or a part.

    Args:
        xy: Corners, shape (n, 2), mm.
        corners: Of m triangles, counter-clockwise, shape (m, 3).
    """

    xy: FloatArray
    corners: IntArray

    @cached_property
    def edges(self) -> IntArray:
        """Corners at the ends of every side, once each, shape (k, 2), ascending in each."""
        return np.stack(np.divmod(np.unique(self._keys), len(self.xy)), axis=1)

    @cached_property
    def sides(self) -> IntArray:
        """Numbers among the edges of each triangle's three sides, shape (m, 3)."""
        return np.searchsorted(np.unique(self._keys), self._keys)

    @cached_property
    def _keys(self) -> IntArray:
        """One number for each side of each triangle, shape (m, 3)."""
        ends = np.sort(self.corners[:, np.array(SIDES)], axis=2)
        return np.asarray(ends[..., 0] * len(self.xy) + ends[..., 1])

    def within(self, region: BaseGeometry) -> BoolArray:
        """Which triangles lie in a region whose border the mesh follows, shape (m,)."""
        x, y = self.xy[self.corners].mean(axis=1).T
        return np.asarray(shapely.contains_xy(region, x, y))

    def held(self, chosen: BoolArray, on: BoolArray) -> BoolArray:
        """Which of some triangles (m,) hang together, by whole sides, with some of the edges (k,)."""
        reached, edges = np.zeros_like(chosen), on.copy()
        while True:
            more = chosen & edges[self.sides].any(axis=1)
            if (more == reached).all():
                return reached
            reached = more
            edges[self.sides[reached]] = True


def triangulated(region: BaseGeometry, lines: Sequence[BaseGeometry], side: float) -> TriangleMesh:
    """Triangles with sides of about a length over a region, along its border and along lines within it.

    Args:
        region: Polygon or polygons, mm.
        lines: What else no triangle may cross.
        side: mm.
    """
    drawn = [region.boundary, *(line.intersection(region) for line in lines)]
    # Numbers next to nothing are nothing: GEOS divides by them.
    drawn = [shapely.transform(line, lambda xy: xy.round(9)) for line in drawn]
    edges = shapely.segmentize(shapely.unary_union(drawn, grid_size=SNAP), side)
    ends, inner = _segments(edges), _inner(region, edges, side)
    for _ in range(_HALVINGS):
        mesh = _delaunay(np.concatenate([ends.reshape(-1, 2), inner]))
        crossed = _crossed(mesh, ends)
        if not crossed.any():
            break
        a, b = ends[crossed, 0], ends[crossed, 1]
        halves = np.stack([a, (a + b) / 2, (a + b) / 2, b], axis=1).reshape(-1, 2, 2)
        ends = np.concatenate([ends[~crossed], halves])
    return mesh


def _inner(region: BaseGeometry, edges: BaseGeometry, side: float) -> FloatArray:
    """Places of equilateral triangles in a region and clear of its lines, shape (n, 2), mm."""
    x0, y0, x1, y1 = region.bounds
    step = side * np.sqrt(3.0) / 2
    x, y = np.arange(x0 + step / 2, x1, step), np.arange(y0 - side / 2, y1, side)
    shift = np.where(np.arange(len(x)) % 2, side / 2, 0.0)
    across, up = np.broadcast_arrays(x[:, None], y + shift[:, None])
    xy = np.stack([across.ravel(), up.ravel()], axis=1)
    xy = xy[shapely.contains_xy(region, xy[:, 0], xy[:, 1])]
    shapely.prepare(edges)
    return np.asarray(xy[~shapely.dwithin(edges, shapely.points(xy), _CLEAR * side)])


def _segments(edges: BaseGeometry) -> FloatArray:
    """Straight pieces of lines, shape (n, 2, 2), mm."""
    xy, which = shapely.get_coordinates(shapely.get_parts(edges), return_index=True)
    together = which[1:] == which[:-1]
    return np.stack([xy[:-1][together], xy[1:][together]], axis=1)


def _delaunay(places: FloatArray) -> TriangleMesh:
    xy = np.unique(places, axis=0)
    found = shapely.get_coordinates(shapely.delaunay_triangles(shapely.multipoints(xy))).reshape(-1, 4, 2)[:, :3]
    a, b, c = found.transpose(1, 0, 2)
    twice = (b - a)[:, 0] * (c - a)[:, 1] - (c - a)[:, 0] * (b - a)[:, 1]
    corners = np.searchsorted(_sorted_by(xy), _sorted_by(found))
    corners[twice < 0] = corners[twice < 0][:, ::-1]
    return TriangleMesh(xy=xy, corners=corners[np.abs(twice) > 2 * _LEAST_AREA])


def _sorted_by(xy: FloatArray) -> npt.NDArray[np.complex128]:
    """One number for each place (..., 2), sorted by x and then y."""
    return np.asarray(xy[..., 0] + 1j * xy[..., 1])


def _crossed(mesh: TriangleMesh, ends: FloatArray) -> BoolArray:
    """Which straight pieces (n, 2, 2) are no side of any triangle, shape (n,)."""
    at = np.sort(np.searchsorted(_sorted_by(mesh.xy), _sorted_by(ends)), axis=1)
    n = len(mesh.xy)
    return np.asarray(~np.isin(at[:, 0] * n + at[:, 1], mesh.edges[:, 0] * n + mesh.edges[:, 1]))
