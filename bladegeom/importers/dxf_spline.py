"""DXF splines of any degree, rational or not, as chains of cubics."""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

SPLINE_FIT: Final = 5e-4
"""Greatest distance of the cubics from the spline they stand for, mm; a spline of degree 1 to 3 is met exactly."""

HIGHEST_DEGREE: Final = 11
"""Of a spline that is read; own choice: CAD programs write 3, sometimes 5."""

MOST_KNOTS: Final = 2_000
"""Points and knots of a spline that is read; own choice."""

_DEEPEST, _MOST_CUBICS = 12, 20_000
"""A span is halved no more often, and a spline stands for no more cubics; own choice."""

_UNEVEN = 1e6
"""Weights that differ by more are damaged; own choice: of conics they differ by less than 2."""

_PROBES = np.linspace(0.0, 1.0, 17)[1:-1]
"""Places of a span at which the cubic is compared with the spline."""

_EXACT = 3
"""Splines of this degree or less are cubics themselves."""


def is_readable(entity: Any) -> bool:
    """Whether a SPLINE is of a degree and a size that is read."""
    many = max(entity.control_point_count(), entity.fit_point_count(), entity.knot_count())
    return bool(many <= MOST_KNOTS and 1 <= int(entity.dxf.degree) <= HIGHEST_DEGREE)


def spline_cubics(entity: Any, within: float) -> FloatArray:
    """The cubics of a SPLINE.

    Args:
        entity: One that is readable.
        within: Greatest distance from the spline, > 0, in units of the file.

    Returns:
        Shape (k, 4, 3), in units of the file.

    Raises:
        ValueError: Its knots, weights or points do not make a spline.

    Source:
        Piegl and Tiller, The NURBS Book, chapters 4 and 5 (from memory): a span's Bezier points are the values of its
        blossom at the ends of the span.
    """
    tool = entity.construction_tool()
    points = np.array([tuple(p) for p in tool.control_points], dtype=np.float64)
    knots = np.array(tool.knots(), dtype=np.float64)
    weights = np.array(tool.weights() or np.ones(len(points)), dtype=np.float64)
    degree = len(knots) - len(points) - 1
    sound = degree >= 1 and len(points) > degree and len(weights) == len(points) and bool((weights > 0).all())
    sound = sound and bool(weights.max() <= _UNEVEN * weights.min())
    if not (sound and np.isfinite(points).all() and np.isfinite(knots).all() and (np.diff(knots) >= 0).all()):
        raise ValueError("its knots, weights and points do not make a spline")
    return bspline_cubics(points, knots, weights, within)


def bspline_cubics(points: FloatArray, knots: FloatArray, weights: FloatArray, within: float) -> FloatArray:
    """The same from control points (n, d), knots (n + degree + 1,) and weights (n,); gives (k, 4, d)."""
    degree = len(knots) - len(points) - 1
    whole = np.column_stack([points * weights[:, None], weights])
    even = bool(np.ptp(weights) <= 1e-12 * weights.max())
    out: list[FloatArray] = []
    for i in range(degree, len(points)):
        if knots[i + 1] > knots[i]:
            span = _bezier(whole[i - degree : i + 1], knots[i - degree + 1 : i + degree + 1], knots[i], knots[i + 1])
            out += [_raised(span[:, :-1] / span[:, -1:])] if even and degree <= _EXACT else _fitted(span, within, 0)
        if len(out) > _MOST_CUBICS:
            raise ValueError("it bends too often")
    if not out:
        raise ValueError("a spline without length")
    return np.array(out)


def _bezier(points: FloatArray, knots: FloatArray, low: float, high: float) -> FloatArray:
    """Bezier points of one span from its degree + 1 control points and the 2 x degree knots round it."""
    degree = len(points) - 1
    return np.array([_blossom(points, knots, [low] * (degree - k) + [high] * k) for k in range(degree + 1)])


def _blossom(points: FloatArray, knots: FloatArray, at: list[float]) -> FloatArray:
    degree, row = len(points) - 1, points
    for step, value in enumerate(at):
        left, right = knots[step:degree], knots[degree : 2 * degree - step]
        share = ((value - left) / (right - left))[:, None]
        row = (1 - share) * row[:-1] + share * row[1:]
    return np.asarray(row[0])


def _raised(span: FloatArray) -> FloatArray:
    """A Bezier of degree 1 to 3 as a cubic."""
    while len(span) < 4:
        n = len(span)
        share = (np.arange(1, n) / n)[:, None]
        span = np.concatenate([span[:1], share * span[:-1] + (1 - share) * span[1:], span[-1:]])
    return span


def _fitted(span: FloatArray, within: float, depth: int) -> list[FloatArray]:
    """Cubics with the ends and the tangents of a rational Bezier, halved until they keep within a distance."""
    cubic = _hermite(span)
    off = _at(span, _PROBES) - cubic_at(cubic, _PROBES)
    if np.hypot(*off.T[:2]).max() <= 0.5 * within:
        return [cubic]
    if depth == _DEEPEST:
        raise ValueError("it bends more sharply than can be followed")
    left, right = _halved(span)
    return [*_fitted(left, within, depth + 1), *_fitted(right, within, depth + 1)]


def _hermite(span: FloatArray) -> FloatArray:
    degree = len(span) - 1
    place, weight = span[:, :-1] / span[:, -1:], span[:, -1]
    ahead = degree * weight[1] / weight[0] * (place[1] - place[0]) / 3
    back = degree * weight[-2] / weight[-1] * (place[-1] - place[-2]) / 3
    return np.array([place[0], place[0] + ahead, place[-1] - back, place[-1]])


def _halved(span: FloatArray) -> tuple[FloatArray, FloatArray]:
    left, right, row = [span[0]], [span[-1]], span
    while len(row) > 1:
        row = (row[:-1] + row[1:]) / 2
        left.append(row[0])
        right.append(row[-1])
    return np.array(left), np.array(right[::-1])


def _at(span: FloatArray, share: FloatArray) -> FloatArray:
    """Places of a rational Bezier, shape (m, d)."""
    degree = len(span) - 1
    basis = _bernstein(degree, share)
    whole = basis @ span
    return np.asarray(whole[:, :-1] / whole[:, -1:])


def cubic_at(cubic: FloatArray, share: FloatArray) -> FloatArray:
    """Places of a cubic, shape (m, d)."""
    return np.asarray(_bernstein(3, share) @ cubic)


def _bernstein(degree: int, share: FloatArray) -> npt.NDArray[np.float64]:
    k = np.arange(degree + 1)
    many = np.array([math.comb(degree, int(i)) for i in k], dtype=np.float64)
    s = share[:, None]
    return np.asarray(many * s**k * (1 - s) ** (degree - k))
