"""The lengths in which countersunk screws and tapped sleeves are sold; each row with its source.

The rows stand in ``data/screw_lengths.csv`` and ``data/sleeve_lengths.csv``; ``data/README.md`` says what their
confidence means.
"""

from __future__ import annotations

from functools import cache

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.threads import THREAD_SYSTEMS
from bladegeom.quantities.units import length


@declared("length as sold", slots=True)
class SoldLength:
    """A length of a screw over all, head included as countersunk screws are measured, or of a sleeve.

    Args:
        name: As it stands on the box, ``"1/2 in"`` or ``"12 mm"``.
        length: mm.
        source: Where the number comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
    """

    name: str
    length: Length
    source: str
    confidence: str


def screw_lengths(system: str) -> tuple[SoldLength, ...]:
    """The usual lengths of countersunk screws of one of the thread systems, shortest first.

    Raises:
        UnknownNameError: No such system.

    >>> [length.name for length in screw_lengths("metric")][:3]
    ['4 mm', '5 mm', '6 mm']
    """
    return _sold("screw_lengths.csv", system)


def sleeve_lengths(system: str) -> tuple[SoldLength, ...]:
    """The usual lengths of standoffs that are tapped right through, shortest first.

    Raises:
        UnknownNameError: No such thread system.

    >>> [length.name for length in sleeve_lengths("inch")][:3]
    ['1/4 in', '5/16 in', '3/8 in']
    """
    return _sold("sleeve_lengths.csv", system)


@cache
def _sold(file: str, system: str) -> tuple[SoldLength, ...]:
    if system not in THREAD_SYSTEMS:
        raise UnknownNameError("thread system", system, THREAD_SYSTEMS)
    return tuple(
        SoldLength(name=row["length"], length=length(row["length"]), source=row["source"], confidence=row["confidence"])
        for row in table_rows(file)
        if row["system"] == system
    )
