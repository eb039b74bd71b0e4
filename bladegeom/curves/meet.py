"""Where curves come near a point, and where they cross each other."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from bladegeom.curves.build import direction
from bladegeom.curves.curve import Curve, FloatArray, Vector, derivatives, points, subdivided
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.quantities.tolerances import JOINED, POINT

_COARSE = 0.05
"""Chord tolerance of the first search, mm; the answer is then polished on the curve itself."""

_PROBES = 8
"""Slopes of the distance are compared at this many steps of a stretch; two minima within one step count as one."""

_NEWTON_STEPS = 60
_STILL = 1e-12
"""Newton's method has ended when no place moves farther; a speed of 1000 mm per piece makes this POINT."""

_MAX_HALVINGS = 24
_MAX_PAIRS = 64
"""Pairs still undecided at once, for each piece of both curves."""

_PARALLEL = 1e-9
"""Sine of the angle, rad, below which two directions are parallel."""

_SAME = 1e-6
"""Crossings nearer than this on both curves, as places, are one that was found from two sides."""

_REAL = 1e-6
"""A root of a cubic counts with an imaginary part up to this, and so far outside its piece: touches are such."""

_AT_REST = 1e-8
"""Places that move less are at rest; well below _SAME, so that nothing is found twice."""

_QUARTERS = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
"""Halves of the first and of the second piece, in the order of their pairs."""

_Ints = npt.NDArray[np.int64]


class Nearest(NamedTuple):
    """Nearest places on a curve to n points."""

    t: FloatArray
    """Places on the curve, shape (n,)."""
    xy: FloatArray
    """Those points of the curve, shape (n, 2), mm."""
    distance: FloatArray
    """How far away, shape (n,), mm, never negative."""


class Crossing(NamedTuple):
    """One place that two curves share."""

    t_a: float
    t_b: float
    xy: Vector


def nearest(curve: Curve, to: npt.ArrayLike) -> Nearest:
    """Nearest point of a curve to each of n points, shape (n, 2).

    A search over chords, then Newton's method on the curve for every stretch that might hold the nearest point; the
    bound on the chords guarantees that no such stretch is missed.
    """
    targets = np.atleast_2d(np.asarray(to, dtype=np.float64))
    xy, index, u = flatten_pieces(curve.pieces, _COARSE)
    ends = np.concatenate([xy[1:], curve.pieces[-1:, 3]])
    step = ends - xy
    size = np.maximum((step**2).sum(axis=1), 1e-30)
    away = targets[:, None] - xy
    along = np.clip((away * step).sum(axis=2) / size, 0.0, 1.0)
    far = np.linalg.norm(away - along[..., None] * step, axis=2)
    # The true distance to a stretch differs from that to its chord by at most the chord tolerance.
    who, stretch = np.nonzero(far <= far.min(axis=1, keepdims=True) + 2 * _COARSE)
    low = index + u
    high = np.concatenate([low[1:], [float(len(curve))]])
    who, t = _least_places(curve, targets, who, index[stretch], low[stretch], high[stretch])
    found = points(curve, t)
    distance = np.linalg.norm(found - targets[who], axis=1)
    best = np.lexsort((t, distance, who))
    first = best[np.unique(who[best], return_index=True)[1]]
    return Nearest(t[first], found[first], distance[first])


def crossings(a: Curve, b: Curve) -> tuple[Crossing, ...]:
    """Places where two curves cross, in order along ``a``; touching without crossing may go unseen.

    Both curves are halved until two parts lie apart or can meet only once, at an angle; Newton's method then finds
    the crossing on the curves themselves.
    """
    found: list[Crossing] = []
    for t_a, t_b in _single_meetings(a, b):
        hit = _newton_crossing(a, b, t_a, t_b)
        if hit is not None and all(abs(hit.t_a - old.t_a) > _SAME or abs(hit.t_b - old.t_b) > _SAME for old in found):
            found.append(hit)
    return tuple(sorted(found))


