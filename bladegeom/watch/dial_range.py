"""From where to where a slider runs, and by which steps, where no profile says so."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

_GRID: Final = ((1.0, 0.05), (5.0, 0.5), (20.0, 1.0), (100.0, 5.0), (math.inf, 10.0))
"""Numbers up to the first round to multiples of the second: those of a shop's rules and stock lists; own choice."""

_STEPS: Final = ((1.0, 0.01), (10.0, 0.1), (50.0, 0.5), (math.inf, 1.0))
"""A slider that reaches to the first moves by the second: what a hand sets without thinking; own choice."""

_ABOUT_NOUGHT: Final = {"mm": 10.0, "degrees": 15.0}
"""How far a number that is 0 may go either way; own choice."""

_OTHERS: Final = 10.0
"""The same of numbers without a unit."""


@dataclass(frozen=True, kw_only=True)
class Range:
    """Where a slider runs; a number box takes more."""

    low: float
    high: float
    step: float

    @classmethod
    def between(cls, low: float, high: float, *, whole: bool = False) -> Range:
        """From one number to another by the steps that fit them."""
        reach = max(abs(low), abs(high))
        return cls(low=low, high=high, step=1.0 if whole else next(step for most, step in _STEPS if reach <= most))


def own_range(default: float, kind: str, unit: str) -> Range:
    """From half of a default to twice of it, rounded outwards; never to 0 where the default is none.

    >>> own_range(3.5, "length", "mm")
    Range(low=1.5, high=7.0, step=0.1)
    """
    whole = kind == "whole"
    if default == 0:
        most = _ABOUT_NOUGHT.get(unit, _OTHERS)
        return Range.between(-most, most, whole=whole)
    size = abs(float(default))
    grid = 1.0 if whole else next(grid for most, grid in _GRID if size <= most)
    low = max(math.floor(size / 2 / grid), 1) * grid
    low, high = (round(value, 6) for value in (low if low <= size else size / 2, math.ceil(2 * size / grid) * grid))
    return Range.between(low, high, whole=whole) if default > 0 else Range.between(-high, -low, whole=whole)


def widened(known: Range, default: float) -> Range:
    """The same, stretched where need be so that the default lies in it."""
    return Range(low=min(known.low, float(default)), high=max(known.high, float(default)), step=known.step)
