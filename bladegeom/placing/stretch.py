"""Part of a tang with the holes placed in and near it: how wide a hole each place still allows, and fills of it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.placing.ground import IntArray
from bladegeom.placing.task import Placed, Task, away

Direction = tuple[float, float] | None
"""Of equal places the one that lies least far this way is taken; None takes the one where a hole is worth most."""


class Stretch:
    """Some columns of a ground with holes placed in and near them; more can be placed."""

    def __init__(self, task: Task, first: int, last: int, placed: Sequence[Placed], cap: int) -> None:
        ground = task.ground
        self.task, self.ground, self.first, self.last = task, ground, first, last
        self.widest = ground.sizes[cap]
        begin, end = task.starts.item(first), task.starts.item(last)
        self.open = task.open.part(begin, end, self.widest)
        strips = ground.strips(first, last)
        self.left, self.strip = ground.left[strips].copy(), strips.start
        changed = []
        for hole, size in placed:
            at, reach = ground.column.item(hole), ground.reach(size, cap)
            if first - reach <= at < last + reach:
                start, limit = task.limit(hole, size)
                low, high = max(start, begin), min(start + len(limit), end)
                if low < high:
                    near = self.open.room[low - begin : high - begin]
                    np.minimum(near, limit[low - start : high - start], out=near)
                self._take(hole, size)
                changed.append(self._columns(at, ground.sizes[size] + self.widest))
        for low, high in _merged(changed):
            self._narrow(low, high)
        self.open = self.open.kept()

    def room_at(self, place: int) -> float:
        """Largest legal radius at an open place, mm."""
        return self.open.room.item(int(self.open.place.searchsorted(place)))

    @property
    def worth(self) -> FloatArray:
        """What a hole is worth at each open place, shape (n,)."""
        return self.task.worth[self.open.place]

    @cached_property
    def varied(self) -> bool:
        """Whether a hole is worth more at some places of the stretch than at others."""
        starts = self.ground.starts
        own = self.task.worth[starts[self.first] : starts[self.last]] if self.task.varied else np.empty(0)
        return bool(own.max(initial=0.0) > own.min(initial=np.inf))

    def _take(self, place: int, size: int) -> None:
        """Take a hole's chords off what is left in the strips."""
        start, chords = self.ground.chords(place, size)
        low, high = max(start - self.strip, 0), start - self.strip + len(chords)
        if low < high:
            left = self.left[low:high]
            left -= chords[low - start + self.strip :][: len(left)]
            np.maximum(left, 0.0, out=left)

    def _columns(self, column: int, reach: float) -> tuple[int, int]:
        """From which column of the ground to which those of the stretch lie that are so near to one, mm."""
        wide = self.ground.columns_in(reach)
        return max(column - wide, self.first), min(column + wide + 1, self.last)

    def _narrow(self, low: int, high: int) -> None:
        """Hold the room in some columns to the net width."""
        column = self.open.column
        first, last = column.searchsorted((low, high)).tolist()
        if first == last:
            return
        low, high = column.item(first), column.item(last - 1) + 1
        strips = self.ground.strips(low, high)
        by_width = self.ground.by_width(
            self.left[strips.start - self.strip : strips.stop - self.strip], high - low, self.widest
        )
        room = self.open.room[first:last]
        np.minimum(room, by_width[column[first:last] - low], out=room)

    def _clear(self, cell: int, size: int) -> Placed:
        """Place a hole at an open place, and take it off the room of those about it."""
        places, less = self.open, self.ground.sizes[size] + self.ground.web
        x, y = places.x.item(cell), places.y.item(cell)
        reach = self._columns(places.column.item(cell), less + self.widest)
        near = slice(*places.column.searchsorted(reach).tolist())
        room = places.room[near]
        np.minimum(room, away(places.x[near], places.y[near], x, y, less), out=room)
        return places.place.item(cell), size

    def _lower(self, hole: Placed) -> None:
        """Take a hole off the height that others may use."""
        place, size = hole
        self._take(place, size)
        self._narrow(*self._columns(self.ground.column.item(place), self.ground.sizes[size] + self.widest))

    def fill_by_worth(self, worth: FloatArray, most: int) -> list[Placed]:
        """Holes added, each the widest at the place where that is worth most; at most so many.

        Where a hole is worth more far back than near the front, few such holes bring more than the largest do.

        Args:
            worth: Of a hole at each open place for each mm2 of squared radius, shape (n,), >= 0.
            most: No more holes than these.
        """
        radii, out = self.ground.radii, list[Placed]()
        squared, first = np.append(radii**2, 0.0), self.open.place
        while len(out) < most and len(self.open.room):
            own = worth if self.open.place is first else worth[np.searchsorted(first, self.open.place)]
            gain = own * squared[np.searchsorted(radii, self.open.room, side="right") - 1]
            cell = int(gain.argmax())
            if not gain[cell] > 0.0:
                break
            out.append(self._clear(cell, bisect_right(self.ground.sizes, self.open.room.item(cell)) - 1))
            self.open = self.open.kept()
            if len(self.open.room):
                self._lower(out[-1])
                self.open = self.open.kept()
        return out

    def fill(self, direction: Direction, most: int) -> list[Placed]:
        """Holes added, the largest first; at most so many.

        Args:
            direction: Which of equal places is taken.
            most: No more holes than these.
        """
        out = list[Placed]()
        while len(out) < most and len(self.open.room):
            size = bisect_right(self.ground.sizes, self.open.room.item(self.open.room.argmax())) - 1
            # None of those that follow is wider.
            self.widest = self.ground.sizes[size]
            out += self._fill_with(size, direction, most - len(out))
            self.open = self.open.kept()
        return out

    def _fill_with(self, size: int, direction: Direction, most: int) -> Iterator[Placed]:
        """Holes of one size, which is the widest that there is room for, until there is room for no more."""
        legal = (self.open.room >= self.widest).nonzero()[0]
        key = self._key(direction, legal)
        while most and len(legal):
            hole = self._clear(legal.item(key.argmin()), size)
            yield hole
            most -= 1
            still = self.open.room.take(legal) >= self.widest
            if not np.count_nonzero(still):
                # The fewer places, the quicker they are held to the net width.
                self.open, still = self.open.kept(), still[:0]
            if not len(self.open.room):
                return
            self._lower(hole)
            if len(still):
                still = self.open.room.take(legal) >= self.widest
            legal, key = legal[: len(still)][still], key[: len(still)][still]

    def _key(self, direction: Direction, cells: IntArray) -> FloatArray:
        """By which the least of some open places is taken, shape (n,)."""
        if direction is None:
            return -self.task.worth[self.open.place.take(cells)]
        return np.asarray(self.open.x.take(cells) * direction[0] + self.open.y.take(cells) * direction[1])


def _merged(ranges: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """The same stretches without overlaps."""
    low = high = 0
    for start, end in sorted(ranges):
        if start > high:
            yield low, high
            low = start
        high = max(high, end)
    yield low, high
