"""Hardness by tempering temperature, and the temperature for a hardness: straight between the rows of a table."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, InUnit

TemperingC = Annotated[float, Between(50, 750), InUnit("C")]
"""Tempering temperatures outside are a slip of the pen; own choice: no steel is tempered there."""


@declared("hardness", example="Hardness(hrc=60, low=59, high=61)", slots=True)
class Hardness:
    """Rockwell C that is to be expected, and the range in which it usually falls.

    Args:
        hrc: Expected.
        low: Least that is usual.
        high: Greatest that is usual.
        source: Of these, where it is not that of the whole treatment.

    >>> Hardness(hrc=60.0, low=59.0, high=61.0).low
    59.0
    """

    hrc: float
    low: float
    high: float
    source: str = ""

    def __post_init__(self) -> None:
        if not self.low <= self.hrc <= self.high:
            raise ParameterError(
                "hardness", f"{self.low:g}, {self.hrc:g}, {self.high:g} HRC", "be told in rising order: low, hrc, high"
            )

    @property
    def words(self) -> str:
        """Value and range."""
        if self.low == self.high:
            return f"{self.hrc:.1f} HRC"
        return f"{self.hrc:.1f} HRC ({self.low:.1f} to {self.high:.1f})"


@declared("row of the tempering table", example="Temper(celsius=200, hardness=...)", slots=True)
class Temper:
    """One row of a tempering table.

    Args:
        celsius: At which it is held.
        hardness: Afterwards.

    >>> from bladegeom import Hardness
    >>> Temper(celsius=200.0, hardness=Hardness(hrc=60.0, low=59.0, high=61.0)).hardness.hrc
    60.0
    """

    celsius: TemperingC
    hardness: Hardness


def between(table: Sequence[Temper], celsius: float) -> Hardness:
    """Hardness at a temperature inside a table, straight between the two rows beside it."""
    for a, b in itertools.pairwise(table):
        if a.celsius <= celsius <= b.celsius:
            share = (celsius - a.celsius) / (b.celsius - a.celsius)
            ends = ((getattr(a.hardness, name), getattr(b.hardness, name)) for name in ("low", "hrc", "high"))
            low, hrc, high = (lower * (1 - share) + other * share for lower, other in ends)
            return Hardness(hrc=min(max(hrc, low), high), low=low, high=high)
    return table[0].hardness


def first_at_most(table: Sequence[Temper], hrc: float) -> float:
    """The lowest temperature of a falling table that leaves no more than a hardness, C."""
    for a, b in itertools.pairwise(table):
        if a.hardness.hrc <= hrc:
            return a.celsius
        if b.hardness.hrc <= hrc:
            return _crossing(a, b, hrc)
    return table[-1].celsius


def last_at_least(table: Sequence[Temper], hrc: float) -> float:
    """The highest temperature of a falling table that leaves no less than a hardness, C."""
    for a, b in reversed(list(itertools.pairwise(table))):
        if b.hardness.hrc >= hrc:
            return b.celsius
        if a.hardness.hrc >= hrc:
            return _crossing(a, b, hrc)
    return table[0].celsius


def sources(table: Sequence[Temper], low_c: float, high_c: float) -> tuple[str, ...]:
    """Sources of the rows between which some temperatures inside a table lie."""
    pairs = [(a, b) for a, b in itertools.pairwise(table) if a.celsius <= high_c and low_c <= b.celsius]
    return tuple(temper.hardness.source for temper in dict.fromkeys(itertools.chain(*pairs)))


def often(count: int) -> str:
    """How many times, in words.

    >>> often(2), often(3)
    ('twice', '3 times')
    """
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _crossing(a: Temper, b: Temper, hrc: float) -> float:
    share = (a.hardness.hrc - hrc) / (a.hardness.hrc - b.hardness.hrc)
    return a.celsius + share * (b.celsius - a.celsius)
