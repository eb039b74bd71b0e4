"""Where a mock-up that is longer than the bed is cut across: only where dowels have room."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.mockups.dowels import Dowel, across_cut
from bladegeom.mockups.laying import least_square, turn_for
from bladegeom.mockups.printing import Printing
from bladegeom.mockups.room import Inside
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import show_length

_STEP: Final = 4.0
"""From place to place that is tried, mm."""

_MOST: Final = 2
"""Cuts across; more would be no knife to hold."""


def cut_across(
    side: BaseGeometry, room: Inside, printing: Printing, *, halves: bool
) -> tuple[tuple[float, ...], tuple[Dowel, ...]]:
    """Places along x, from the butt on, and the dowels in them; none where the whole fits the bed.

    Args:
        side: Of the body, from the side.
        room: Within it.
        printing: How it is printed.
        halves: Whether it is split along the middle plane too.

    Raises:
        ParameterError: The bed is too small, however it is cut; the one that would do is told.
    """
    if turn_for(side, printing.print_bed) is not None:
        return (), ()
    low, _, high, _ = side.bounds

    @cache
    def dowels(x: float) -> tuple[Dowel, ...]:
        return across_cut(room, x, printing, halves=halves)

    @cache
    def fits(start: float, end: float) -> bool:
        return turn_for(_part(side, start, end), printing.print_bed) is not None

    places = np.arange(low + _STEP, high - _STEP, _STEP).tolist()
    for cuts in _choices(places, (low + high) / 2):
        if all(itertools.starmap(fits, stretches(cuts))) and all(map(dowels, cuts)):
            return cuts, tuple(dowel for x in cuts for dowel in dowels(x))
    raise _too_small(side, [x for x in places if dowels(x)], printing)


def _part(side: BaseGeometry, low: float, high: float) -> BaseGeometry:
    return shapely.clip_by_rect(side, low, -1e3, high, 1e3)


def stretches(cuts: Sequence[float]) -> tuple[tuple[float, float], ...]:
    """From each cut to the next; the first begins and the last ends beyond every knife."""
    return tuple(itertools.pairwise((-1e3, *cuts, 1e3)))


def _choices(places: Sequence[float], middle: float) -> Iterator[tuple[float, ...]]:
    """One cut before two, and near the middle first."""
    for count in range(1, _MOST + 1):
        yield from sorted(itertools.combinations(places, count), key=lambda cuts: sum(abs(x - middle) for x in cuts))


def _too_small(side: BaseGeometry, places: Sequence[float], printing: Printing) -> ParameterError:

    @cache
    def square(start: float, end: float) -> float:
        return least_square(_part(side, start, end))

    by_cuts = (max(itertools.starmap(square, stretches(cuts))) for cuts in _choices(places, 0.0))
    needed = min((least_square(side), *by_cuts))
    must = (
        f"be a square of {room_to_buy(needed)} at least: it is cut across only where a dowel of "
        f"{show_length(printing.dowel_diameter)} has room"
    )
    return ParameterError("printing: bed", printing.print_bed.size, must, limit=needed)
