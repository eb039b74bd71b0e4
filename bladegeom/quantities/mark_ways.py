"""Ways in which a mark comes onto steel, with the least that each can show: the rows of ``data/mark_ways.csv``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.units import length

MarkWayName = Literal["stencil", "electro-etch", "laser"]
"""A film that is cut through, and acid or blasting; a printed mesh and a current; a beam."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkWay:
    """One way to mark, and what it can show.

    Args:
        name: Of the way.
        said: As a sentence calls it.
        least_line: Narrowest line, mm.
        least_gap: Narrowest gap between lines, mm.
        deepest: It comes no deeper, mm.
        holds_islands: Whether what a line closes round stays where it is, such as the middle of an O.
        source: Where it comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
    """

    name: str
    said: str
    least_line: float
    least_gap: float
    deepest: float
    holds_islands: bool
    source: str
    confidence: str


@cache
def mark_ways() -> dict[str, MarkWay]:
    """All ways by name, in the order of the table."""
    return {
        row["way"]: MarkWay(
            name=row["way"],
            said=row["said"],
            least_line=length(row["least_line"]),
            least_gap=length(row["least_gap"]),
            deepest=length(row["deepest"]),
            holds_islands={"yes": True, "no": False}[row["holds_islands"]],
            source=row["source"],
            confidence=row["confidence"],
        )
        for row in table_rows("mark_ways.csv")
    }
