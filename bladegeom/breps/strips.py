"""Roundings of a scale as strips along its border, each from the border to where its arc ends.

A strip runs along the border by the parameter of its Bezier, and across it by the angle of the arc: so it is smooth
where heights over the side view stand upright. Where border and front meet, strips end at the front, or at a corner
patch that both roundings shape; where the front leans away from the border, a fan about the corner lies between.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from bladegeom.breps.patch import Patch, interpolated
from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.knife.scales import Rounding

_ALONG = 1.5
"""Length of a span of a strip along the border, mm."""

_ACROSS = 6
_NEWTON = 30
_SQUARE = np.radians(0.05)
"""A front that leans away from square to the border by less leaves no fan."""


@dataclass(frozen=True, eq=False)
class Rim:
    """A border that is rounded off over a width.

    Args:
        curve: The steel lies to its left.
        width: Of the strip, mm.
        rounding: Whose arc shapes it.
    """

    curve: Curve
    width: float
    rounding: Rounding

    def away(self, share: FloatArray) -> FloatArray:
        """Distance from the border at shares of the arc, mm: even steps of the arc's angle."""
        r, w = self.rounding.radius, self.rounding.width
        outer, inner = np.arcsin(min(1.0, w / r)), np.arcsin((w - self.width) / r)
        return np.asarray(np.clip(w - r * np.sin(outer + (inner - outer) * share), 0.0, self.width))


Both = tuple[FloatArray | None, FloatArray | None]
"""Beziers of the other line at both ends of a piece, where it has an end there."""

Turned = Callable[[FloatArray, FloatArray], tuple[FloatArray, FloatArray]]

Height = Callable[[FloatArray, FloatArray, FloatArray, FloatArray], FloatArray]
"""Height at places x, y that lie so far from border and front; NaN where that is to be measured."""


def strip_offset(piece: FloatArray, t: FloatArray, away: FloatArray) -> FloatArray:
    """Places (n, 2) to the left of a Bezier."""
    s = t[:, None]
    place = (1 - s) ** 3 * piece[0] + 3 * s * (1 - s) ** 2 * piece[1] + 3 * s * s * (1 - s) * piece[2] + s**3 * piece[3]
    way = (1 - s) ** 2 * (piece[1] - piece[0]) + 2 * s * (1 - s) * (piece[2] - piece[1]) + s * s * (piece[3] - piece[2])
    way = way / np.hypot(*way.T)[:, None]
    return np.asarray(place + away[:, None] * np.column_stack([-way[:, 1], way[:, 0]]))


