"""The search for the best set of lightening holes: fill the tang, then clear a stretch and fill it again, many times.

A fill puts the largest size that finds a place first, up to a cap, and of equal places takes the first along some
direction. A cap below the largest often leaves room for more; which cap and direction are best differs from stretch to
stretch, so they are drawn anew each time, from a generator with a fixed seed: the same tang gives the same holes.
Whatever is placed keeps the web to all others and the net width of every strip, so each set on the way is legal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.placing.ground import Ground
from bladegeom.placing.net_width import chord

ROUNDS = 600
"""Stretches cleared and filled again; own choice: ten times as many take out 1 % more."""

_NARROWEST, _WIDEST = 10.0, 45.0
"""Stretches that are cleared, mm; own choice by trial on 20 tangs."""

_CAPS = 5
"""The search starts from the best of fills with about so many caps."""

_WARMTH = 0.01
"""A set worse by this share may be taken at the start, less and less until the end."""

_SEED = 5


@dataclass(frozen=True, kw_only=True)
class HoleSet:
    """Holes that stand together: places and sizes by their numbers, and what they are worth together."""

    holes: tuple[tuple[int, int], ...]
    value: float


class Stretch:
    """Some columns of a ground with holes placed in and near them; more can be placed."""

    def __init__(
        self, ground: Ground, first: int, last: int, placed: Sequence[tuple[int, int]], least: FloatArray, cap: int
    ) -> None:
        self.ground, self.first, self.last, self.widest = ground, first, last, float(ground.radii[cap])
        self.begin, end = int(ground.starts[first]), int(ground.starts[last])
        self.starts = ground.starts[first : last + 1] - self.begin
        self.x, self.y = ground.xy[self.begin : end].T
        self.column = ground.column[self.begin : end] - first
        self.least, self.room = least[self.begin : end], np.minimum(ground.room[self.begin : end], self.widest)
        self.left = ground.left[ground.strips(first, last)].copy()
        self.strip_x = ground.strip_x(first, last)
        for place, size in placed:
            radius = float(ground.radii[size])
            reach = ground.columns_in(radius + ground.web + self.widest)
            if first - reach <= ground.column[place] < last + reach:
                self._clear(place, radius)
        self._narrow(0, last - first)

    def _clear(self, place: int, radius: float) -> tuple[int, int]:
        """Take a hole off the room of all places that it touches; from which column to which."""
        ground = self.ground
        (x, y), column = ground.xy[place], int(ground.column[place]) - self.first
        reach = ground.columns_in(radius + ground.web + self.widest)
        low, high = max(column - reach, 0), min(column + reach + 1, self.last - self.first)
        if low >= high:
            return 0, 0
        near = slice(self.starts[low], self.starts[high])
        away, up, room = self.x[near] - x, self.y[near] - y, self.room[near]
        away *= away
        up *= up
        away += up
        np.sqrt(away, out=away)
        away -= radius + ground.web
        np.minimum(room, away, out=room)
        strips = self._strips(column - ground.columns_in(radius), column + ground.columns_in(radius) + 1)
        self.left[strips] = np.maximum(self.left[strips] - chord(self.strip_x[strips] - x, radius), 0.0)
        return low, high

    def _strips(self, low: int, high: int) -> slice:
        """Of the strips of the stretch those that holes in some of its columns may reach."""
        begin = self.ground.strips(0, 1).start
        low, high = max(low, 0), min(high, self.last - self.first)
        strips = self.ground.strips(low, max(high, low + 1))
        return slice(strips.start - begin, strips.stop - begin)

    def _narrow(self, low: int, high: int) -> None:
        """Hold the room in some columns to the net width, and leave out places where nothing worth placing fits."""
        if low >= high:
            return
        near = slice(self.starts[low], self.starts[high])
        by_width = self.ground.by_width(self.left[self._strips(low, high)], high - low, self.widest)
        room = self.room[near]
        np.minimum(room, by_width[self.column[near] - low], out=room)
        room[room < self.least[near]] = -1.0

    def own(self, values: FloatArray) -> FloatArray:
        """Of one value for each place of the ground those of the stretch."""
        return values[self.begin : self.begin + len(self.x)]

    def fill_by_worth(self, worth: FloatArray, most: int) -> list[tuple[int, int]]:
        """Holes added, each the widest at the place where that is worth most; at most so many.

        Where a hole is worth more far back than near the front, few such holes bring more than the largest do.

        Args:
            worth: Of a hole at each place of the stretch for each mm2 of squared radius, shape (m,), >= 0.
            most: No more holes than these.
        """
        radii, out = self.ground.radii, list[tuple[int, int]]()
        squared = np.append(radii**2, 0.0)
        gain = worth * squared[np.searchsorted(radii, self.room, side="right") - 1]
        while len(out) < most and gain.max(initial=0.0) > 0.0:
            place = int(gain.argmax())
            size = int(np.searchsorted(radii, self.room[place], side="right")) - 1
            out.append((self.begin + place, size))
            low, high = self._clear(self.begin + place, float(radii[size]))
            self._narrow(low, high)
            near = slice(self.starts[low], self.starts[high])
            gain[near] = worth[near] * squared[np.searchsorted(radii, self.room[near], side="right") - 1]
        return out

    def fill(self, key: FloatArray, most: int) -> list[tuple[int, int]]:
        """Holes added, the largest first, of equal places that with the least key; at most so many."""
        radii, out = self.ground.radii, list[tuple[int, int]]()
        while len(out) < most and len(self.room):
            size = int(np.searchsorted(radii, self.room.max(), side="right")) - 1
            if size < 0:
                break
            # None of those that follow is wider.
            self.widest = float(radii[size])
            legal = np.flatnonzero(self.room >= self.widest)
            place = self.begin + int(legal[key[legal].argmin()])
            out.append((place, size))
            self._narrow(*self._clear(place, self.widest))
        return out


def search_holes(
    ground: Ground,
    worth: FloatArray,
    least: FloatArray,
    *,
    most: int = 10_000,
    rounds: int = ROUNDS,
    seed: int = _SEED,
    start: HoleSet | None = None,
) -> HoleSet:
    """The best set found.

    Args:
        ground: The places.
        worth: Of a hole at each place for each mm2 of squared radius, shape (n,), >= 0.
        least: Smallest radius that is placed there, one of the sizes, or infinite for none; shape (n,), mm.
        most: No more holes than these.
        rounds: Stretches cleared and filled again.
        seed: Another one searches other ways.
        start: Where to begin, of no more holes than that; the best plain fill if there is none.
    """
    best = current = start or greedy(ground, worth, least, most=most)
    random = np.random.default_rng(seed)
    for i in range(rounds):
        first, last = drawn_stretch(ground, random)
        kept = outside(ground, current, first, last)
        stretch = stretch_of(ground, first, last, kept, least, drawn_cap(ground, random))
        key = _key(stretch, worth, random)
        new = valued(ground, worth, [*kept, *stretch.fill(key, most - len(kept))])
        if new.value >= current.value - _WARMTH * best.value * (1 - i / rounds) * random.random() ** 4:
            current = new
        if current.value > best.value:
            best = current
    return completed(ground, worth, least, best, most=most)


def completed(ground: Ground, worth: FloatArray, least: FloatArray, found: HoleSet, *, most: int = 10_000) -> HoleSet:
    """Each hole as wide as the others let it be where it stands, the widest first, and more holes where they fit."""
    cap, holes = len(ground.radii) - 1, sorted(found.holes, key=lambda hole: (-hole[1], hole[0]))
    for i, (place, _) in enumerate(holes):
        column = int(ground.column[place])
        alone = Stretch(ground, column, column + 1, [*holes[:i], *holes[i + 1 :]], least, cap)
        size = int(np.searchsorted(ground.radii, alone.room[place - alone.begin], side="right")) - 1
        holes[i] = (place, size)
    whole = Stretch(ground, 0, ground.columns, holes, least, cap)
    return valued(ground, worth, [*holes, *whole.fill(-worth, most - len(holes))])


def room_beside(ground: Ground, holes: Sequence[tuple[int, int]]) -> FloatArray:
    """Largest legal radius at every place beside some holes, shape (n,), mm; negative where none of the sizes fits."""
    least = np.full(len(ground.xy), ground.radii[0])
    return Stretch(ground, 0, ground.columns, holes, least, len(ground.radii) - 1).room


def greedy(ground: Ground, worth: FloatArray, least: FloatArray, *, most: int = 10_000) -> HoleSet:
    """The best plain fill: several caps, from the front, from the butt, and where a hole is worth most."""
    x = ground.xy[:, 0]
    keys = (x, -x, -worth) if np.ptp(worth) > 0 else (x, -x)
    caps = range(len(ground.radii) - 1, -1, -max(1, len(ground.radii) // _CAPS))
    return max(
        (single_fill(ground, worth, least, cap, key, most=most) for cap in caps for key in keys),
        key=lambda hole_set: hole_set.value,
    )


def single_fill(
    ground: Ground, worth: FloatArray, least: FloatArray, cap: int, key: FloatArray, *, most: int = 10_000
) -> HoleSet:
    """One fill of the whole tang."""
    whole = Stretch(ground, 0, ground.columns, (), least, cap)
    return valued(ground, worth, whole.fill(key, most))


def drawn_stretch(ground: Ground, random: np.random.Generator) -> tuple[int, int]:
    """From which column to which a stretch is cleared; it may reach past the ends."""
    wide = ground.columns_in(random.uniform(_NARROWEST, _WIDEST))
    first = int(random.integers(-wide // 2, ground.columns - wide // 2))
    return first, first + wide


def drawn_cap(ground: Ground, random: np.random.Generator) -> int:
    """Number of the largest size that is put back, of the large ones more often."""
    return len(ground.radii) - 1 - int(len(ground.radii) * random.random() ** 2)


def outside(ground: Ground, current: HoleSet, first: int, last: int) -> list[tuple[int, int]]:
    """The holes that no columns from one to another hold."""
    return [(p, k) for p, k in current.holes if not first <= ground.column[p] < last]


def stretch_of(
    ground: Ground, first: int, last: int, kept: list[tuple[int, int]], least: FloatArray, cap: int
) -> Stretch:
    """Some columns, and the two beside them at both ends, beside holes that are kept."""
    return Stretch(ground, max(first - 2, 0), min(last + 2, ground.columns), kept, least, cap)


def _key(stretch: Stretch, worth: FloatArray, random: np.random.Generator) -> FloatArray:
    """Order in which equal places are taken: along some direction, or where a hole is worth most."""
    a, b, by_worth = random.uniform(-1.0, 1.0, 3).tolist()
    own = stretch.own(worth)
    varied = own.max(initial=0.0) > own.min(initial=np.inf)
    return -own if varied and by_worth > 0.5 else stretch.x * a + stretch.y * b


def valued(ground: Ground, worth: FloatArray, holes: list[tuple[int, int]]) -> HoleSet:
    """Holes that stand together, and what they are worth."""
    value = sum(float(ground.radii[k]) ** 2 * float(worth[p]) for p, k in holes)
    return HoleSet(holes=tuple(holes), value=value)
