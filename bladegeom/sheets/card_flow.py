"""Lines and tables below each other on lying pages, as many as it takes; rows that no page holds are carried over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, THIN_PEN, Item, Label, Path
from bladegeom.drawing.ruler import MARGIN
from bladegeom.quantities.errors import ExportError
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.tables import Paper
from bladegeom.signoff.card_table import Cell, Column, Mark, Table

TITLE, PART, TEXT, SMALL = 4.0, 3.2, 2.2, 2.0
"""Heights of a page's title, a part's title, a cell, and the foot, mm."""

FOOT: Final = 6.0
"""Kept free for the foot of a page, mm."""

_LEADING = 1.6
"""From one base line to the next, in heights of the text: a capital with its accent clears the tails above it."""

_ACCENT = 1.3
"""Height of such a capital, in heights of the text."""

_ABOVE, _BELOW, _PAD = 1.3, 1.3, 1.0
"""Free over and under the text of a row, and beside it, mm."""

_LEAST = 6.4
"""Height of a row with a blank, so that a hand can write in it, mm; own choice."""

_SIDE = 3.0
"""Of a box to tick, mm."""

_GAP = 3.5
"""Over a table, mm."""

_TOGETHER = 2
"""Rows that stay with the title of their table."""

_MOST_HEAD = 0.5
"""Of the page that title and remarks may take."""

_Row = tuple[list[list[str]], float]


@dataclass
class Flow:
    """Pages that fill from the top.

    Args:
        paper: Lying.
        title: Over every page.
        remarks: Under it, on every page.

    Raises:
        ExportError: Title and remarks leave no room.
    """

    paper: Paper
    title: str
    remarks: Sequence[str]
    pages: list[list[Item]] = field(default_factory=list)
    y: float = 0.0
    _over: tuple[Column, ...] = ()

    @property
    def width(self) -> float:
        """Of the text, mm."""
        return self.paper.height - 2 * MARGIN

    @property
    def left(self) -> float:
        """Height that is left on the page, mm."""
        return self.y - MARGIN - FOOT

    def begin(self) -> None:
        """Another page, with its head."""
        self.pages.append([])
        self._over = ()
        self.y = self.paper.width - MARGIN
        lines = [(text, TITLE) for text in wrapped(self.title, TITLE, self.width, bold=True)]
        lines += [(text, TEXT) for one in self.remarks for text in wrapped(one, TEXT, self.width, bold=True)]
        if sum(size for _, size in lines) * _LEADING > _MOST_HEAD * (self.paper.width - 2 * MARGIN):
            raise ExportError(
                f"the title and the remarks of the job card take more than half a page of {self.paper.name}: shorten "
                "the names, or name a larger paper"
            )
        above = 0.0
        for text, size in lines:
            # The tails of a larger line reach lower.
            self.y -= size * (_LEADING if above else _ACCENT) + max(0.0, above - size) / 2
            self.pages[-1].append(Label(layer="NOTE", x=MARGIN, y=self.y, text=text, height=size, bold=True))
            above = size
        self.rule(1.2)

    def write(self, text: str, size: float, *, bold: bool = False) -> None:
        """Text in as many lines as it takes; what the page does not hold goes on to the next one."""
        step = size * _LEADING
        for part in wrapped(text, size, self.width, bold=bold):
            if self.left < step:
                self.begin()
            self.y -= step
            self.pages[-1].append(Label(layer="NOTE", x=MARGIN, y=self.y, text=part, height=size, bold=bold))

    def rule(self, below: float, *, light: bool = False) -> None:
        """A line across the page, below the text."""
        self.y -= below
        ends = line((MARGIN, self.y), (MARGIN + self.width, self.y))
        self.pages[-1].append(Path(layer="NOTE", curve=ends, pen=LEADER_PEN if light else THIN_PEN))

    def part(self, title: str) -> None:
        """The title of a part, on a page of its own."""
        self.begin()
        self.y -= 1.5
        self.write(title, PART, bold=True)
        self.y -= 1.0

    def table(self, table: Table) -> None:
        """A table; its title and the names of its columns are repeated where it goes on."""
        rows = [self._wrapped(cells, table.columns) for cells in table.rows]
        # No title stands alone at the foot of a page.
        if self.left < _GAP + self._head_height(table) + sum(height for _, height in rows[:_TOGETHER]):
            self.begin()
        self._head(table, "")
        for cells, row in zip(table.rows, rows, strict=True):
            self._row(table, cells, *row)

    def _row(self, table: Table, cells: Sequence[Cell], lines: list[list[str]], height: float) -> None:
        if self.left < height:
            self.begin()
            self._head(table, ", continued")
        while self.left < height:
            # Not even an empty page holds it: as many lines as there is room for, the rest on the next one.
            fit = int((self.left - _ABOVE - _BELOW) / (TEXT * _LEADING))
            self._draw(table, cells, [part[:fit] for part in lines], self.left)
            lines = [part[fit:] for part in lines]
            cells, height = ["" if isinstance(c, Mark) else c for c in cells], _height(max(map(len, lines)))
            self.begin()
            self._head(table, ", continued")
        self._draw(table, cells, lines, height)

    def _draw(self, table: Table, cells: Sequence[Cell], lines: list[list[str]], height: float) -> None:
        x, page = MARGIN, self.pages[-1]
        for cell, column, parts in zip(cells, table.columns, lines, strict=True):
            width = column.share * self.width
            if isinstance(cell, Mark):
                page.append(_mark(cell, x, self.y, width, height))
            page += _labels(parts, x + _PAD, self.y - _ABOVE - TEXT, bold=column.strong)
            x += width
        self.y -= height
        self.rule(0.0, light=True)

    def _wrapped(self, cells: Sequence[Cell], columns: Sequence[Column]) -> _Row:
        lines = [
            [] if isinstance(cell, Mark) or not cell.strip() else self._lines(cell, _span(cells, columns, i), strong)
            for i, (cell, strong) in enumerate(zip(cells, (one.strong for one in columns), strict=True))
        ]
        least = _LEAST if Mark.BLANK in cells else 0.0
        return lines, max(least, _height(max(1, *map(len, lines))))

    def _lines(self, text: str, share: float, strong: bool) -> list[str]:  # noqa: FBT001
        return wrapped(text, TEXT, share * self.width - 2 * _PAD, bold=strong)

    def _names(self, table: Table) -> list[list[str]]:
        """Of the columns; none where the same stand over a table further up on the page."""
        if self._over == table.columns:
            return []
        return [self._lines(one.name, one.share, strong=False) for one in table.columns]

    def _head_height(self, table: Table) -> float:
        title = len(wrapped(table.title, TEXT, self.width, bold=True)) * TEXT * _LEADING
        names = self._names(table)
        return title + (_height(max(map(len, names))) if names else 0.0)

    def _head(self, table: Table, more: str) -> None:
        self.y -= _GAP - TEXT * (_LEADING - 1)
        # Where the table goes on, the start of a long title will do.
        title = wrapped(table.title, TEXT, 0.8 * self.width, bold=True)[0] + more if more else table.title
        self.write(title, TEXT, bold=True)
        self.rule(1.2)
        names, x = self._names(table), MARGIN
        if not names:
            return
        for parts, column in zip(names, table.columns, strict=True):
            self.pages[-1] += _labels(parts, x + _PAD, self.y - _ABOVE - TEXT, bold=False)
            x += column.share * self.width
        self.y -= _height(max(map(len, names)))
        self.rule(0.0)
        self._over = table.columns


def _span(cells: Sequence[Cell], columns: Sequence[Column], i: int) -> float:
    """Share of the width that a text has: its own column and the empty ones behind it; the first names the row."""
    share = columns[i].share
    for cell, column in zip(cells[i + 1 :], columns[i + 1 :], strict=True):
        if cell or i == 0:
            break
        share += column.share
    return share


def _height(lines: int) -> float:
    return _ABOVE + TEXT + (lines - 1) * TEXT * _LEADING + _BELOW


def _labels(parts: Sequence[str], x: float, y: float, *, bold: bool) -> Iterator[Label]:
    for i, text in enumerate(parts):
        yield Label(layer="NOTE", x=x, y=y - i * TEXT * _LEADING, text=text, height=TEXT, bold=bold)


def _mark(mark: Mark, x: float, top: float, width: float, height: float) -> Path:
    """A box to tick, or a line to write on."""
    if mark is Mark.BLANK:
        y = top - height + _BELOW
        return Path(layer="NOTE", curve=line((x + _PAD, y), (x + width - _PAD, y)), pen=THIN_PEN)
    low, high = top - 0.8 - _SIDE, top - 0.8
    left, right = x + _PAD, x + _PAD + _SIDE
    corners = ((left, low), (right, low), (right, high), (left, high), (left, low))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=THIN_PEN)