def meet(
    first: FloatArray, d: FloatArray, second: FloatArray, e: FloatArray, start: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Parameters on two Beziers at which their offsets meet, by Newton's method, (n,) each."""
    t, s = np.full(len(d), start[0]), np.full(len(d), start[1])
    h = 1e-6
    for _ in range(_NEWTON):
        gap = strip_offset(first, t, d) - strip_offset(second, s, e)
        dt = (strip_offset(first, t + h, d) - strip_offset(first, t - h, d)) / (2 * h)
        ds = -(strip_offset(second, s + h, e) - strip_offset(second, s - h, e)) / (2 * h)
        det = dt[:, 0] * ds[:, 1] - dt[:, 1] * ds[:, 0]
        t = t - (gap[:, 0] * ds[:, 1] - gap[:, 1] * ds[:, 0]) / det
        s = s - (dt[:, 0] * gap[:, 1] - dt[:, 1] * gap[:, 0]) / det
    return t, s


@dataclass(frozen=True, eq=False)
class Strips:
    """All patches round a handle.

    Args:
        border: Top, butt and underside; None where they are not rounded steeply.
        front: The same of the front, travelled up.
        lines: Both as curves.
        height: Of the finished face.
    """

    border: Rim | None
    front: Rim | None
    lines: tuple[Curve, Curve]
    height: Height

    def patches(self) -> Iterator[Patch]:
        """In no order."""
        border, front = self.lines
        if self.border is not None:
            yield from self._along(self.border, border, front, self.front, of_front=False)
        if self.front is not None:
            yield from self._along(self.front, front, border, self.border, of_front=True)
        if self.border is not None and self.front is not None:
            yield self._corner(front.pieces[-1], border.pieces[0], (1.0, 0.0), at_top=True)
            yield self._corner(border.pieces[-1], front.pieces[0], (1.0, 0.0), at_top=False)

    def _along(self, rim: Rim, line: Curve, other: Curve, others: Rim | None, *, of_front: bool) -> Iterator[Patch]:
        """One strip to each piece; the first and the last end where the other line's strip ends."""
        wide = 0.0 if others is None else others.width
        for number, piece in enumerate(line.pieces):
            before = other.pieces[-1] if number == 0 else None
            behind = other.pieces[0] if number == len(line.pieces) - 1 else None
            spans = max(4, int(np.ceil(float(np.hypot(*np.diff(piece, axis=0).T).sum()) / _ALONG)))

            def places(
                u: FloatArray, v: FloatArray, piece: FloatArray = piece, ends: Both = (before, behind)
            ) -> FloatArray:
                d = rim.away(v)
                low, high = _limits(piece, ends, d, wide)
                return self._placed(strip_offset(piece, low + (high - low) * u, d), d, of_front=of_front)

            yield interpolated(spans, _ACROSS, places)
        if wide == 0.0:
            yield from self._fans(rim, line, other, of_front=of_front)

    def _placed(self, xy: FloatArray, d: FloatArray, *, of_front: bool) -> FloatArray:
        """Places (n, 3) on the face that lie so far from one of the two lines."""
        unknown = np.full(len(d), np.nan)
        return np.column_stack([xy, self.height(*xy.T, *((unknown, d) if of_front else (d, unknown)))])

    def _seen(self, xy: FloatArray, away: tuple[FloatArray, FloatArray]) -> FloatArray:
        return self.height(xy[:, 0], xy[:, 1], *away)

    def _fans(self, rim: Rim, line: Curve, other: Curve, *, of_front: bool) -> Iterator[Patch]:
        """About the two ends of a line, from its normal there to the other line where that leans away."""
        (sx, sy), (ex, ey) = line.start_direction, line.end_direction
        # Along the other line into the handle: back from its end at our start, on from its start at our end.
        for place, normal, ahead, sign in (
            (line.start, np.arctan2(sx, -sy), other.reversed(), 1.0),
            (line.end, np.arctan2(ex, -ey), other, -1.0),
        ):
            leans = sign * (_ways(ahead, np.zeros(1))[0] - normal)
            if (leans + np.pi) % (2 * np.pi) - np.pi < _SQUARE:
                continue

            turned = partial(_about, rim, place, float(normal), ahead, sign)

            def fan(u: FloatArray, v: FloatArray, turned: Turned = turned) -> FloatArray:
                xy, d = turned(u, v)
                return self._placed(xy, d, of_front=of_front)

            yield interpolated(4, _ACROSS, fan)

    def _corner(self, before: FloatArray, behind: FloatArray, start: tuple[float, float], *, at_top: bool) -> Patch:
        """Where both roundings shape the face, by how far it lies from either."""
        assert self.border is not None
        assert self.front is not None
        first, second = (self.front, self.border) if at_top else (self.border, self.front)

        def places(u: FloatArray, v: FloatArray) -> FloatArray:
            # u runs along the line behind, away from the corner: further and further from the one before.
            d, e = first.away(u), second.away(v)
            t, s = meet(before, d, behind, e, start)
            xy = strip_offset(before, t, d)
            # Beyond its end a line is as far away as that end.
            d = np.where(t > 1, np.hypot(*(xy - before[-1]).T), d)
            e = np.where(s < 0, np.hypot(*(xy - behind[0]).T), e)
            return np.column_stack([xy, self._seen(xy, (e, d) if at_top else (d, e))])

        return interpolated(10, 10, places)


def _limits(piece: FloatArray, ends: Both, d: FloatArray, wide: float) -> tuple[FloatArray, FloatArray]:
    """First and last parameter of a strip so far from its border: up to the other line's strip where it ends there."""
    low, high = np.zeros(len(d)), np.ones(len(d))
    before, behind = ends
    if before is not None:
        low = meet(piece, d, before, np.full(len(d), wide), (0.0, 1.0))[0]
    if behind is not None:
        high = meet(piece, d, behind, np.full(len(d), wide), (1.0, 0.0))[0]
    # With no strip there, a fan covers what lies beyond the normal at the end.
    return (low, high) if wide else (np.maximum(low, 0.0), np.minimum(high, 1.0))


def _about(
    rim: Rim, place: Vector, normal: float, ahead: Curve, sign: float, u: FloatArray, v: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Places (n, 2) of a fan, and how far each lies from its corner."""
    d = rim.away(v)
    turn = (_ways(ahead, d) - normal + np.pi) % (2 * np.pi) - np.pi
    angle = normal + turn * (1 - u if sign > 0 else u)
    return np.array(place) + d[:, None] * np.column_stack([np.cos(angle), np.sin(angle)]), d


def _ways(line: Curve, d: FloatArray) -> FloatArray:
    """Direction from the start of a line to its place so far from it, radians, (n,)."""
    piece = line.pieces[0]
    low, high = np.zeros(len(d)), np.ones(len(d))
    for _ in range(50):
        middle = (low + high) / 2
        nearer = np.hypot(*(strip_offset(piece, middle, np.zeros(len(d))) - piece[0]).T) < d
        low, high = np.where(nearer, middle, low), np.where(nearer, high, middle)
    way = strip_offset(piece, np.maximum(low, 1e-6), np.zeros(len(d))) - piece[0]
    return np.asarray(np.arctan2(way[:, 1], way[:, 0]))
