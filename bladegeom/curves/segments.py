"""Many straight lines and circular arcs at once, as cut files hold them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

Ints = npt.NDArray[np.int64]

_STRAIGHT, _RISE = 1e-9, 1e-6
"""An arc with a smaller bulge, or a flat one that rises by less, mm, is a line."""

_FLAT = 0.01
"""An arc with a smaller bulge is flat: it turns by 2.3 degrees."""

_MOST_STEP = np.pi / 8
"""Longest part of an arc that one chord stands for, rad."""


@dataclass(frozen=True, eq=False)
class Segments:
    """Lines and arcs, each from a start to an end.

    Args:
        start: Shape (n, 2), mm.
        end: Shape (n, 2), mm.
        bulge: tan(sweep / 4), shape (n,): 0 a line, positive turns left.
    """

    start: FloatArray
    end: FloatArray
    bulge: FloatArray

    def __len__(self) -> int:
        return len(self.bulge)

    @cached_property
    def straight(self) -> npt.NDArray[np.bool_]:
        """Which are lines, shape (n,)."""
        bulge = np.abs(self.bulge)
        chord = np.hypot(self.chord[:, 0], self.chord[:, 1])
        flat = (bulge < _FLAT) & (bulge * chord / 2 < _RISE)
        # Between two points at one place there is no arc, whatever the file says.
        return np.asarray((bulge < _STRAIGHT) | flat | (chord == 0))

    @cached_property
    def chord(self) -> FloatArray:
        """From start to end, shape (n, 2), mm."""
        return self.end - self.start

    @cached_property
    def sweep(self) -> FloatArray:
        """Angle of each arc, rad, positive to the left, 0 for lines; shape (n,)."""
        return np.where(self.straight, 0.0, 4 * np.arctan(self.bulge))

    @cached_property
    def centre(self) -> FloatArray:
        """Of each arc, shape (n, 2), mm; for lines their middle."""
        b = np.where(self.straight, 1.0, self.bulge)
        normal = np.stack([-self.chord[:, 1], self.chord[:, 0]], axis=1)
        return np.asarray((self.start + self.end) / 2 + normal * ((1 - b * b) / (4 * b))[:, None])

    @cached_property
    def radius(self) -> FloatArray:
        """Of each arc, shape (n,), mm; infinite for lines."""
        b = np.where(self.straight, 1.0, self.bulge)
        size = np.hypot(self.chord[:, 0], self.chord[:, 1]) * (1 + b * b) / (4 * np.abs(b))
        return np.where(self.straight, np.inf, size)

    @cached_property
    def length(self) -> FloatArray:
        """Shape (n,), mm."""
        chord = np.hypot(self.chord[:, 0], self.chord[:, 1])
        round_ = np.where(self.straight, 0.0, self.radius)
        return np.where(self.straight, chord, round_ * np.abs(self.sweep))

    @cached_property
    def first_angle(self) -> FloatArray:
        """Direction from the centre to the start, rad, shape (n,)."""
        arm = self.start - self.centre
        return np.asarray(np.arctan2(arm[:, 1], arm[:, 0]))

    @cached_property
    def leaving(self) -> FloatArray:
        """Direction at the start, rad, shape (n,)."""
        return np.asarray(np.arctan2(self.chord[:, 1], self.chord[:, 0]) - self.sweep / 2)

    @cached_property
    def arriving(self) -> FloatArray:
        """Direction at the end, rad, shape (n,)."""
        return np.asarray(np.arctan2(self.chord[:, 1], self.chord[:, 0]) + self.sweep / 2)

    @cached_property
    def middle(self) -> FloatArray:
        """Half way along, shape (n, 2), mm."""
        return self.at(np.full(len(self), 0.5))

    @cached_property
    def boxes(self) -> FloatArray:
        """Least x, least y, greatest x, greatest y of each, shape (n, 4), mm; exact."""
        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        for quarter in range(4):
            angle = quarter * np.pi / 2
            peak = self.centre + np.where(self.straight, 0.0, self.radius)[:, None] * (np.cos(angle), np.sin(angle))
            on = self.holds_angle(np.full(len(self), angle), 0.0)[:, None]
            low, high = np.where(on, np.minimum(low, peak), low), np.where(on, np.maximum(high, peak), high)
        return np.concatenate([low, high], axis=1)

    def holds_angle(self, angle: FloatArray, slack: FloatArray | float) -> npt.NDArray[np.bool_]:
        """Whether each arc passes a direction from its centre; lines never do. Angles in rad, shape (n,)."""
        turn = np.where(self.sweep < 0, self.first_angle - angle, angle - self.first_angle) % (2 * np.pi)
        size = np.abs(self.sweep)
        return np.asarray(~self.straight & ((turn <= size + slack) | (turn >= 2 * np.pi - slack)))

    def at(self, share: FloatArray) -> FloatArray:
        """The place at a share of the length of each, shape (n, 2), mm."""
        return _places(self, np.arange(len(self)), share)

    def taken(self, index: Ints) -> Segments:
        """Some of them, in the order of an index."""
        return Segments(self.start[index], self.end[index], self.bulge[index])

    def reversed(self) -> Segments:
        """Run through from the other end."""
        return Segments(self.end[::-1], self.start[::-1], -self.bulge[::-1])

    def scaled(self, factor: float) -> Segments:
        """All lengths multiplied."""
        return Segments(factor * self.start, factor * self.end, self.bulge)

    def moved(self, dx: float, dy: float) -> Segments:
        """Shifted by (dx, dy) mm."""
        shift = np.array([dx, dy])
        return Segments(self.start + shift, self.end + shift, self.bulge)

    def flattened(self, tolerance: float, *, longest: float = np.inf) -> tuple[FloatArray, Ints]:
        """Points along each, without its end, and whose they are.

        Args:
            tolerance: Greatest distance of a chord from its arc, > 0 mm.
            longest: No chord is longer, mm.

        Returns:
            Places (m, 2), mm; index of the segment of each (m,).
        """
        flat = np.where(self.straight, 1.0, self.radius)
        # The angle whose arc rises by the tolerance; by its sine, for the cosine is lost in a large radius.
        step = np.minimum(4 * np.arcsin(np.sqrt(np.minimum(tolerance / flat / 2, 1.0))), _MOST_STEP)
        parts = np.maximum(np.abs(self.sweep) / step, self.length / longest)
        count = np.maximum(1, np.ceil(parts - 1e-9)).astype(np.int64)
        index = np.repeat(np.arange(len(self)), count)
        first = np.repeat(np.cumsum(count) - count, count)
        return _places(self, index, (np.arange(count.sum()) - first) / count[index]), index


def joined_segments(parts: list[Segments]) -> Segments:
    """All of several, in order."""
    if not parts:
        return Segments(np.empty((0, 2)), np.empty((0, 2)), np.empty(0))
    return Segments(*(np.concatenate([getattr(p, name) for p in parts]) for name in ("start", "end", "bulge")))


def _places(segments: Segments, index: Ints, share: FloatArray) -> FloatArray:
    """Places at shares of segments, shape (m, 2)."""
    start, share = segments.start[index], share[:, None]
    on_line = start + share * segments.chord[index]
    turn = share * segments.sweep[index][:, None]
    centre = segments.centre[index]
    arm = start - centre
    square = np.stack([-arm[:, 1], arm[:, 0]], axis=1)
    on_arc = centre + np.cos(turn) * arm + np.sin(turn) * square
    # A start stays what it is to the last digit, so that loops close.
    return np.asarray(np.where(segments.straight[index][:, None] | (share == 0), on_line, on_arc))
