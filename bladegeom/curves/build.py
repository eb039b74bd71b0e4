"""Ways to make a curve: lines, arcs, and splines through knots."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.told import told
from bladegeom.quantities.tolerances import JOINED

_ARC_STEP_DEG = 30.0
"""Longest arc drawn by one cubic: its radius is then true to 4e-7 (own measurement)."""


def line(*vertices: Vector) -> Curve:
    """Straight lines from vertex to vertex.

    Raises:
        CurveError: Fewer than two vertices, or two that follow each other at the same place.

    >>> line((0.0, 0.0), (30.0, 0.0), (30.0, 40.0)).end
    (30.0, 40.0)
    """
    v = _vertices(vertices)
    start, end = v[:-1], v[1:]
    third = (end - start) / 3
    pieces = np.empty((len(start), 4, 2))
    pieces[:, 0], pieces[:, 1], pieces[:, 2], pieces[:, 3] = start, start + third, end - third, end
    return Curve(pieces)


def arc(centre: Vector, radius: float, start_deg: float, sweep_deg: float) -> Curve:
    """Circular arc; a positive sweep turns left.

    The radius is true to within 4e-7 of itself.

    Raises:
        CurveError: Radius not positive, or no sweep.

    >>> quarter = arc((0.0, 0.0), 10.0, 0.0, 90.0)
    >>> [round(value, 6) + 0.0 for value in quarter.end]
    [0.0, 10.0]
    """
    if not (radius > 0 and math.isfinite(radius)):
        raise CurveError(f"an arc needs a positive radius, not {radius:g} mm", value=radius, limit=0.0)
    if not 0 < abs(sweep_deg) <= 360:
        raise CurveError(
            f"an arc must sweep between 0 and 360 degrees, not {sweep_deg:g}", value=sweep_deg, limit=360.0
        )
    n = math.ceil(abs(sweep_deg) / _ARC_STEP_DEG - 1e-9)
    angles = np.radians(start_deg + sweep_deg * np.arange(n + 1) / n)
    handle = 4 / 3 * math.tan(math.radians(sweep_deg / n) / 4)
    unit = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    tangent = np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    pieces = np.stack([unit[:-1], unit[:-1] + handle * tangent[:-1], unit[1:] - handle * tangent[1:], unit[1:]], axis=1)
    return Curve(np.asarray(centre) + radius * pieces)


def spline(knots: Sequence[Vector], *, start_deg: float | None = None, end_deg: float | None = None) -> Curve:
    """Smooth curve through knots: one cubic per span, curvature continuous at the knots inside.

    Interpolating cubic spline in chord-length parameters, converted exactly to Bezier pieces. An end without a given
    direction is left free of bending (natural end).

    Args:
        knots: At least two places, mm; none may repeat its neighbour.
        start_deg: Direction of travel at the first knot, degrees from +x, counter-clockwise.
        end_deg: The same at the last knot.

    Raises:
        CurveError: Fewer than two knots, or a repeated one.

    Source:
        de Boor, A Practical Guide to Splines, ch. IV (complete and natural cubic splines).

    >>> spline([(0.0, 0.0), (50.0, 8.0), (100.0, 0.0)], start_deg=20.0).start
    (0.0, 0.0)
    """
    p = _vertices(knots)
    if len(p) == 2 and start_deg is None and end_deg is None:
        return line(knots[0], knots[1])
    h = np.hypot(*np.diff(p, axis=0).T)
    slopes = np.diff(p, axis=0) / h[:, None]
    n = len(p)
    matrix, right = np.zeros((n, n)), np.zeros((n, 2))
    inside = np.arange(1, n - 1)
    matrix[inside, inside - 1] = 1 / h[:-1]
    matrix[inside, inside] = 2 / h[:-1] + 2 / h[1:]
    matrix[inside, inside + 1] = 1 / h[1:]
    right[1:-1] = 3 * (slopes[:-1] / h[:-1, None] + slopes[1:] / h[1:, None])
    for row, neighbour, angle, slope in ((0, 1, start_deg, slopes[0]), (n - 1, n - 2, end_deg, slopes[-1])):
        if angle is None:
            matrix[row, row], matrix[row, neighbour], right[row] = 2.0, 1.0, 3 * slope
        else:
            matrix[row, row], right[row] = 1.0, direction(angle)
    d = np.linalg.solve(matrix, right)
    third = h[:, None] / 3
    return Curve(np.stack([p[:-1], p[:-1] + third * d[:-1], p[1:] - third * d[1:], p[1:]], axis=1))


def direction(angle_deg: float) -> Vector:
    """Unit vector at an angle from +x, counter-clockwise; exact at quarter turns."""
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    a = math.radians(angle_deg)
    return exact.get(angle_deg % 360.0, (math.cos(a), math.sin(a)))


def _vertices(vertices: Sequence[Vector]) -> FloatArray:
    try:
        v = np.asarray(vertices, dtype=np.float64)
    except (TypeError, ValueError):
        raise CurveError(f"a curve needs points (x, y), each two numbers of mm, not {told(vertices)}") from None
    if v.ndim != 2 or v.shape[1] != 2 or len(v) < 2:
        raise CurveError(f"a curve needs at least two points (x, y), not {len(vertices)}", value=len(vertices), limit=2)
    if not np.isfinite(v).all():
        bad = int(np.flatnonzero(~np.isfinite(v).all(axis=1))[0])
        raise CurveError(
            f"point {bad + 1} of a curve is not a finite number: ({v[bad, 0]:g}, {v[bad, 1]:g})", value=bad + 1
        )
    across, up = (v[1:] - v[:-1]).T
    steps = np.hypot(across, up)
    if steps.min() <= JOINED:
        x, y = v[int(steps.argmin())]
        raise CurveError(
            f"two points of a curve that follow each other are the same: x {x:.3f}, y {y:.3f} mm", at=(x, y)
        )
    return v
