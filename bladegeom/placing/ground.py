"""Where lightening holes may stand: places all over the tang, how wide a hole each allows, and what it is worth."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Hole, Made, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.placing.net_width import CELL, GROUP, WidthLeft, chord
from bladegeom.placing.width_limits import Limits, beside, border_limits, no_room
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.units import show_length

IntArray = npt.NDArray[np.int64]

_STEP = GROUP * CELL

_MOST_PLACES = 200_000
"""A tang of more places, which are those of 80 cm2, has them farther apart: time and memory of a search are bounded."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Ground:
    """Places where the smallest size fits, column by column from the butt, with what is there already counted in.

    Args:
        knife: Whose tang it is.
        made: When the holes are made.
        xy: Of n places, shape (n, 2), mm.
        column: Of each place, shape (n,).
        room: Largest legal radius of a single hole, shape (n,), mm.
        radii: Of the sizes that may be used, ascending, shape (k,), mm.
        width: The tang in strips; columns stand in the middle of every second.
    """

    knife: Knife
    made: Made
    xy: FloatArray
    column: IntArray
    room: FloatArray
    radii: FloatArray
    width: WidthLeft

    @cached_property
    def web(self) -> float:
        """Steel between two holes, mm; a hair more, so that rounding breaks no rule."""
        return self.knife.rules.least_web(self.knife.stock.thickness) + 1e-9

    @cached_property
    def columns(self) -> int:
        """How many there are; some may have no place."""
        return len(self.width.x[GROUP // 2 :: GROUP])

    @staticmethod
    def columns_in(length: float) -> int:
        """How many columns a length along x holds, rounded up."""
        return math.ceil(length / _STEP)

    @cached_property
    def starts(self) -> IntArray:
        """First place of each column and the number of places, shape (columns + 1,)."""
        return np.searchsorted(self.column, np.arange(self.columns + 1))

    @cached_property
    def sizes(self) -> list[float]:
        """The radii as plain numbers."""
        return [float(radius) for radius in self.radii]

    @cached_property
    def padding(self) -> int:
        """Strips that the widest hole reaches to either side, and one."""
        return int(np.ceil(self.radii[-1] / CELL)) + 1

    @cached_property
    def left(self) -> FloatArray:
        """What may be taken in each strip, with padding at both ends and never less than nothing."""
        free = np.full(self.padding, np.inf)
        return np.concatenate([free, np.maximum(self.width.left, 0.0), free, np.full(GROUP, np.inf)])

    def strips(self, first: int, last: int) -> slice:
        """Of the padded strips those that holes in some columns may reach, the last one not counted."""
        middle = GROUP // 2
        return slice(GROUP * first + middle, GROUP * (last - 1) + middle + 2 * self.padding + 1)

    def strip_x(self, first: int, last: int) -> FloatArray:
        """Their middles, mm."""
        reach = self.strips(first, last)
        return np.asarray(self.width.x[0] + CELL * (np.arange(reach.start, reach.stop) - self.padding))

    def reach(self, size: int, other: int) -> int:
        """From how many columns on holes of two sizes have nothing to do with each other."""
        return self._reaches[size][other]

    @cached_property
    def _reaches(self) -> list[list[int]]:
        return [[self.columns_in(radius + self.web + other) for other in self.sizes] for radius in self.sizes]

    def chords(self, place: int, size: int) -> tuple[int, FloatArray]:
        """What a hole takes of the padded strips about it, and which is the first of them; shape (m,), mm."""
        column, radius = self.column.item(place), self.sizes[size]
        found = self._chords.get((column, size))
        if found is None:
            wide = self.columns_in(radius)
            first, last = max(column - wide, 0), min(column + wide + 1, self.columns)
            x = self.xy.item(place, 0)
            chords = chord(self.strip_x(first, last) - x, radius)
            cut = chords.nonzero()[0]
            found = self.strips(first, last).start + cut.item(0), chords[cut.item(0) : cut.item(-1) + 1]
            self._chords[column, size] = found
        return found

    @cached_property
    def _chords(self) -> dict[tuple[int, int], tuple[int, FloatArray]]:
        return {}

    def by_width(self, left: FloatArray, columns: int, widest: float) -> FloatArray:
        """Largest radius in each of some columns by what is left in the strips that they may reach, mm.

        True up to the widest that is asked for; above it may be too much.
        """
        reach = min(math.ceil(widest / CELL) + 1, self.padding)
        near = (left * left / 4)[self.padding - reach :]
        # The same numbers seen as the strips about each column, one row for each distance from it.
        step = near.strides[0]
        rows = np.ndarray((2 * reach + 1, columns), near.dtype, near, 0, (step, GROUP * step))
        # Two strips as far off on either side bind alike: the tighter one stands for both.
        both = np.minimum(rows[reach:], rows[reach::-1])
        both += self._away[: reach + 1]
        return np.asarray(np.sqrt(np.minimum.reduce(both)))

    @cached_property
    def _away(self) -> FloatArray:
        """Squared distances of strips from a column, from the one at the column itself on, shape (padding + 1, 1)."""
        u = CELL * np.arange(self.padding + 1)
        return np.asarray(np.maximum(u - CELL / 2, 0.0)[:, None] ** 2)

    def hole(self, place: int, size: int) -> Hole:
        """The lightening hole at a place."""
        x, y = self.xy[place].tolist()
        return Hole(x=x, y=y, diameter=2 * float(self.radii[size]), purpose="lightening", made=self.made)


@dataclass(frozen=True, kw_only=True, eq=False)
class Tang:
    """The places of a tang from the butt on, and what each rule allows at each of them.

    Args:
        xy: Of n places, shape (n, 2), mm.
        column: Of each place, shape (n,).
        limits: What the rules allow there beside all openings.
        width: The tang in strips.
    """

    xy: FloatArray
    column: IntArray
    limits: Limits
    width: WidthLeft


def tang_of(knife: Knife, *, rear: float = -math.inf, front: float = math.inf) -> Tang:
    """Places every 0.2 mm along x and up, counted from the mid line of each column, between two x in mm.

    On a tang of more than 80 cm2 every 0.4 mm, of more than 320 cm2 every 0.6 mm, and so on.
    """
    width = WidthLeft.of(knife, knife.openings)
    x = width.x[GROUP // 2 :: GROUP]
    upper, lower = knife.outline.tang_height(x)
    half = np.where((x > rear) & (x < front), np.nan_to_num((upper - lower) / 2), 0.0)
    every = max(1, math.ceil(math.sqrt(float(half.sum()) * 2 / _STEP / _MOST_PLACES)))
    half[np.arange(len(half)) % every > 0] = 0.0
    steps = int(half.max(initial=0.0) / _STEP / every)
    offset = _STEP * every * np.arange(-steps, steps + 1)
    column, row = np.nonzero(np.abs(offset) < half[:, None])
    xy = np.stack([x[column], ((upper + lower) / 2)[column] + offset[row]], axis=1)
    found = beside(knife, border_limits(knife, xy), xy, knife.openings, width)
    return Tang(xy=xy, column=column, limits=found, width=width)


@memo
def ground_of(
    knife: Knife, *, largest: float | None, made: Made, rear: float = -math.inf, front: float = math.inf
) -> Ground:
    """The places of a knife's tang between two x in mm; patterns that are searched for side by side share them.

    Raises:
        PlacingError: No size of the drill index can be used, or the smallest finds no place.
    """
    radii = np.array(lightening_sizes(knife, largest=largest, made=made)) / 2
    tang = tang_of(knife, rear=rear, front=front)
    room = tang.limits.room
    fits = room >= radii[0]
    if not fits.any():
        size = 2 * float(radii[0])
        what = f"no legal place on the tang for a lightening hole of {show_length(size)}, the smallest"
        if not len(tang.xy):
            raise PlacingError(f"{what}: no steel of the tang lies there", value=size)
        raise no_room(knife, tang.limits, tang.xy, size).error(what, size)
    return Ground(
        knife=knife,
        made=made,
        xy=tang.xy[fits],
        column=tang.column[fits],
        room=room[fits],
        radii=radii,
        width=tang.width,
    )


def lightening_sizes(knife: Knife, *, largest: float | None, made: Made) -> tuple[float, ...]:
    """Diameters that lightening holes may have, ascending, mm.

    Raises:
        ParameterError: No knife, the largest is no size, or the way of making them is unknown.
        PlacingError: There is none.
    """
    checked("lightening holes: knife", knife, Knife)
    checked("lightening holes: made", made, Made)
    checked("lightening holes: largest", largest, Length | None)
    process = knife.shop.process
    least = process.least_hole(knife.stock.thickness) if made == "cut" else 0.0
    if largest is not None and largest < least:
        raise PlacingError(
            f"largest is {show_length(largest)}, less than {process.name} can cut in "
            f"{show_length(knife.stock.thickness)} stock, {show_length(least)}; allow wider holes, "
            "or drill them (made='drilled')",
            value=largest,
            limit=least,
        )
    found = sorted({d.diameter for d in knife.shop.sizes_for_lightening if least <= d.diameter <= (largest or np.inf)})
    if not found:
        raise PlacingError(_no_size(knife, least, largest), value=largest, limit=least)
    return tuple(found)


def _no_size(knife: Knife, least: float, largest: float | None) -> str:
    """Why no size of the shop will do, and the way out."""
    have = sorted(drill.diameter for drill in knife.shop.sizes_for_lightening)
    if not have:
        return 'the shop has no size for lightening holes; name some: lightening_sizes=(drill("1/4"),)'
    low = f" from {show_length(least)} on" if least > 0 else ""
    high = "" if largest is None else f" up to {show_length(largest)}"
    drilled = "" if least == 0 or have[0] > (largest or math.inf) else ", or drill them (made='drilled')"
    return (
        f"the shop has no size for lightening holes{low}{high}, only {show_length(have[0])} to "
        f"{show_length(have[-1])}; change {'lightening_sizes' if largest is None else 'largest'}{drilled}"
    )


def with_holes(knife: Knife, holes: Sequence[Opening]) -> Knife:
    """A knife with more openings, front to rear."""
    ordered = sorted(holes, key=lambda hole: (-hole.x, hole.y))
    return dataclasses.replace(knife, holes=(*knife.holes, *ordered))
