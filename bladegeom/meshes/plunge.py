"""Where the hollow along the plunge line ends, and rows along it over which a flat strip follows its arc."""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.side import Side
from bladegeom.meshes.change import first_change
from bladegeom.solids.mesh import Corners

Bounds = tuple[float, float, float, float]

_STEP = 0.5
"""Places along the plunge line, mm."""

_NARROWING = np.array([1 / 64, 1 / 16, 1 / 4])
"""Further places, in steps, from where there is no hollow: its width grows as the root of the way from there."""

_WIDE = 0.02
"""A hollow narrower than this is none, mm."""

_CLOSE = 0.005
"""The end of a hollow lies at most so far from its chords, mm: within that the face is flat enough beyond."""

_SAGITTA = 0.5
"""Of the arc over a strip, in tolerances."""


class Hollow(NamedTuple):
    """The hollow along the plunge line on one side."""

    region: BaseGeometry
    rows: tuple[BaseGeometry, ...]
    """Lines along it between which a flat strip follows its arc."""


def hollow(side: Side, bounds: Bounds, tolerance: float) -> Hollow:
    """The hollow of a side as a region of its own, beyond the borders of the steel; empty where there is none.

    Args:
        side: One side of the steel.
        bounds: Of the steel, mm.
        tolerance: Of a mesh, mm.
    """
    if side.plunge_radius == 0 or not side.faces:
        return Hollow(Polygon(), ())
    regions: list[BaseGeometry] = []
    rows: list[BaseGeometry] = []
    for along in _runs(side, _along(side, bounds)):
        region, lines = _strip(side, along, _widths(side, along), tolerance)
        regions.append(region)
        rows += lines
    return Hollow(shapely.union_all(regions), tuple(rows))


def ahead_of(side: Side, bounds: Bounds) -> Polygon:
    """The half of the plane ahead of the plunge line, beyond some bounds."""
    x0, y0, x1, y1 = bounds
    far = 4 * (x1 - x0 + y1 - y0)
    foot, ahead = np.array(side.foot), far * np.array(side.ahead)
    up = far * _up(side)
    return Polygon([foot - up, foot - up + ahead, foot + up + ahead, foot + up])


def _up(side: Side) -> FloatArray:
    """Unit vector up along the plunge line."""
    return np.array([-side.ahead[1], side.ahead[0]])


def _along(side: Side, bounds: Bounds) -> FloatArray:
    """Places along the plunge line all over the steel, from its foot, shape (n,), mm."""
    low, high = (np.array(bounds[1::2]) - side.foot[1]) / _up(side)[1]
    return np.arange(low - 1.0, high + 1.0 + _STEP, _STEP)


def _at(side: Side, along: FloatArray, past: FloatArray) -> tuple[FloatArray, FloatArray]:
    xy = np.array(side.foot)[:, None] + _up(side)[:, None] * along + np.array(side.ahead)[:, None] * past
    return xy[0], xy[1]


def _width(side: Side, x: FloatArray, y: FloatArray) -> FloatArray:
    """How far from the plunge line the hollow would end if the face lay as deep all along as at a place, (n,), mm."""
    laws = side.laws(x, y)
    return side.blend_width(laws[0] - side.least(laws))


def _runs(side: Side, along: FloatArray) -> list[FloatArray]:
    """Stretches of the plunge line along which there is a hollow, as places, closer where it narrows to nothing."""

    def is_hollow(along: FloatArray) -> Corners:
        x, y = _at(side, along.ravel(), np.zeros(along.size))
        return np.asarray(_width(side, x, y) > _WIDE, dtype=np.int64).reshape(along.shape)

    hollow = is_hollow(along)
    change = np.flatnonzero(np.diff(hollow))
    ends, _, _ = first_change(is_hollow, along[change], along[change + 1])
    bounds = np.concatenate([along[:1], ends, along[-1:]])
    runs = []
    for number, (low, high) in enumerate(itertools.pairwise(bounds)):
        if (hollow[0] + number) % 2:
            within = along[(along > low) & (along < high)]
            near = _NARROWING * min(_STEP, (high - low) / 2)
            runs.append(np.unique(np.concatenate([[low, high], low + near, high - near, within])))
    return runs


def _widths(side: Side, along: FloatArray) -> FloatArray:
    """How far ahead of the plunge line the hollow ends at places along it, shape (n,), mm."""

    def beyond(past: FloatArray) -> Corners:
        x, y = _at(side, np.broadcast_to(along, past.shape).ravel(), past.ravel())
        return np.asarray(past.ravel() > _width(side, x, y), dtype=np.int64).reshape(past.shape)

    return first_change(beyond, np.zeros(len(along)), np.full(len(along), side.plunge_radius))[0]


def _strip(
    side: Side, along: FloatArray, width: FloatArray, tolerance: float
) -> tuple[BaseGeometry, list[BaseGeometry]]:
    """The region over one run of places, and its rows at even angles round the arc."""
    radius = side.plunge_radius
    angle = np.arcsin(np.minimum(width / radius, 1.0))
    count = int(np.ceil(angle.max() / (2 * np.arccos(1 - min(_SAGITTA * tolerance / radius, 1.0)))))
    lines: list[BaseGeometry] = []
    for k in range(count):
        past = width - radius * np.sin(angle * k / count)
        line = LineString(np.stack(_at(side, along, past), axis=1))
        lines.append(line.simplify(min(_SAGITTA * tolerance / 2, _CLOSE)))
    foot = np.stack(_at(side, along[[0, -1]], np.zeros(2)), axis=1)
    end = shapely.get_coordinates(lines[0])
    return Polygon([foot[0], *end, foot[1]]), lines[1:]
