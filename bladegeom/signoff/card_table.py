"""The tables of the job card: rows of text, with boxes to tick and blanks to write in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Mark(Enum):
    """What a maker fills in."""

    TICK = "tick"
    BLANK = "blank"


Cell = str | Mark


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column.

    Args:
        name: Over it.
        share: Of the table's width; the shares of a table sum to 1.
        strong: Whether it is bold.
    """

    name: str
    share: float
    strong: bool = False


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows under one title.

    Args:
        title: Over them.
        columns: From left to right.
        rows: A cell for each column.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, kw_only=True)
class CardPart:
    """A part of the card, which begins on a page of its own.

    Args:
        key: Its name in a file.
        title: Over it.
        verdict: Under the title, in bold.
        lines: Under it, in plain text.
        tables: Under the lines.
        drawn: Whether the drawing of the blade stands between lines and tables.
    """

    key: str
    title: str
    verdict: str = ""
    lines: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    drawn: bool = False


@dataclass(frozen=True, kw_only=True)
class Card:
    """The whole card.

    Args:
        name: Of the design.
        mark: Its revision id.
        title: Over every page.
        remarks: On every page: what keeps the design from being released, or what the maker overrode.
        parts: In the order in which they are needed.

    >>> [part.key for part in design.job_card.parts]
    ['route', 'heat', 'inspection']
    """

    name: str
    mark: str
    title: str
    remarks: tuple[str, ...]
    parts: tuple[CardPart, ...]
