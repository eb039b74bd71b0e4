"""Surfaces of heights over a cell of a side view: the plane, or the B-spline that follows a law within a tolerance."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from bladegeom.breps.splines import HeightSpline, nearest_spline
from bladegeom.curves.curve import FloatArray

Law = Callable[[FloatArray, FloatArray], FloatArray]
"""Height at places x, y."""

WITHIN = 0.002
"""So near a fitted surface comes to its law, mm: a fifth of what is promised, so that what meets at an
edge leaves no gap."""

_PLANE = 1e-6
"""A law that strays from a plane by less is one, mm."""

_ALONG = 0.5
"""Step along borders, and along the lines inside them that are watched, mm."""

_INWARDS = (0.2, 0.5, 0.8)
"""Where those lines lie, as shares of the way in to the place that is farthest from the border."""

_DEEP = 0.1
"""So closely that place is found, mm."""

_ROUNDS = 9
_FINEST = 0.004
_MOST = 40_000


@dataclass(frozen=True, eq=False)
class Plane:
    """z = a + b x + c y."""

    a: float
    b: float
    c: float

    def __call__(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Heights at places."""
        return self.a + self.b * x + self.c * y


@dataclass(frozen=True, eq=False)
class Fitted:
    """A spline of heights whose sides lie along a direction of the side view; the parameters are u and v themselves."""

    spline: HeightSpline
    cos: float
    sin: float
    off: float
    """Greatest distance from the law at the places where it was asked, mm."""

    def uv(self, xy: FloatArray) -> FloatArray:
        """Parameters of places (n, 2)."""
        return np.asarray(xy @ np.array([[self.cos, -self.sin], [self.sin, self.cos]]))

    def xy(self, uv: FloatArray) -> FloatArray:
        """And back."""
        return np.asarray(uv @ np.array([[self.cos, self.sin], [-self.sin, self.cos]]))

    def __call__(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Heights at places."""
        uv = self.uv(np.column_stack([x, y]))
        return self.spline(uv[:, 0], uv[:, 1])


def surface_of(cell: Polygon, law: Law) -> Plane | Fitted:
    """The surface of a law over a cell.

    Returns:
        The nearest that was found; its ``off`` says how near.
    """
    border = shapely.get_coordinates(shapely.segmentize(cell, _ALONG))
    middle = border.mean(axis=0)
    probes = np.concatenate([border, _inside(cell, _even(cell.bounds, 24), _even(cell.bounds, 24, 1))])
    z = law(*probes.T)
    rows = np.column_stack([np.ones(len(probes)), probes - middle])
    (a, b, c), *_ = np.linalg.lstsq(rows, z, rcond=None)
    if np.abs(rows @ (a, b, c) - z).max() < _PLANE:
        return Plane(float(a - b * middle[0] - c * middle[1]), float(b), float(c))
    return _fitted(cell, law, border)


def _fitted(cell: Polygon, law: Law, border: FloatArray) -> Fitted:
    cos, sin = _direction(cell)
    frame = Fitted(HeightSpline(np.zeros(0), np.zeros(0), np.zeros(0)), cos, sin, np.inf)
    edge = frame.uv(border)
    turned = Polygon(
        frame.uv(shapely.get_coordinates(cell.exterior)), [frame.uv(shapely.get_coordinates(r)) for r in cell.interiors]
    )
    shapely.prepare(turned)
    (u0, v0), (u1, v1) = edge.min(axis=0) - 1e-6, edge.max(axis=0) + 1e-6
    size = max(u1 - u0, v1 - v0) / 16
    u_breaks, v_breaks = (np.linspace(a, b, max(2, round((b - a) / size)) + 1) for a, b in ((u0, u1), (v0, v1)))
    watched = frame.uv(_lines_inside(cell))
    astray = np.zeros((0, 2))
    best = None
    for _ in range(_ROUNDS):
        inside = np.concatenate([_inside(turned, _within(u_breaks), _within(v_breaks)), astray])
        uv = np.concatenate([inside, edge])
        z = law(*frame.xy(uv).T)
        weight = np.concatenate([np.ones(len(inside)), np.full(len(edge), 2.0)])
        spline = nearest_spline(u_breaks, v_breaks, uv[:, 0], uv[:, 1], z, weight)
        off, between = _off(spline, uv, z), _off(spline, watched, law(*frame.xy(watched).T))
        most = float(max(off.max(), between.max(initial=0.0)))
        if best is None or most < best.off:
            best = Fitted(spline, cos, sin, most)
        if most <= WITHIN or len(u_breaks) * len(v_breaks) > _MOST:
            break
        bad = uv[off > WITHIN]
        if not len(bad):
            # A grid has few places in a narrow bent cell. Those between them count only where the surface strays at
            # them: where all did, its poles beside the cell would go far astray.
            bad = astray = watched[between > WITHIN]
        u_breaks, v_breaks = _halved(u_breaks, bad[:, 0]), _halved(v_breaks, bad[:, 1])
    assert best is not None
    return best


def _off(spline: HeightSpline, uv: FloatArray, z: FloatArray) -> FloatArray:
    """How far a spline strays from heights at places, (n,), mm; square to it where that counts."""
    off = np.abs(spline(uv[:, 0], uv[:, 1]) - z)
    return np.asarray(off / np.hypot(1.0, spline.slope(uv[:, 0], uv[:, 1])) if off.max(initial=0.0) > WITHIN else off)


def _lines_inside(cell: Polygon) -> FloatArray:
    """Places along lines inside the border of a cell, (n, 2)."""
    deep = float(shapely.maximum_inscribed_circle(cell, tolerance=_DEEP).length)
    return np.concatenate(
        [shapely.get_coordinates(shapely.segmentize(cell.buffer(-share * deep), _ALONG)) for share in _INWARDS]
    )


def _direction(cell: Polygon) -> tuple[float, float]:
    """Of the longer side of the smallest rectangle round a cell."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(cell))[:3]
    sides = np.diff(corners, axis=0)
    longer = sides[int(np.hypot(*sides.T).argmax())]
    longer = longer * (1.0 if longer[0] >= 0 else -1.0) / np.hypot(*longer)
    return float(longer[0]), float(longer[1])


def _halved(breaks: FloatArray, bad: FloatArray) -> FloatArray:
    """Breaks with the spans halved in which something strays, unless they are as short as can be."""
    span = np.unique(np.clip(np.searchsorted(breaks, bad, side="right") - 1, 0, len(breaks) - 2))
    span = span[breaks[span + 1] - breaks[span] > _FINEST]
    return np.sort(np.concatenate([breaks, (breaks[span] + breaks[span + 1]) / 2]))


def _within(breaks: FloatArray) -> FloatArray:
    """Three places in each span."""
    return np.asarray((breaks[:-1, None] + np.diff(breaks)[:, None] * np.array([0.12, 0.5, 0.88])).ravel())


def _even(bounds: tuple[float, float, float, float], count: int, axis: int = 0) -> FloatArray:
    return np.linspace(bounds[axis], bounds[axis + 2], count + 2)[1:-1]


def _inside(cell: Polygon, u: FloatArray, v: FloatArray) -> FloatArray:
    """Places of a grid inside a cell, (n, 2)."""
    grid = np.stack(np.meshgrid(u, v, indexing="ij"), axis=2).reshape(-1, 2)
    return grid[shapely.contains_xy(cell, grid[:, 0], grid[:, 1])]
