"""Few fair curves through many points that scatter: cubic splines by least squares, no point farther off than asked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, derivatives
from bladegeom.curves.curve import points as xy
from bladegeom.curves.inflection import bends
from bladegeom.curves.spans import Spans
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.units import show_length

_ROUNDS = 4
"""So often the points are carried back to the curve and the curve is fitted again (own measurement: 4 settle it)."""

_LEAST_POINTS = 3
"""Points that a span must hold: with fewer it follows the scatter."""

_LEAST_STIFFNESS, _STIFFENINGS, _STIFFER = 1e-5, 16, 4.0
"""Stiffness is raised by this factor at most so many times."""

_POINTS_PER_SPAN, _MOST_TO_BEGIN = 8, 32
"""Of a stretch to begin with; spans are then added and taken away."""

_PULL, _MOST_PULLS = 2.0, 60
"""Where spans cannot be halved any more, the point farthest off counts for more, by this factor, so many times."""

_FEW_PULLS, _LITTLE = 8, 1.3
"""While thinning, only points less than so many times too far off are pulled in, and only so often."""

_EVEN = 5
"""So many even spans are tried in place of those that were found by halving."""

_WAVE_DEG, _PER_WAVE = 0.05, 6.0
"""A bend the other way, of at least so many degrees, must be worth so many freedoms; own choice by eye."""

_NOTHING = 0.1
"""Distances below this part of the one allowed are as good as none; own choice."""

_MOST_POINTS = 5000

_REMEMBERED = 8
"""Lines that were faired last; a script that is called with one value after another traces one or two."""


@dataclass(frozen=True)
class _Stretch:
    """Points between two corners, their weights, where each lies along the curve (0 to 1), and its spans."""

    points: FloatArray
    weights: FloatArray
    at: FloatArray
    spans: Spans

    @property
    def ends(self) -> FloatArray:
        """Where the spans begin and end."""
        return self.spans.ends

    def split_at(self, i: int) -> _Stretch | None:
        """One span more: the one that holds a point is halved at the middle of its points; None if they are few."""
        span = min(int(np.searchsorted(self.ends, self.at[i], side="right")) - 1, len(self.ends) - 2)
        inside = self.at[(self.at > self.ends[span]) & (self.at < self.ends[span + 1])]
        if len(inside) < 2 * _LEAST_POINTS:
            return None
        return replace(self, spans=Spans(np.insert(self.ends, span + 1, np.median(inside))))

    def pulled(self, i: int) -> _Stretch:
        """One point counts for more."""
        weights = self.weights.copy()
        weights[i] *= _PULL
        return replace(self, weights=weights)


def fair_loop(points: FloatArray, corners: Sequence[int], within: float) -> tuple[Curve, ...]:
    """Curves from corner to corner round a closed row of points, with few pieces and no needless change of bend.

    Cubic splines, curvature continuous between corners, fitted to all points at once by least squares of the
    distance; neighbours share the corner, which is fitted too. Spans are added where points lie too far off, then
    taken away where they are not needed; then the curve is made as stiff (least change of bend) as the points allow.

    Args:
        points: In order round the loop, the first not repeated at the end, shape (n, 2), mm.
        corners: Indices of the points that are corners, rising, at least one; all else becomes smooth.
        within: Greatest distance of a point from the curve, mm.

    Returns:
        One curve from each corner to the next, the first from the first corner.

    Raises:
        CurveError: Too few or too many points, or one that no fair curve passes within the distance.

    Source:
        de Boor, A Practical Guide to Splines, ch. XIV (least squares by splines); the points are carried back to the
        curve as in Hoschek, Intrinsic parametrization for approximation, CAGD 5 (1988).
    """
    places = np.ascontiguousarray(points, dtype=np.float64).reshape(-1, 2)
    return _faired(places.tobytes(), tuple(corners), float(within))


@lru_cache(maxsize=_REMEMBERED)
def _faired(places: bytes, corners: tuple[int, ...], within: float) -> tuple[Curve, ...]:
    """The same, of points as bytes: whoever turns the thickness of a traced knife asks for the same line each time."""
    points = np.frombuffer(places).reshape(-1, 2)
    fit, pulls = _Fit(_stretches(points, corners), within, rounds=_ROUNDS), 0
    while (bad := fit.worst) is not None:
        j, i = bad
        better = fit.stretches[j].split_at(i)
        if better is None:
            pulls += 1
            if pulls > _MOST_PULLS:
                raise _too_far(fit.stretches[j].points[i], float(fit.distances[j][i]), within)
            better = fit.stretches[j].pulled(i)
        fit = _Fit([better if k == j else s for k, s in enumerate(fit.stretches)], within)
    return _stiffened(_thinned(_plain(fit))).curves


def _too_far(point: FloatArray, off: float, within: float) -> CurveError:
    return CurveError(
        f"the point at ({point[0]:.2f}, {point[1]:.2f}) lies {show_length(off)} off any fair curve through its "
        f"neighbours, more than {show_length(within)}: pick it anew, name it as a corner, pick more points beside it, "
        f"or allow {off * 1.05:.2g} mm",
        at=(float(point[0]), float(point[1])),
        value=off,
        limit=within,
    )


class _Fit:
    """Curves fitted to stretches with one stiffness, and how far they miss the points."""

    def __init__(
        self, stretches: Sequence[_Stretch], within: float, *, stiffness: float = 0.0, rounds: int = 2
    ) -> None:
        self.within, self.stiffness = within, stiffness
        self.stretches = list(stretches)
        for _ in range(rounds):
            self.curves, self.freedoms = _solved(self.stretches, stiffness)
            self.stretches = [_carried(s, c) for s, c in zip(self.stretches, self.curves, strict=True)]
        self.distances = [
            np.hypot(*(xy(c, _place(s)) - s.points).T) for s, c in zip(self.stretches, self.curves, strict=True)
        ]

    @property
    def misfit(self) -> float:
        """Sum of squared distances, mm2; what is far below the distance allowed is no misfit."""
        every = np.concatenate(self.distances)
        return float((every**2).sum()) + len(every) * (_NOTHING * self.within) ** 2

    @property
    def score(self) -> float:
        """Schwarz's criterion: the lower, the better the points are told by few freedoms."""
        n = sum(len(d) for d in self.distances)
        waves = sum(len(bends(curve, _WAVE_DEG)) for curve in self.curves)
        return n * math.log(self.misfit) + (self.freedoms + _PER_WAVE * waves) * math.log(n)

    @property
    def worst(self) -> tuple[int, int] | None:
        """Stretch and index of the point farthest off, if any is too far."""
        far = [float(d.max(initial=0.0)) for d in self.distances]
        j = int(np.argmax(far))
        return None if far[j] <= self.within else (j, int(self.distances[j].argmax()))


