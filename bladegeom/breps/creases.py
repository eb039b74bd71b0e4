"""Lines on one side of the steel where another law takes over, found along rays square to the edge.

A ray begins on the edge and runs into the steel; at the ends of the edge, and at corners of it, rays turn about the
place. Along each the laws are probed and the takeovers halved down; takeovers of the same two laws on neighbouring
rays make a line, which ends where it leaves the steel, meets the plunge line, or where its laws count no more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.breps.plan import PlanCurve, line_through
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.knife.side import Side

_BETWEEN = 0.7
"""Widest step between rays along the edge, mm."""

_FAN = 5.0
"""Step between rays that turn about one place, degrees."""

_BEYOND = 1.0
"""So far beyond the steel a line is followed, mm, so that the border cuts it."""

_PROBES = np.linspace(0.0, 1.0, 161)[1:] ** 1.8
_HALVINGS = 48
_NEAREST = 2e-3
"""A place further from the edge than this less than along its ray is nearer to another place of the edge, mm."""


@dataclass(frozen=True, eq=False)
class Rays:
    """Rays from the edge by a number: whole parts count stretches of edge and fans in turn."""

    edge: Curve
    steel: BaseGeometry

    @cached_property
    def _knots(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Ray numbers, places, and directions in degrees; between them a ray is taken from the Bezier, or turned."""
        return _all_rays(self.edge)

    @cached_property
    def numbers(self) -> FloatArray:
        """Of rays that lie close to each other, (n,)."""
        return self._knots[0]

    def at(self, number: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Places (n, 2) and unit directions (n, 2)."""
        knots, places, degrees = self._knots
        i = np.clip(np.searchsorted(knots, number, side="right") - 1, 0, len(knots) - 2)
        share = ((number - knots[i]) / (knots[i + 1] - knots[i]))[:, None]
        place = places[i] + (places[i + 1] - places[i]) * share
        angle = np.radians(degrees[i] + (degrees[i + 1] - degrees[i]) * share[:, 0])
        return place, np.column_stack([np.cos(angle), np.sin(angle)])


def _all_rays(edge: Curve) -> tuple[FloatArray, FloatArray, FloatArray]:
    places, degrees = [], []
    for piece in edge.pieces:
        control = np.linalg.norm(np.diff(piece, axis=0), axis=1).sum()
        t = np.linspace(0.0, 1.0, max(8, int(np.ceil(control / _BETWEEN))) + 1)[:, None]
        place = (
            (1 - t) ** 3 * piece[0] + 3 * t * (1 - t) ** 2 * piece[1] + 3 * t**2 * (1 - t) * piece[2] + t**3 * piece[3]
        )
        way = (
            (1 - t) ** 2 * (piece[1] - piece[0])
            + 2 * t * (1 - t) * (piece[2] - piece[1])
            + t**2 * (piece[3] - piece[2])
        )
        flat = np.hypot(*way.T) < 1e-9
        way[flat] = np.sign(0.5 - t[flat]) * (piece[2] - piece[0] if t[flat].sum() == 0 else piece[1] - piece[3])
        places.append(place)
        degrees.append(np.degrees(np.unwrap(np.arctan2(way[:, 1], way[:, 0]))) + 90.0)
    out_places, out_degrees = [], []
    back = np.arange(110.0, 0.0, -_FAN)
    out_places += [places[0][0]] * len(back)
    out_degrees += list(degrees[0][0] + back)
    for place, degree in zip(places, degrees, strict=True):
        turned = degree + 360.0 * np.round((out_degrees[-1] - degree[0]) / 360.0)
        out_places += list(place)
        out_degrees += list(turned)
    ahead = np.arange(_FAN, 115.0, _FAN)
    out_places += [places[-1][-1]] * len(ahead)
    out_degrees += list(out_degrees[-1] - ahead)
    return np.arange(float(len(out_places))), np.array(out_places), np.array(out_degrees)


def takeovers(side: Side, edge: Curve, steel: BaseGeometry) -> list[PlanCurve]:
    """Lines where one law of a side takes over from another ahead of the plunge line."""
    finder = _Finder(side, Rays(edge, steel), shapely.buffer(steel, _BEYOND))
    return [line_through(points) for points in finder.lines()]


@dataclass(frozen=True, eq=False)
class _Finder:
    side: Side
    rays: Rays
    around: BaseGeometry

    def lines(self) -> Iterator[FloatArray]:
        """Places (n, 2) along each line."""
        numbers = self.rays.numbers
        found = self._on(numbers)
        keys = sorted({key for row in found for key in row})
        for key in keys:
            has = np.array([key in row for row in found])
            for run in np.split(np.arange(len(has)), np.flatnonzero(np.diff(has)) + 1):
                if not has[run[0]]:
                    continue
                points = np.array([found[i][key] for i in run])
                first = self._end(key, numbers[run[0]], numbers[run[0] - 1]) if run[0] else None
                last = self._end(key, numbers[run[-1]], numbers[run[-1] + 1]) if run[-1] + 1 < len(has) else None
                whole = np.concatenate(
                    [*([first] if first is not None else []), points, *([last] if last is not None else [])]
                )
                yield from self._ahead(whole)

    def _on(self, numbers: FloatArray) -> list[dict[tuple[int, int, int], FloatArray]]:
        """On each ray, by the two laws and how often they met before, the place."""
        place, way = self.rays.at(numbers)
        far = self._reach(len(place))
        d = far[:, None] * _PROBES
        x, y = (place[:, None] + d[..., None] * way[:, None]).reshape(-1, 2).T
        laws = self.side.laws(x, y).reshape(-1, *d.shape)
        least = laws.argmin(axis=0)
        nearest = (self.side.edge.distances(x, y).reshape(d.shape) > d - _NEAREST) & shapely.contains_xy(
            self.around, x, y
        ).reshape(d.shape)
        counts = np.logical_and.accumulate(nearest, axis=1)
        row, i = np.nonzero((least[:, 1:] != least[:, :-1]) & counts[:, :-1])
        out: list[dict[tuple[int, int, int], FloatArray]] = [{} for _ in numbers]
        if not len(row):
            return out
        a, b = least[row, i], least[row, i + 1]
        low, high = d[row, i].copy(), d[row, i + 1].copy()
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            at = place[row] + middle[:, None] * way[row]
            z = self.side.laws(*at.T)
            below = z[a, np.arange(len(a))] < z[b, np.arange(len(a))]
            low, high = np.where(below, middle, low), np.where(below, high, middle)
        away = (low + high) / 2
        at = place[row] + away[:, None] * way[row]
        near = self.side.edge.distances(*at.T) > away - _NEAREST
        row, a, b, at = row[near], a[near], b[near], at[near]
        for ray, law, other, point in zip(row.tolist(), a.tolist(), b.tolist(), at, strict=True):
            pair = (min(law, other), max(law, other))
            times = sum(key[:2] == pair for key in out[ray])
            out[ray][*pair, times] = point
        return out

    def _reach(self, count: int) -> FloatArray:
        """How far each ray can run, mm."""
        _, y0, _, y1 = self.around.bounds
        return np.full(count, 1.05 * (y1 - y0))

    def _end(self, key: tuple[int, int, int], having: float, lacking: float) -> FloatArray | None:
        """The last place of a line between a ray on which it is and one on which it is not."""
        best = None
        for _ in range(30):
            middle = (having + lacking) / 2
            (row,) = self._on(np.array([middle]))
            if key in row:
                having, best = middle, row[key]
            else:
                lacking = middle
        return None if best is None else best[None]

    def _ahead(self, points: FloatArray) -> Iterator[FloatArray]:
        """What of a line lies ahead of the plunge line, ending on it."""
        foot, ahead = np.array(self.side.foot), np.array(self.side.ahead)
        past = (points - foot) @ ahead
        for run in np.split(np.arange(len(past)), np.flatnonzero(np.diff(past > 0)) + 1):
            if past[run[0]] <= 0 or len(run) < 2:
                continue
            rows = points[run]
            if run[0]:
                rows = np.concatenate([[_on_line(points, run[0] - 1, past)], rows])
            if run[-1] + 1 < len(points):
                rows = np.concatenate([rows, [_on_line(points, run[-1], past)]])
            step = np.hypot(*np.diff(rows, axis=0).T)
            yield rows[np.concatenate([[True], step > 1e-6])]


def _on_line(points: FloatArray, i: int, past: FloatArray) -> FloatArray:
    """Where a line through places crosses the plunge line between two of them; to be drawn nearer to the law later."""
    near = slice(max(0, i - 1), i + 3)
    # Along the normal of the plunge line the places are a function of how far past it they are.
    out = [
        np.polynomial.polynomial.Polynomial.fit(past[near], points[near, k], len(past[near]) - 1)(0.0) for k in (0, 1)
    ]
    return np.array(out)
