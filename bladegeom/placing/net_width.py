"""What holes may still take of the tang's height where one upright line cuts several of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.holes.net_section import chords
from bladegeom.knife.hole import Opening, axis_points
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import CHORD

CELL = 0.1
"""Width of the upright strips in which chords are added up, mm. Each holds the longest chord in it, so that no line
between two strips loses more than the rule allows."""

GROUP = 2
"""Strips from one column of places to the next: places are 0.2 mm apart."""

_TABLE = 100_000
"""Places by strips measured at a time, so that a tang of any size takes the same memory."""

_LINES = 5
"""Upright lines across a strip, its two borders among them, at which holes that are there already are measured."""


@dataclass(frozen=True, kw_only=True, eq=False)
class WidthLeft:
    """The tang in upright strips, and how much of its height holes may still take in each.

    Args:
        x: Middles of n strips from the butt on, ascending, mm.
        left: What may still be taken, mm; negative where too much is.
    """

    x: FloatArray
    left: FloatArray

    @classmethod
    def of(cls, knife: Knife, others: Sequence[Opening]) -> WidthLeft:
        """The tang of a knife with some openings.

        Every second strip has its middle a whole number of steps from the knife's first opening, so that
        holes beside a fastener can stand evenly about it.
        """
        butt, front = knife.outline.bounds[0], float(knife.handle_region.bounds[2])
        anchor = knife.openings[0].x if knife.openings else front
        butt -= GROUP * CELL - (anchor - butt - (GROUP // 2 + 0.5) * CELL) % (GROUP * CELL)
        x = np.arange(butt, front, CELL) + CELL / 2
        ends = np.concatenate([x - CELL / 2, [x[-1] + CELL / 2]]) if len(x) else x
        upper, lower = knife.outline.tang_height(ends)
        height = np.nan_to_num(upper - lower)
        least = np.minimum(height[:-1], height[1:])
        return cls(x=x, left=(1 - knife.rules.net_width) * least - taken(x, others) - CHORD)

    def room(self, x: FloatArray) -> FloatArray:
        """Largest radius of a hole at each x of shape (n,), mm.

        A chord at u from the centre is 2 sqrt(r^2 - u^2), so r^2 may be (left / 2)^2 + u^2 at most in every strip.
        """
        if not len(self.x):
            return np.full(len(x), np.inf)
        at, back = np.unique(x, return_inverse=True)
        free = np.maximum(self.left, 0.0) / 2
        # The strip at the place itself leaves no more than its own half: none farther off than that can bind.
        reach = math.ceil(float(free.max()) / CELL) + 2
        own = np.clip(np.rint((at - self.x[0]) / CELL), 0, len(free) - 1).astype(np.int64)
        out = np.empty(len(at))
        at_once = max(1, _TABLE // (2 * reach + 1))
        for i in range(0, len(at), at_once):
            here = slice(i, i + at_once)
            strip = np.clip(own[here, None] + np.arange(-reach, reach + 1), 0, len(free) - 1)
            u = np.maximum(np.abs(at[here, None] - self.x[strip]) - CELL / 2, 0.0)
            out[here] = np.sqrt((free[strip] * free[strip] + u * u).min(axis=1))
        return out[back]

    def holds(self, x: float, radius: float, others: Sequence[Opening]) -> bool:
        """Whether a hole at an x fits beside openings not counted in yet; only strips that it touches matter."""
        near = np.abs(self.x - x) < radius + CELL
        there = WidthLeft(x=self.x[near], left=self.left[near] - taken(self.x[near], others))
        return bool(there.room(np.array([x]))[0] >= radius - 1e-9)


def taken(x: FloatArray, openings: Sequence[Opening]) -> FloatArray:
    """Most that openings take together of an upright line in each strip, by the strips' middles, ascending (n,), mm."""
    if not openings:
        return np.zeros(len(x))
    out = np.zeros(len(x))
    axes = axis_points(openings)[..., 0]
    reach = np.array([opening.diameter for opening in openings]) / 2 + CELL
    touched = np.zeros(len(x), dtype=bool)
    for first, last in np.searchsorted(x, np.stack([axes.min(axis=1) - reach, axes.max(axis=1) + reach], axis=1)):
        touched[first:last] = True
    lines = x[touched, None] + CELL * np.linspace(-0.5, 0.5, _LINES)
    down, up = chords(lines.ravel(), openings)
    out[touched] = np.nan_to_num(up - down).sum(axis=1).reshape(lines.shape).max(axis=1)
    return out


def chord(u: FloatArray, radius: float) -> FloatArray:
    """Longest chord of a circle in strips whose middles lie at distances u from its centre, mm."""
    nearest = np.maximum(np.abs(u) - CELL / 2, 0.0)
    return np.asarray(2 * np.sqrt(np.maximum(radius * radius - nearest * nearest, 0.0)))