def _stretches(points: FloatArray, corners: Sequence[int]) -> list[_Stretch]:
    p = np.asarray(points, dtype=np.float64)
    if not 8 <= len(p) <= _MOST_POINTS:
        raise CurveError(
            f"a fair curve wants 8 to {_MOST_POINTS} points round the loop, not {len(p)}",
            value=len(p),
            limit=_MOST_POINTS,
        )
    out = []
    for i, j in zip(corners, [*corners[1:], corners[0] + len(p)], strict=True):
        own = p[np.arange(i, j + 1) % len(p)]
        along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(own, axis=0).T))])
        count = min(max(1, len(own) // _POINTS_PER_SPAN), _MOST_TO_BEGIN)
        places = np.linspace(0, len(own) - 1, count + 1)
        ends = np.interp(places, np.arange(len(own)), along / along[-1])
        # A corner point belongs to both of its stretches and counts once.
        weights = np.ones(len(own))
        weights[[0, -1]] = 0.5
        out.append(_Stretch(own, weights, along / along[-1], Spans(ends)))
    return out


def _solved(stretches: Sequence[_Stretch], stiffness: float) -> tuple[tuple[Curve, ...], float]:
    """All stretches by one least-squares problem; the last coefficient of each is the first of the next."""
    sizes = [len(s.ends) + 2 for s in stretches]
    begin = np.concatenate([[0], np.cumsum([size - 1 for size in sizes])])
    total = int(begin[-1])
    owners = [(start + np.arange(size)) % total for start, size in zip(begin, sizes, strict=False)]
    left, bend, right = np.zeros((total, total)), np.zeros((total, total)), np.zeros((total, 2))
    for s, own in zip(stretches, owners, strict=True):
        rows = s.spans.collocation(s.at)
        weighted = rows.T * s.weights
        left[np.ix_(own, own)] += weighted @ rows
        bend[np.ix_(own, own)] += s.spans.stiffness
        right[own] += weighted @ s.points
    stiff = left + stiffness * bend
    inverse = np.linalg.pinv(stiff, rcond=1e-13, hermitian=True)
    solution = inverse @ right
    curves = tuple(
        Curve((s.spans.beziers @ solution[own]).reshape(-1, 4, 2)) for s, own in zip(stretches, owners, strict=True)
    )
    return curves, float(np.vdot(inverse, left))


def _carried(stretch: _Stretch, curve: Curve) -> _Stretch:
    """Each point moves along to where the curve's tangent comes nearest to it; the corners stay at the ends."""
    t = _place(stretch)
    first, _ = derivatives(curve, t)
    step = ((stretch.points - xy(curve, t)) * first).sum(axis=1) / np.maximum((first**2).sum(axis=1), 1e-12)
    h = np.diff(stretch.ends)[np.minimum(t.astype(np.int64), len(curve) - 1)]
    at = np.clip(stretch.at + np.clip(step, -0.5, 0.5) * h, 0.0, 1.0)
    at[0], at[-1] = 0.0, 1.0
    return replace(stretch, at=np.maximum.accumulate(at))


def _place(stretch: _Stretch) -> FloatArray:
    """Where the points lie, as places on the curve."""
    span = np.clip(np.searchsorted(stretch.ends, stretch.at, side="right") - 1, 0, len(stretch.ends) - 2)
    return np.asarray(span + (stretch.at - stretch.ends[span]) / np.diff(stretch.ends)[span])


def _plain(fit: _Fit) -> _Fit:
    """With a few even spans in place of many for each stretch where they serve as well."""
    for j in range(len(fit.stretches)):
        for count in range(1, _EVEN + 1):
            fewer = list(fit.stretches)
            fewer[j] = replace(fewer[j], spans=Spans(np.linspace(0.0, 1.0, count + 1)))
            plainer = _pulled_in(_Fit(fewer, fit.within, rounds=_ROUNDS))
            if plainer.worst is None and plainer.score <= fit.score:
                fit = plainer
    return fit


def _thinned(fit: _Fit) -> _Fit:
    """Without the span ends that the points can do without, those with the least change of bend tried first."""
    again = True
    while again:
        again, tried = False, set[tuple[int, float]]()
        while left := [span for span in _span_ends(fit) if span[1:] not in tried]:
            _, j, at = min(left)
            tried.add((j, at))
            fewer = list(fit.stretches)
            fewer[j] = replace(fewer[j], spans=Spans(fewer[j].ends[fewer[j].ends != at]))
            thinner = _pulled_in(_Fit(fewer, fit.within))
            if thinner.worst is None and thinner.score <= fit.score:
                fit, again = thinner, True
    return fit


def _pulled_in(fit: _Fit) -> _Fit:
    """With points that lie too far off by little counting for more, until none does or it is of no use."""
    for _ in range(_FEW_PULLS):
        bad = fit.worst
        if bad is None or fit.distances[bad[0]][bad[1]] > _LITTLE * fit.within:
            break
        pulled = list(fit.stretches)
        pulled[bad[0]] = pulled[bad[0]].pulled(bad[1])
        fit = _Fit(pulled, fit.within, stiffness=fit.stiffness)
    return fit


def _span_ends(fit: _Fit) -> list[tuple[float, int, float]]:
    """Each span end between corners: how much the third derivative leaps there, its stretch, its place."""
    out = []
    for j, (s, curve) in enumerate(zip(fit.stretches, fit.curves, strict=True)):
        p, h = curve.pieces, np.diff(s.ends)
        third = 6 * (p[:, 3] - 3 * p[:, 2] + 3 * p[:, 1] - p[:, 0]) / h[:, None] ** 3
        # Of two leaps the one over longer spans bends the curve more.
        leap = np.hypot(*np.diff(third, axis=0).T) * np.minimum(h[:-1], h[1:]) ** 3
        out += [(float(size), j, float(at)) for size, at in zip(leap, s.ends[1:-1], strict=True)]
    return out


def _stiffened(fit: _Fit) -> _Fit:
    """As stiff as the points allow: none farther off than asked, and hardly farther off on the whole."""
    tried = [
        _pulled_in(_Fit(fit.stretches, fit.within, stiffness=_LEAST_STIFFNESS * _STIFFER**i))
        for i in range(_STIFFENINGS)
    ]
    return min([fit, *(stiffer for stiffer in tried if stiffer.worst is None)], key=lambda stiffer: stiffer.score)
