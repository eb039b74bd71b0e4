"""Sizes of hands, and what is published on the size of a grip; each row with its source.

The rows stand in ``data/*.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Final

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import KnownWord, Length, Positive
from bladegeom.quantities.rows import length_or_none, table_rows
from bladegeom.quantities.units import length

PERCENTILES: Final = ("P5", "P50", "P95", "mean")


@declared("hand measure", slots=True)
class HandMeasure:
    """One measure of the hands of one population, mm.

    Args:
        name: What is measured, ``"hand breadth"`` (across the metacarpals).
        population: Whose hands.
        percentile: One of :data:`PERCENTILES`.
        value: The measure.
        source: Where the number comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        note: Rounding, standard deviation.

    >>> hand_measure("hand breadth", "US Army men, 2012", "P95").value
    96.0
    """

    name: str
    population: str
    percentile: Annotated[str, KnownWord("percentile", PERCENTILES)]
    value: Length
    source: str
    confidence: str
    note: str = ""


@declared("grip guidance", slots=True)
class GripGuidance:
    """One published recommendation on a handle.

    Args:
        use: The kind of grip, tool or hand that it is meant for.
        measure: What it is about, ``"handle diameter"``.
        value: The recommendation; where there is a range, a usual value within it.
        unit: ``"mm"``, ``"g"``, or ``"1"`` for a ratio.
        source: Where the number comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        low: Least recommended value, None without a range.
        high: Greatest recommended value, None without a range.
        note: What else is to be known.
    """

    use: str
    measure: str
    value: Positive
    unit: str
    source: str
    confidence: str
    low: float | None = None
    high: float | None = None
    note: str = ""


def hand_measure(name: str, population: str, percentile: str) -> HandMeasure:
    """One row of :func:`hand_measures`.

    Raises:
        UnknownNameError: No row has these three.

    >>> hand_measure("hand breadth", "US Army men, 2012", "P95").value
    96.0
    """
    wanted = (name, population, percentile)
    known = {(measure.name, measure.population, measure.percentile): measure for measure in hand_measures()}
    if wanted not in known:
        raise UnknownNameError("hand measure", "; ".join(wanted), ("; ".join(key) for key in known))
    return known[wanted]


@cache
def hand_measures() -> tuple[HandMeasure, ...]:
    """All measures of hands, in the order of the table.

    >>> first = hand_measures()[0]
    >>> first.name, first.population, first.value
    ('hand breadth', 'US Army men, 2012', 81.0)
    """
    return tuple(
        HandMeasure(
            name=row["name"],
            population=row["population"],
            percentile=row["percentile"],
            value=length(row["value"]),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        for row in table_rows("hand_measures.csv")
    )


@cache
def grip_guidance() -> tuple[GripGuidance, ...]:
    """All recommendations on handles, in the order of the table."""
    # length() turns inches into mm, and leaves the bare numbers of the other units as they are.
    return tuple(
        GripGuidance(
            use=row["use"],
            measure=row["measure"],
            value=length(row["value"]),
            unit=row["unit"],
            source=row["source"],
            confidence=row["confidence"],
            low=length_or_none(row["low"]),
            high=length_or_none(row["high"]),
            note=row["note"],
        )
        for row in table_rows("grip_guidance.csv")
    )