def along_line(curve: Curve, start: Vector, angle_deg: float) -> FloatArray:
    """Where a curve meets a straight line without ends, by the roots of its cubics.

    Args:
        curve: Any curve.
        start: A place on the line, mm.
        angle_deg: Direction of the line.

    Returns:
        Distances from ``start`` along the line, ascending, shape (n,), mm; negative behind it. A corner or a touch on
        the line counts once.
    """
    way = np.array(direction(angle_deg))
    from_start = curve.pieces - np.array(start)
    off = from_start[..., 1] * way[0] - from_start[..., 0] * way[1]
    # A piece lies within the hull of its control points.
    near = np.flatnonzero((off.min(axis=1) <= POINT) & (off.max(axis=1) >= -POINT))
    found: list[float] = []
    for i, roots in zip(near.tolist(), _roots(off[near]), strict=True):
        u = roots.real[(np.abs(roots.imag) < _REAL) & (roots.real > -_REAL) & (roots.real < 1 + _REAL)]
        xy = points(Curve(curve.pieces[i : i + 1]), np.clip(u, 0.0, 1.0))
        found += ((xy - np.array(start)) @ way).tolist()
    places = np.sort(np.array(found))
    return places[np.concatenate([[True], np.diff(places) > JOINED])] if len(places) else places


_NOUGHT = 1e-100
"""A height of less is none, mm: what is divided by it could be more than a double holds."""


def _roots(heights: FloatArray) -> list[npt.NDArray[Any]]:
    """Where cubics with these Bezier heights, shape (k, 4), are nought, of each as many as its degree.

    Eigenvalues of the companion matrices, as ``numpy.roots`` finds them one by one.
    """
    a, b, c, d = heights.T
    powers = np.stack([d - 3 * c + 3 * b - a, 3 * (c - 2 * b + a), 3 * (b - a), a], axis=1)
    powers[np.abs(powers) < _NOUGHT] = 0.0
    if not (powers[:, 0] * powers[:, 3]).all():
        return [np.roots(row) for row in powers]
    companions = np.tile(np.eye(3, k=-1), (len(powers), 1, 1))
    companions[:, 0] = -powers[:, 1:] / powers[:, :1]
    return list(np.linalg.eigvals(companions))


def _single_meetings(a: Curve, b: Curve) -> list[tuple[float, float]]:
    """Places on both curves near which they may meet, once."""
    rows, columns = (grid.ravel() for grid in np.mgrid[: len(a), : len(b)])
    p, q, t = a.pieces[rows], b.pieces[columns], np.stack([rows, columns], axis=1).astype(np.float64)
    found: list[tuple[float, float]] = []
    width, most = 1.0, _MAX_PAIRS * (len(a) + len(b))
    for depth in range(_MAX_HALVINGS):
        close = _may_meet(p, q)
        p, q, t = p[close], q[close], t[close]
        # Where a control point is doubled the speed never becomes even.
        once = _meet_once(p, q, 0.5 if depth < _MAX_HALVINGS / 2 else -_PARALLEL)
        found += [(float(s), float(r)) for s, r in t[once] + width / 2]
        p, q, t = p[~once], q[~once], t[~once]
        # Curves that run along each other leave ever more parts undecided, and cross nowhere.
        if not 0 < len(p) <= most:
            break
        width /= 2
        p = np.repeat(subdivided(p, 2).reshape(-1, 2, 4, 2), 2, axis=1).reshape(-1, 4, 2)
        q = np.tile(subdivided(q, 2).reshape(-1, 2, 4, 2), (1, 2, 1, 1)).reshape(-1, 4, 2)
        t = (t[:, None] + width * _QUARTERS).reshape(-1, 2)
    return found


def _may_meet(p: FloatArray, q: FloatArray) -> npt.NDArray[np.bool_]:
    """Which pairs of pieces (n, 4, 2) no line parallel to an axis or to a chord separates."""
    axes = np.empty((len(p), 4, 2))
    axes[:, :2] = np.eye(2)
    axes[:, 2:] = np.stack([p[:, 3] - p[:, 0], q[:, 3] - q[:, 0]], axis=1)[..., ::-1] * (-1.0, 1.0)
    heights = [np.einsum("nic,nac->nai", piece - p[:, :1], axes) for piece in (p, q)]
    slack = POINT * np.abs(axes).max(axis=2)
    apart = [low.min(axis=2) > high.max(axis=2) + slack for low, high in (heights, heights[::-1])]
    return np.asarray(~(apart[0] | apart[1]).any(axis=1))


