"""The line ahead of the plunge line where the hollow that a belt's rim leaves runs out into the face."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.breps.plan import PlanCurve, line_through
from bladegeom.curves.curve import FloatArray
from bladegeom.knife.side import Side

_STEPS = 40
_HALVINGS = 60
_FAR = 200.0
_NEAR = 1e-3
"""A line that ends so far from the border has come to it, and one whose places lie so far apart does not leap, mm."""

_BESIDE = 1e-9

_OVER = 0.3
"""So far the line runs on beyond the steel, mm, so that the border cuts it."""


@dataclass(frozen=True, eq=False)
class Blend:
    """The hollow along the plunge line of one side.

    Args:
        side: With a radius.
        steel: Region ahead of the plunge line and behind.
    """

    side: Side
    steel: BaseGeometry

    @property
    def _along(self) -> FloatArray:
        ax, ay = self.side.ahead
        return np.array([-ay, ax])

    def place(self, past: FloatArray, up: FloatArray) -> FloatArray:
        """Places (n, 2) ahead of the plunge line by some way, and up along it from its foot."""
        return np.asarray(
            np.array(self.side.foot) + past[:, None] * np.array(self.side.ahead) + up[:, None] * self._along
        )

    def depth(self, past: FloatArray, up: FloatArray) -> FloatArray:
        """How deep the face lies under the stock there, mm."""
        laws = self.side.laws(*self.place(past, up).T)
        return np.asarray(laws[0] - laws.min(axis=0))

    def lines(self, top: float) -> list[PlanCurve]:
        """Where it runs out.

        Args:
            top: How far up the plunge line is ground, mm from its foot.

        A face that lies q^2 under the stock is reached at sqrt(2 r q^2 - q^4) past the plunge line: by q the line is
        smooth, even where it begins at the grind line with no depth at all.
        """
        radius = self.side.plunge_radius
        most = float(np.sqrt(radius))
        deepest = self._deepest(most)
        turns = self._turns(deepest, top)
        # Where another law is deeper beyond a shallower stretch, the line by q would leap over that.
        deepest = next((q for q in turns if self._leaps(q, top)), deepest)
        pieces = []
        for low, high in itertools.pairwise([0.0, *(q for q in turns if q < deepest), deepest]):
            pieces.append(self._line(low + (high - low) * np.linspace(0.0, 1.0, _STEPS + 1), top))
        if deepest < most:
            pieces += self._shallower(pieces[-1][-1])
            pieces[-1] = _longer(pieces[-1])
        else:
            # Where the face lies deeper than the radius, the hollow is a whole quarter and ends straight.
            foot = self.place(np.array([radius]), np.array([-_FAR]))
            pieces.append(np.stack([pieces[-1][-1], foot[0]]))
        return [line_through(points) for points in pieces]

    @property
    def deeper_up_to(self) -> float | None:
        """How far up the plunge line the face lies deeper than the radius, which leaves a step; None where nowhere."""
        (up,) = self._up(np.zeros(1), np.array([self.side.plunge_radius]))
        return float(up) if np.isfinite(up) else None

    def _line(self, q: FloatArray, top: float) -> FloatArray:
        """Places (n, 2) of the line."""
        past = q * np.sqrt(2 * self.side.plunge_radius - q * q)
        up = np.full(len(q), top)
        up[q > 0] = self._up(past[q > 0], q[q > 0] ** 2)
        return np.asarray(self.place(past, up)[np.isfinite(up)])

    def _shallower(self, end: FloatArray) -> list[FloatArray]:
        """Places (n, 2) on down to the border from an end in the steel: a high hollow is deepest ahead of its edge."""
        past, up = (float((end - np.array(self.side.foot)) @ way) for way in (self.side.ahead, self._along))
        (low,), _ = self._span(np.array([past]))
        if up - low < _NEAR:
            return []
        turns = _changes(lambda ups: self._which_of(self._at(ups)), np.linspace(up, low, 4 * _STEPS + 1))
        pieces = [self._at(np.linspace(*ends, _STEPS + 1)) for ends in itertools.pairwise([up, *turns, float(low)])]
        pieces[0][0] = end
        return pieces

    def _at(self, up: FloatArray) -> FloatArray:
        """Places (n, 2) of the line so far up."""
        near, far = np.zeros(len(up)), np.full(len(up), self.side.plunge_radius)
        for _ in range(_HALVINGS):
            middle = (near + far) / 2
            within = middle < self.side.blend_width(self.depth(middle, up))
            near, far = np.where(within, middle, near), np.where(within, far, middle)
        return self.place(near, up)

    def _turns(self, deepest: float, top: float) -> list[float]:
        """Where along the line another law takes over, and it turns."""
        q = deepest * np.linspace(0.0, 1.0, 4 * _STEPS + 1)[1:]
        return _changes(lambda some: self._which_of(self._line(some, top)), q)

    def _leaps(self, q: float, top: float) -> bool:
        before, behind = self._line(np.array([q, q * (1 + _BESIDE)]), top)
        return bool(np.hypot(*(behind - before)) > _NEAR)

    def _which_of(self, places: FloatArray) -> FloatArray:
        """The law that counts at places (n, 2)."""
        return np.asarray(self.side.laws(*places.T)[1:].argmin(axis=0))

    def _deepest(self, most: float) -> float:
        """The greatest q up to a limit that is reached in the steel."""
        low, high = (most, most) if self._reaches(most) else (0.0, most)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self._reaches(middle) else (low, middle)
        return low

    def _reaches(self, q: float) -> bool:
        past = np.array([q * np.sqrt(2 * self.side.plunge_radius - q * q)])
        return bool(np.isfinite(self._up(past, np.array([q * q]))[0]))

    def _up(self, past: FloatArray, depth: FloatArray) -> FloatArray:
        """How far up the face lies so deep at some ways past the plunge line; NaN where it does nowhere."""
        low, high = self._span(past)
        reach = high[:, None] + (low - high)[:, None] * np.linspace(0.0, 1.0, 240)
        grid = self.depth(np.repeat(past, reach.shape[1]), reach.ravel()).reshape(reach.shape)
        deeper = grid >= depth[:, None]
        found = deeper.any(axis=1) & ~deeper[:, 0]
        i = np.maximum(deeper.argmax(axis=1), 1)
        low, high = np.take_along_axis(reach, np.stack([i, i - 1], axis=1), axis=1).T
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            deep = self.depth(past, middle) >= depth
            low, high = np.where(deep, middle, low), np.where(deep, high, middle)
        return np.where(found, (low + high) / 2, np.nan)

    def _span(self, past: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Lowest and highest place of the steel along lines some way past the plunge line, up from its foot."""
        far = np.full(len(past), _FAR)
        lines = shapely.linestrings(np.stack([self.place(past, -far), self.place(past, far)], axis=1))
        parts, whose = shapely.get_coordinates(shapely.intersection(lines, self.steel), return_index=True)
        up = (parts - np.array(self.side.foot)) @ self._along
        low, high = np.full(len(past), np.inf), np.full(len(past), -np.inf)
        np.minimum.at(low, whose, up)
        np.maximum.at(high, whose, up)
        return low, high


def _changes(which: Callable[[FloatArray], FloatArray], at: FloatArray) -> list[float]:
    """Where along some numbers another law takes over."""
    there, out = which(at), []
    for i in np.flatnonzero(np.diff(there)):
        low, high = float(at[i]), float(at[i + 1])
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            (law,) = which(np.array([middle]))
            low, high = (middle, high) if law == there[i] else (low, middle)
        out.append(low)
    return out


def _longer(points: FloatArray) -> FloatArray:
    """A line that ends at the border, carried on beyond it."""
    way = points[-1] - points[-2]
    return np.concatenate([points, [points[-1] + way / np.hypot(*way) * _OVER]])
