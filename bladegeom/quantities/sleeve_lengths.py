"""The lengths in which standoffs, tapped right through, are sold; each row with its source.

The rows stand in ``data/sleeve_lengths.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.rows import check_positive, rows
from bladegeom.quantities.threads import THREAD_SYSTEMS
from bladegeom.quantities.units import length


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveLength:
    """A length of a sleeve as it is bought.

    Args:
        name: As it stands on the box, ``"1/2 in"`` or ``"12 mm"``.
        length: mm.
        source: Where the number comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
    """

    name: str
    length: float
    source: str
    confidence: str

    def __post_init__(self) -> None:
        check_positive("length", self.length)


@cache
def sleeve_lengths(system: str) -> tuple[SleeveLength, ...]:
    """The usual lengths for one of the thread systems, shortest first.

    Raises:
        UnknownNameError: No such system.

    >>> [one.name for one in sleeve_lengths("inch")][:3]
    ['1/4 in', '5/16 in', '3/8 in']
    """
    if system not in THREAD_SYSTEMS:
        raise UnknownNameError("thread system", system, THREAD_SYSTEMS)
    return tuple(
        SleeveLength(
            name=row["length"], length=length(row["length"]), source=row["source"], confidence=row["confidence"]
        )
        for row in rows("sleeve_lengths.csv")
        if row["system"] == system
    )