def _meet_once(p: FloatArray, q: FloatArray, evenly: float) -> npt.NDArray[np.bool_]:
    """Which pairs turn little and are nowhere parallel, so that they meet at most once.

    Args:
        p: First pieces, shape (n, 4, 2).
        q: Second pieces.
        evenly: Least cross product of their directions, as a part of the greatest; Newton's method needs some.
    """
    d, e = np.diff(p, axis=1), np.diff(q, axis=1)
    across = (d[:, :, None, 0] * e[:, None, :, 1] - d[:, :, None, 1] * e[:, None, :, 0]).reshape(len(p), 9)
    across *= np.sign(across.sum(axis=1, keepdims=True))
    sizes = [np.linalg.norm(s, axis=2).max(axis=1) for s in (d, e)]
    angled = (across.max(axis=1) > _PARALLEL * sizes[0] * sizes[1]) & (
        across.min(axis=1) >= evenly * across.max(axis=1)
    )
    steady = [(np.einsum("nic,njc->nij", s, s) >= -_PARALLEL).all(axis=(1, 2)) for s in (d, e)]
    return np.asarray(angled & steady[0] & steady[1])


def _least_places(
    curve: Curve, targets: FloatArray, who: _Ints, piece: _Ints, low: FloatArray, high: FloatArray
) -> tuple[_Ints, FloatArray]:
    """Targets, and places in stretches [low, high] that may be nearest to them: both ends and every minimum inside."""
    grid = low[:, None] + (high - low)[:, None] * np.linspace(0, 1, _PROBES + 1)
    each = np.repeat(np.arange(len(who)), grid.shape[1])
    slope = _slope(curve, piece[each], grid.ravel(), targets[who[each]])[0].reshape(grid.shape)
    rows, k = np.nonzero((slope[:, :-1] <= 0) & (slope[:, 1:] >= 0))
    inside = _polished(curve, piece[rows], targets[who[rows]], grid[rows, k], grid[rows, k + 1])
    return np.concatenate([who, who, who[rows]]), np.concatenate([low, high, inside])


def _polished(curve: Curve, piece: _Ints, targets: FloatArray, left: FloatArray, right: FloatArray) -> FloatArray:
    """The nearest places within [left, right], by Newton with halving wherever it leaves the bracket."""
    t = (left + right) / 2
    for _ in range(_NEWTON_STEPS):
        slope, rate = _slope(curve, piece, t, targets)
        left, right = np.where(slope < 0, t, left), np.where(slope < 0, right, t)
        with np.errstate(divide="ignore", invalid="ignore"):
            trial = t - slope / rate
        new = np.where((trial >= left) & (trial <= right), trial, (left + right) / 2)
        moved = float(np.abs(new - t).max(initial=0.0))
        t = new
        if moved < _STILL:
            break
    return t


def _slope(curve: Curve, piece: _Ints, t: FloatArray, targets: FloatArray) -> tuple[FloatArray, FloatArray]:
    """First and second derivative of half the squared distance."""
    xy, first, second = _at(curve, piece, t)
    away = xy - targets
    return (away * first).sum(axis=1), (first**2).sum(axis=1) + (away * second).sum(axis=1)


def _at(curve: Curve, piece: _Ints, t: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Point and two derivatives on a given piece, so that its upper end is not read on the next one."""
    p, u = curve.pieces[piece], (t - piece)[:, None]
    v = 1 - u
    a, b, c = p[:, 1] - p[:, 0], p[:, 2] - p[:, 1], p[:, 3] - p[:, 2]
    xy = v**3 * p[:, 0] + 3 * v * v * u * p[:, 1] + 3 * v * u * u * p[:, 2] + u**3 * p[:, 3]
    return xy, 3 * (v * v * a + 2 * v * u * b + u * u * c), 6 * (v * (b - a) + u * (c - b))


def _newton_crossing(a: Curve, b: Curve, t_a: float, t_b: float) -> Crossing | None:
    """The crossing near a first guess, or None where the method leaves the curves."""
    t, ends = np.array([t_a, t_b]), np.array([len(a), len(b)], dtype=np.float64)
    for _ in range(_NEWTON_STEPS):
        xy = points(a, t[0])[0]
        gap = points(b, t[1])[0] - xy
        da, db = derivatives(a, t[0])[0][0], derivatives(b, t[1])[0][0]
        det = float(-da[0] * db[1] + da[1] * db[0])
        step = np.array([-gap[0] * db[1] + gap[1] * db[0], da[0] * gap[1] - da[1] * gap[0]])
        new = np.clip(t + step / det, 0.0, ends) if abs(det) > 1e-14 else t
        moved = float(np.abs(new - t).max())
        # Where curves touch, all places near by are close: only the place where the method comes to rest is one.
        if moved < _AT_REST and float(np.abs(gap).sum()) < POINT:
            return Crossing(float(t[0]), float(t[1]), (float(xy[0]), float(xy[1])))
        if moved == 0:
            return None
        t = new
    return None
