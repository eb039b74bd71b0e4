"""At what to temper for a wanted hardness, and which temperatures a steel must be kept from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Says
from bladegeom.quantities.shown import oven_range, oven_temperature


@declared(
    "temperatures to avoid",
    example='AvoidTemper(low_c=250, high_c=400, why="brittle", source="data sheet")',
    slots=True,
)
class AvoidTemper:
    """Tempering temperatures at which a steel becomes worse, whatever its hardness.

    Args:
        low_c: From here, C.
        high_c: To here, C.
        why: What happens there, in words.
        source: Where that comes from.

    >>> AvoidTemper(low_c=230.0, high_c=370.0, why="brittle", source="data sheet").high_c
    370.0
    """

    low_c: float
    high_c: float
    why: Annotated[str, Says("temper embrittlement")]
    source: Annotated[str, Says("data sheet of the steel")]

    def __post_init__(self) -> None:
        if not self.low_c < self.high_c:
            limits = f"{self.low_c:g} to {self.high_c:g} C"
            raise ParameterError("heat treatment: avoid", limits, "be told with the lower temperature first")

    @property
    def words(self) -> str:
        """As a line of the card."""
        return f"Do not temper from {_range(self)}: {self.why} ({self.source})."

    def holds(self, celsius: float) -> bool:
        """Whether a temperature lies within, the borders left out."""
        return self.low_c < celsius < self.high_c


OVEN_SWING = 10.0
"""What an oven wanders between its least and its greatest, K; common practice, no source: 5 K either way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperAdvice:
    """Tempering temperatures for a wanted hardness, C.

    Args:
        least: For the hardest that is wanted.
        aim: For the middle, or as near as the ranges to avoid allow, half of what an oven wanders away from them
            where there is room for that.
        most: For the softest that is wanted and may be had.
        spared: Ranges to avoid that the wanted hardness would reach, and that are left out of the advice.
        within: The range to avoid in which all of it lies: no other temperature gives the hardness.
    """

    least: float
    aim: float
    most: float
    spared: tuple[AvoidTemper, ...] = ()
    within: AvoidTemper | None = None

    @property
    def words(self) -> tuple[str, ...]:
        """What must be said beside the numbers."""
        told = (
            f"Not from {_range(temper)}, where the table has this hardness too: {temper.why}." for temper in self.spared
        )
        return (*told, *((f"Mind: {self.warning}.",) if self.warning else ()))

    @property
    def narrow(self) -> AvoidTemper | None:
        """The range to avoid that leaves less of the advice than an oven wanders, if one does."""
        is_narrow = self.spared and self.within is None and self.most - self.least < OVEN_SWING
        return self.spared[-1] if is_narrow else None

    @property
    def warning(self) -> str:
        """Of a hardness that only a range to avoid gives, or hardly anything else; empty elsewhere."""
        if (beside := self.narrow) is not None:
            return (
                f"all that is left of its tempering temperatures is {oven_range(self.least, self.most)}, right "
                f"beside {_range(beside)}, which is to be avoided, and an oven wanders {OVEN_SWING:g} K: ask for a "
                "hardness further off, or take another steel"
            )
        if self.within is None:
            return ""
        border = oven_temperature(self.within.low_c)
        return (
            f"tempering at {oven_range(self.least, self.most)} lies within {_range(self.within)}, which is "
            f"to be avoided: {self.within.why}; ask for the hardness that {border} or less leaves, or take another "
            "steel"
        )


def advise(least: float, aim: float, most: float, avoid: Iterable[AvoidTemper]) -> TemperAdvice:
    """What is left of a span of tempering temperatures when the ranges to avoid are taken out.

    Where parts on both sides of a range are left, the cooler and harder one is taken: the advice is one span.

    Args:
        least: Of the span, C.
        aim: Within it, C.
        most: Of the span, C.
        avoid: Ranges that do not overlap, the coolest first.
    """
    spared: list[AvoidTemper] = []
    low, high, within = least, most, None
    below = above = False
    for temper in avoid:
        if not (temper.low_c < high and low < temper.high_c):
            continue
        if low <= temper.low_c:
            high, above = temper.low_c, True
        elif temper.high_c <= high:
            low, below = temper.high_c, True
        else:
            within = temper
            break
        spared.append(temper)
    room = min(OVEN_SWING, high - low) / 2
    near = min(max(aim, low + below * room), high - above * room)
    return TemperAdvice(least=low, aim=near, most=high, spared=tuple(spared), within=within)


def _range(temper: AvoidTemper) -> str:
    return oven_range(temper.low_c, temper.high_c).text
