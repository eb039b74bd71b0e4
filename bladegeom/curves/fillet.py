"""Rounding the corner between two curves with an arc of a given radius."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.build import arc
from bladegeom.curves.curve import (
    Curve,
    FloatArray,
    Vector,
    curvature,
    derivatives,
    directions,
    join,
    points,
    split,
)
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import JOINED, POINT, SMOOTH_DEG

_COARSE = 0.005
_NEWTON_STEPS = 30
_MOST_GUESSES = 8


def fillet(a: Curve, b: Curve, radius: float) -> tuple[Curve, Curve, Curve]:
    """Round the corner where ``a`` ends and ``b`` starts.

    The arc's centre is where the two curves' parallels at the radius cross; of several, the one nearest the corner.

    Args:
        a: Curve into the corner.
        b: Curve out of it; starts where ``a`` ends.
        radius: Of the arc, > 0 mm.

    Returns:
        ``a`` cut short, the arc, and ``b`` cut short; tangent at both joints.

    Raises:
        CurveError: The curves do not meet, there is no corner, or the radius does not fit.

    >>> from bladegeom import line
    >>> before, round_, after = fillet(line((0.0, 0.0), (20.0, 0.0)), line((20.0, 0.0), (20.0, 20.0)), 5.0)
    >>> [round(value, 6) for value in (*before.end, *after.start)]
    [15.0, 0.0, 20.0, 5.0]
    """
    if not (radius > 0 and math.isfinite(radius)):
        raise CurveError(f"a fillet needs a positive radius, not {radius:g} mm", value=radius, limit=0.0)
    x, y = a.end
    if math.dist(a.end, b.start) > JOINED:
        raise CurveError(
            f"no fillet between curves that do not meet: x {x:.2f}, y {y:.2f} and "
            f"x {b.start[0]:.2f}, y {b.start[1]:.2f} mm",
            at=a.end,
            value=math.dist(a.end, b.start),
            limit=JOINED,
        )
    turn = _turn(a.end_direction, b.start_direction)
    if abs(math.degrees(turn)) < SMOOTH_DEG:
        raise CurveError(f"no corner to round near x {x:.2f}, y {y:.2f} mm: the curves are already tangent", at=(x, y))
    places = _tangent_places(a, b, math.copysign(radius, turn))
    if places is None:
        largest = math.floor(_largest(a, b, turn, radius) * 100) / 100
        raise CurveError(
            f"a fillet of radius {radius:g} mm does not fit into the corner near x {x:.2f}, y {y:.2f} mm; "
            f"the largest that does is about {largest:.2f} mm",
            at=(x, y),
            value=radius,
            limit=largest,
        )
    t_a, t_b = places
    (pa,), (da,) = points(a, t_a), directions(a, t_a)
    (pb,), (db,) = points(b, t_b), directions(b, t_b)
    side = math.copysign(1.0, turn)
    normal = side * np.array([-da[1], da[0]])
    centre = pa + radius * normal
    sweep = math.degrees(_turn(tuple(da), tuple(db)))
    start = math.degrees(math.atan2(-normal[1], -normal[0]))
    rounded = arc((float(centre[0]), float(centre[1])), radius, start, sweep).pieces.copy()
    rounded[0, 0], rounded[-1, 3] = pa, pb
    return _before(a, t_a), Curve(rounded), _after(b, t_b)


def filleted(*curves: Curve, radius: float) -> Curve:
    """Several curves in a row as one, each corner between them rounded by the same radius.

    >>> from bladegeom import line
    >>> corner = filleted(line((0.0, 0.0), (20.0, 0.0)), line((20.0, 0.0), (20.0, 20.0)), radius=5.0)
    >>> corner.start, corner.end
    ((0.0, 0.0), (20.0, 20.0))
    """
    done, last = [], curves[0]
    for following in curves[1:]:
        last, rounded, rest = fillet(last, following, radius)
        done += [last, rounded]
        last = rest
    return join(*done, last)


def _tangent_places(a: Curve, b: Curve, signed_radius: float) -> tuple[float, float] | None:
    """Where the arc leaves ``a`` and reaches ``b``, nearest to the corner, or None where there is no such arc."""
    found = (_newton(a, b, signed_radius, *guess) for guess in _guesses(a, b, signed_radius))
    fits = [places for places in found if places is not None and _rounds(a, b, signed_radius, *places)]
    return max(fits, default=None)


def _guesses(a: Curve, b: Curve, signed_radius: float) -> list[tuple[float, float]]:
    """Where the arc would be if both curves were straight at the corner, and where chords of their parallels cross."""
    reach = abs(signed_radius) * math.tan(abs(_turn(a.end_direction, b.start_direction)) / 2)
    speeds = [float(np.hypot(*derivatives(c, t)[0][0])) for c, t in ((a, len(a)), (b, 0))]
    straight = len(a) - reach / max(speeds[0], POINT), reach / max(speeds[1], POINT)
    ta, oa = _parallel(a, signed_radius)
    tb, ob = _parallel(b, signed_radius)
    za, zb = np.diff(oa, axis=0), np.diff(ob, axis=0)
    gap = ob[None, :-1] - oa[:-1, None]
    det = za[:, None, 0] * zb[None, :, 1] - za[:, None, 1] * zb[None, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (gap[..., 0] * zb[None, :, 1] - gap[..., 1] * zb[None, :, 0]) / det
        r = (gap[..., 0] * za[:, None, 1] - gap[..., 1] * za[:, None, 0]) / det
    slack = 1e-9
    i, j = np.nonzero((s >= -slack) & (s <= 1 + slack) & (r >= -slack) & (r <= 1 + slack))
    on_a = ta[i] + s[i, j] * np.diff(ta)[i]
    on_b = tb[j] + r[i, j] * np.diff(tb)[j]
    nearest = np.lexsort((on_b, -on_a))[:_MOST_GUESSES]
    return [straight, *((float(on_a[k]), float(on_b[k])) for k in nearest)]


def _rounds(a: Curve, b: Curve, signed_radius: float, t_a: float, t_b: float) -> bool:
    """Whether both curves keep some length, turn less sharply than the arc, and the arc turns as the corner does."""
    (da,), (db,) = directions(a, t_a), directions(b, t_b)
    sharpest = max(signed_radius * float(curvature(c, t)[0]) for c, t in ((a, t_a), (b, t_b)))
    return t_a > POINT and t_b < len(b) - POINT and sharpest < 1 and _turn(tuple(da), tuple(db)) * signed_radius > 0


def _parallel(curve: Curve, offset: float) -> tuple[FloatArray, FloatArray]:
    """Places on a curve and the points ``offset`` to the left of them."""
    # A straight piece is one chord; its parallel needs no more.
    _, index, u = flatten_pieces(curve.pieces, _COARSE)
    t = np.concatenate([index + u, [float(len(curve))]])
    d = directions(curve, t)
    return t, points(curve, t) + offset * np.stack([-d[:, 1], d[:, 0]], axis=1)


def _newton(a: Curve, b: Curve, offset: float, t_a: float, t_b: float) -> tuple[float, float] | None:
    """Where the two parallels cross, from a first guess; None where the method finds no place on both curves."""
    before = math.nan, math.nan
    for _ in range(_NEWTON_STEPS):
        t_a, t_b = min(max(t_a, 0.0), float(len(a))), min(max(t_b, 0.0), float(len(b)))
        (pa, va), (pb, vb) = _offset_point(a, t_a, offset), _offset_point(b, t_b, offset)
        gap = pb - pa
        det = float(-va[0] * vb[1] + va[1] * vb[0])
        if abs(det) < 1e-14 or (t_a, t_b) == before:
            return None
        before = t_a, t_b
        t_a += float(-gap[0] * vb[1] + gap[1] * vb[0]) / det
        t_b += float(va[0] * gap[1] - va[1] * gap[0]) / det
        # The step after the last leaves rounding only, which a small arc needs to be tangent.
        if abs(gap[0]) + abs(gap[1]) < POINT:
            return min(max(t_a, 0.0), float(len(a))), min(max(t_b, 0.0), float(len(b)))
    return None


def _offset_point(curve: Curve, t: float, offset: float) -> tuple[FloatArray, FloatArray]:
    """A point of the parallel and its derivative: P + r N, and P' (1 - r k)."""
    (d,) = directions(curve, t)
    (first,) = derivatives(curve, t)[0]
    (k,) = curvature(curve, t)
    return points(curve, t)[0] + offset * np.array([-d[1], d[0]]), first * (1 - offset * k)


def _largest(a: Curve, b: Curve, turn: float, too_large: float) -> float:
    low, high = 0.0, too_large
    for _ in range(24):
        middle = (low + high) / 2
        if _tangent_places(a, b, math.copysign(middle, turn)) is None:
            high = middle
        else:
            low = middle
    return low


def _before(curve: Curve, t: float) -> Curve:
    return curve if t >= len(curve) - 1e-12 else split(curve, t)[0]


def _after(curve: Curve, t: float) -> Curve:
    return curve if t <= 1e-12 else split(curve, t)[1]


def _turn(d: Vector, e: Vector) -> float:
    """Angle from one unit direction to another, radians, left positive."""
    return math.atan2(d[0] * e[1] - d[1] * e[0], d[0] * e[0] + d[1] * e[1])
