"""What a search for holes is about: places of a tang, what a hole is worth at each, how they keep each other off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.placing.ground import Ground, IntArray

Placed = tuple[int, int]
"""A hole by the numbers of its place and of its size."""

_KEPT = 4_000_000
"""Limits that are kept, numbers; 32 MB."""

_MOST = 0.75
"""Open places are written anew where fewer than this share of them are left; own choice by trial."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Task:
    """Places, what a hole is worth at each of them, and the smallest that is placed there.

    Args:
        ground: The places.
        worth: Of a hole at each place for each mm2 of squared radius, shape (n,), >= 0.
        least: Smallest radius that is placed there, one of the sizes, or infinite for none; shape (n,), mm.
    """

    ground: Ground
    worth: FloatArray
    least: FloatArray

    @cached_property
    def varied(self) -> bool:
        """Whether a hole is worth more at some places than at others."""
        return bool(np.ptp(self.worth) > 0)

    @cached_property
    def value_of(self) -> list[float]:
        """Squared radius of each size, mm2."""
        return [radius**2 for radius in self.ground.sizes]

    def value(self, holes: Sequence[Placed]) -> float:
        """What holes that stand together are worth."""
        return sum((self.value_of[size] * self.worth.item(place) for place, size in holes), 0.0)

    @cached_property
    def open(self) -> Open:
        """The places where a hole is wanted, before any is placed."""
        ground = self.ground
        by_width = ground.by_width(ground.left, ground.columns, float(ground.radii[-1]))
        room = np.minimum(ground.room, by_width[ground.column])
        x, y = ground.xy.T
        return Open(np.arange(len(room)), x, y, ground.column, room, self.least).kept()

    @cached_property
    def starts(self) -> IntArray:
        """First open place of each column and the number of places, shape (columns + 1,)."""
        return np.searchsorted(self.open.column, np.arange(self.ground.columns + 1))

    def limit(self, place: int, size: int) -> tuple[int, FloatArray]:
        """The radius that a hole leaves to the open places about it, from one of them on, shape (m,), mm."""
        found = self._limits.get((place, size))
        if found is None:
            ground, radius = self.ground, self.ground.sizes[size]
            reach = ground.columns_in(radius + ground.web + ground.sizes[-1])
            column = ground.column.item(place)
            first = self.starts.item(max(column - reach, 0))
            near = slice(first, self.starts.item(min(column + reach + 1, ground.columns)))
            x, y = ground.xy[place].tolist()
            found = first, away(self.open.x[near], self.open.y[near], x, y, radius + ground.web)
            if sum(len(limit) for _, limit in self._limits.values()) > _KEPT:
                self._limits.clear()
            self._limits[place, size] = found
        return found

    @cached_property
    def _limits(self) -> dict[Placed, tuple[int, FloatArray]]:
        """Those that were asked for: most holes stay where they are from one change to the next."""
        return {}


class Open(NamedTuple):
    """Places where a hole is wanted, column by column.

    Args:
        place: Their numbers, shape (n,).
        x: Shape (n,), mm.
        y: Shape (n,), mm.
        column: Shape (n,).
        room: Largest legal radius, shape (n,), mm.
        least: Smallest radius that is wanted, shape (n,), mm.
    """

    place: IntArray
    x: FloatArray
    y: FloatArray
    column: IntArray
    room: FloatArray
    least: FloatArray

    def part(self, first: int, last: int, widest: float) -> Open:
        """Some of them in a row, with no more room than for the widest."""
        here = slice(first, last)
        room = np.minimum(self.room[here], widest)
        return Open(self.place[here], self.x[here], self.y[here], self.column[here], room, self.least[here])

    def kept(self) -> Open:
        """The same without those where no hole that is wanted fits any more; few of them may stay, with no room."""
        fits = self.room >= self.least
        count = int(np.count_nonzero(fits))
        if count > _MOST * len(fits):
            # To mark them is quicker than to copy all others.
            np.copyto(self.room, -1.0, where=~fits)
            return self
        which = fits.nonzero()[0]
        place, x, y, column, room, least = self
        return Open(
            place.take(which), x.take(which), y.take(which), column.take(which), room.take(which), least.take(which)
        )


def away(x: FloatArray, y: FloatArray, to_x: float, to_y: float, less: float) -> FloatArray:
    """Distance of places to one of them, less so many mm."""
    out, up = x - to_x, y - to_y
    out *= out
    up *= up
    out += up
    np.sqrt(out, out=out)
    out -= less
    return out
