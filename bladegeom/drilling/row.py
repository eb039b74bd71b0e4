"""What one row of the drill card says."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from bladegeom.fasteners.stack_parts import When
from bladegeom.knife.grind import Flank
from bladegeom.knife.hardware.bore import Shape
from bladegeom.quantities.interval import Interval

Piece = Literal["tang", "right liner", "left liner", "right scale", "left scale"]
Phase = Literal["before hardening", "after hardening"]
From = Literal[
    "inside face",
    "bare inside face",
    "liner's inside face",
    "outside face",
    "face on the tang",
    "rim of the screw's hole, where the cutter touches",
]

POINT_DEG: Final = 118.0
"""Included angle of a common twist drill's point. Source: common practice, no source."""

FLANKS: Final[tuple[Flank, ...]] = ("right", "left")


@dataclass(frozen=True, kw_only=True)
class PieceBore:
    """One bore in one piece.

    Args:
        hole: Short name of the opening that it belongs to.
        piece: Where.
        shape: Of the bore; a slot of the steel counts as a through hole.
    """

    hole: str
    piece: Piece
    shape: Shape


@dataclass(frozen=True, kw_only=True)
class CardRow:
    """One row of the drill card.

    Args:
        holes: Short names of the openings worked on; none where it is for the whole piece.
        part: Worked on: the tang, a scale or both, the handle, or hardware by its own word.
        operation: What is done.
        tool: With which; empty where none is named.
        phase: Before hardening the steel is soft, after it is hard.
        makes: The bores that are finished by it.
        checks: Whether it only checks what somebody else has made.
        depth: That the depth stop is set to, mm; None goes through or cuts nothing.
        face: From where the depth counts: a face of the slab, what lies on the tang, or the rim of the hole.
        note: What to mind.
        when: In which state of the handle.
        measures: Whether it ends with a number that is to be written down.
        number: On the card, from 1; 0 before it stands there.
    """

    holes: tuple[str, ...]
    part: str
    operation: str
    tool: str
    phase: Phase
    makes: tuple[PieceBore, ...] = ()
    checks: bool = False
    depth: Interval | None = None
    face: From | None = None
    note: str = ""
    when: When = "before the trial"
    measures: bool = False
    number: int = 0


def rows_named(rows: Sequence[CardRow]) -> str:
    """Rows of the card by their numbers, those that follow each other by the first and the last.

    >>> import dataclasses
    >>> row = CardRow(holes=(), part="tang", operation="deburr", tool="", phase="before hardening", number=9)
    >>> rows_named([row])
    'row 9'
    >>> rows_named([dataclasses.replace(row, number=i) for i in (1, 2, 3, 7)])
    'rows 1 to 3, 7'
    """
    runs: list[list[int]] = []
    for row in rows:
        if runs and row.number == runs[-1][-1] + 1:
            runs[-1].append(row.number)
        else:
            runs.append([row.number])
    told = ", ".join(f"{run[0]}" if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)
    return f"row{'s' if len(rows) > 1 else ''} {told}"


def point_depth(diameter: float) -> float:
    """How much deeper than its rim a twist drill's point goes, mm."""
    return diameter / 2 / math.tan(math.radians(POINT_DEG / 2))
