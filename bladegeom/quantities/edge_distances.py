"""Least distances of a hole's centre to an edge, as published; each row with its source, and where its range ends.

The rows stand in ``data/edge_distances.csv``; ``data/README.md`` says what their confidence means. All of them were
written for bolts, screws and rivets that carry a load: for the tang of a knife each is a comparison, not a duty.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import Length, Positive
from bladegeom.quantities.rows import length_or_none, table_rows
from bladegeom.quantities.units import show_length

_SAME = 1e-9
"""Sizes nearer than this are one: inches become mm with a rounding, mm."""


@declared("row of {table}", slots=True)
class EdgeRow:
    """One row of a published table: a distance for one size, or a factor for all sizes over one.

    Args:
        table: Its name here, ``"AISC J3.4"``.
        counts: Whose diameter the table means: the bolt's or the hole's.
        diameter: The size in mm; with a factor, the size over which it holds, None where it holds for all.
        distance: Centre to edge, mm; None in a row with a factor.
        factor: Distance in diameters; None in a row with a distance.
        source: Where the number comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        note: What else is to be known.
    """

    table: str
    counts: Literal["bolt", "hole"]
    diameter: Length | None
    distance: Length | None
    factor: Positive | None
    source: str
    confidence: str
    note: str = ""

    def __post_init__(self) -> None:
        if (self.distance is None) == (self.factor is None):
            given = "not given" if self.distance is None else "given twice"
            must = "be told in mm or as a factor of the diameter, by one of distance and factor"
            raise ParameterError(f"{self.table}: distance", given, must)


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeDistance:
    """What a table asks for at one diameter.

    Args:
        distance: Centre to edge, mm.
        source: Of the row; where the size lies outside the table, it says so.
        confidence: Of the row; "low" outside the table.
        extrapolated: Whether the size lies outside the table.
    """

    distance: float
    source: str
    confidence: str
    extrapolated: bool


def edge_distance(table: str, diameter: float) -> EdgeDistance:
    """The least distance from a hole's centre to an edge by a published table.

    Between two sizes the next larger one counts. Under the smallest its ratio is kept and the answer is marked as
    extrapolated: the ratios of these tables rise towards small sizes, so it may well be too little. Over the largest
    the table's own factor holds, and never less than the largest size's distance.

    Args:
        table: One of :func:`edge_tables`.
        diameter: Of what the table counts, > 0 mm. A hole taken for a bolt of its own diameter gets a little more.

    Raises:
        UnknownNameError: No such table.
        ParameterError: The diameter is not > 0.

    >>> edge_distance("EN 1993-1-8", 5.0).distance, edge_distance("AISC J3.4M", 8.0).extrapolated
    (6.0, True)
    """
    checked("hole: diameter", diameter, Length)
    sizes, (beyond, factor) = _split(table)
    if sizes and diameter < sizes[0][1] - _SAME:
        return _extrapolated(*sizes[0], diameter)
    for row, size, distance in sizes:
        if diameter <= size + _SAME:
            return _found(row, distance)
    return _found(beyond, max(factor * diameter, *(distance for _, _, distance in sizes), 0.0))


@cache
def edge_tables() -> tuple[str, ...]:
    """Names of the tables, in order."""
    return tuple(dict.fromkeys(row.table for row in edge_rows()))


@cache
def edge_rows() -> tuple[EdgeRow, ...]:
    """All rows, in the order of the file."""
    return tuple(
        EdgeRow(
            table=row["table"],
            counts="hole" if row["counts"] == "hole" else "bolt",
            diameter=length_or_none(row["diameter"]),
            distance=length_or_none(row["distance"]),
            factor=float(row["factor"]) if row["factor"] else None,
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        for row in table_rows("edge_distances.csv")
    )


@cache
def _split(table: str) -> tuple[tuple[tuple[EdgeRow, float, float], ...], tuple[EdgeRow, float]]:
    """Rows of single sizes with size and distance, smallest first, and the row for all others with its factor."""
    if table not in edge_tables():
        raise UnknownNameError("table of edge distances", table, edge_tables())
    mine = [row for row in edge_rows() if row.table == table]
    sizes = [(r, r.diameter, r.distance) for r in mine if r.diameter is not None and r.distance is not None]
    ((beyond, factor),) = [(row, row.factor) for row in mine if row.factor is not None]
    return tuple(sorted(sizes, key=lambda size: size[1])), (beyond, factor)


def _found(row: EdgeRow, distance: float) -> EdgeDistance:
    return EdgeDistance(distance=distance, source=row.source, confidence=row.confidence, extrapolated=False)


def _extrapolated(row: EdgeRow, size: float, distance: float, diameter: float) -> EdgeDistance:
    """Below the smallest size of a table."""
    source = (
        f"{row.source}; extrapolated: the table begins at {show_length(size)}, whose {distance / size:.4g} diameters "
        "are kept"
    )
    return EdgeDistance(distance=distance / size * diameter, source=source, confidence="low", extrapolated=True)
