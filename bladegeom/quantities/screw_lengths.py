"""The lengths in which countersunk screws are sold; each row with its source.

The rows stand in ``data/screw_lengths.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.rows import check_positive, rows
from bladegeom.quantities.threads import THREAD_SYSTEMS
from bladegeom.quantities.units import length


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewLength:
    """A length over all, head included, as countersunk screws are measured.

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
def screw_lengths(system: str) -> tuple[ScrewLength, ...]:
    """The usual lengths of one of the thread systems, shortest first.

    Raises:
        UnknownNameError: No such system.

    >>> [one.name for one in screw_lengths("metric")][:3]
    ['4 mm', '5 mm', '6 mm']
    """
    if system not in THREAD_SYSTEMS:
        raise UnknownNameError("thread system", system, THREAD_SYSTEMS)
    return tuple(
        ScrewLength(
            name=row["length"], length=length(row["length"]), source=row["source"], confidence=row["confidence"]
        )
        for row in rows("screw_lengths.csv")
        if row["system"] == system
    )
