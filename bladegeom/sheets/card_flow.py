"""Lines and tables below each other on lying pages, as many as it takes; rows that no page holds are carried over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Label, Path
from bladegeom.drawing.page_flow import CellText, PageFlow
from bladegeom.drawing.ruler import MARGIN
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.signoff.card_table import Cell, Column, Mark, Table

TITLE, PART, TEXT, SMALL = 4.0, 3.2, 2.2, 2.0
"""Heights of a page's title, a part's title, a cell, and the foot, mm."""

FOOT: Final = 6.0
"""Kept free for the foot of a page, mm."""

_LEADING = 1.6
"""From one base line to the next, in heights of the text: a capital with its accent clears the tails above it."""

_CELL: Final = CellText(size=TEXT, step=TEXT * _LEADING, above=1.3, below=1.3)

_ACCENT = 1.3
"""Height of such a capital, in heights of the text."""

_PAD = 1.0
"""Free beside the text of a row, mm."""

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


class CardFlow(PageFlow):
    """The lying pages of a card, with its title and remarks on top of each.

    Args:
        paper: That lies.
        title: Over every page.
        remarks: Under it, on every page.

    Raises:
        ExportError: Title and remarks leave no room.
    """

    def __init__(self, paper: Paper, title: str, remarks: Sequence[str]) -> None:
        top, width = paper.width - MARGIN, paper.height - 2 * MARGIN
        room = top - MARGIN - FOOT
        super().__init__(room=room, top=top, x=MARGIN, width=width, leading=_LEADING, head=self._page_head)
        self._over: tuple[Column, ...] = ()
        self._on_top = [(text, TITLE) for text in wrapped(title, TITLE, width, bold=True)]
        self._on_top += [(text, TEXT) for remark in remarks for text in wrapped(remark, TEXT, width, bold=True)]
        if sum(size for _, size in self._on_top) * _LEADING > _MOST_HEAD * (paper.width - 2 * MARGIN):
            raise ExportError(
                f"the title and the remarks of the job card take more than half a page of {paper.name}: shorten "
                "the names, or name a larger paper"
            )

    def _page_head(self) -> None:
        self._over = ()
        above = 0.0
        for text, size in self._on_top:
            # The tails of a larger line reach lower.
            self.y -= size * (_LEADING if above else _ACCENT) + max(0.0, above - size) / 2
            self.add(Label(layer="NOTE", x=MARGIN, y=self.y, text=text, height=size, bold=True))
            above = size
        self.rule(1.2)

    def part(self, title: str) -> None:
        """The title of a part, on a page of its own."""
        self.begin()
        self.y -= 1.5
        self.write(title, PART, bold=True)
        self.y -= 1.0

    def table(self, table: Table) -> None:
        """A table; its title and the names of its columns are repeated where it goes on."""
        rows = [self._wrapped(cells, table.columns) for cells in table.rows]
        least = [_LEAST if Mark.BLANK in cells else 0.0 for cells in table.rows]
        heights = [max(low, _CELL.height(max(1, *map(len, lines)))) for low, lines in zip(least, rows, strict=True)]
        # No title stands alone at the foot of a page.
        self.fit(_GAP + self._head_height(table) + sum(heights[:_TOGETHER]))
        self._table_head(table, "")
        self.again = lambda: self._table_head(table, ", continued")
        for cells, lines, low in zip(table.rows, rows, least, strict=True):
            for part, (held, height) in enumerate(self.row(lines, _CELL, least=low)):
                marks = ["" if part and isinstance(cell, Mark) else cell for cell in cells]
                self._draw(table, marks, held, height)
        self.again = lambda: None

    def _draw(self, table: Table, cells: Sequence[Cell], lines: Sequence[Sequence[str]], height: float) -> None:
        x = MARGIN
        for cell, column, parts in zip(cells, table.columns, lines, strict=True):
            width = column.share * self.width
            if isinstance(cell, Mark):
                self.add(_mark(cell, x, self.y, width, height))
            self.add(*_CELL.labels(parts, x + _PAD, self.y, bold=column.strong))
            x += width
        self.y -= height
        self.rule(0.0, light=True)

    def _wrapped(self, cells: Sequence[Cell], columns: Sequence[Column]) -> list[list[str]]:
        return [
            [] if isinstance(cell, Mark) or not cell.strip() else self._lines(cell, _span(cells, columns, i), strong)
            for i, (cell, strong) in enumerate(zip(cells, (column.strong for column in columns), strict=True))
        ]

    def _lines(self, text: str, share: float, strong: bool) -> list[str]:  # noqa: FBT001
        return wrapped(text, TEXT, share * self.width - 2 * _PAD, bold=strong)

    def _names(self, table: Table) -> list[list[str]]:
        """Of the columns; none where the same stand over a table further up on the page."""
        if self._over == table.columns:
            return []
        return [self._lines(column.name, column.share, strong=False) for column in table.columns]

    def _head_height(self, table: Table) -> float:
        names = self._names(table)
        title = self.written(table.title, TEXT, bold=True)
        return title + (_CELL.height(max(map(len, names))) if names else 0.0)

    def _table_head(self, table: Table, more: str) -> None:
        self.y -= _GAP - TEXT * (_LEADING - 1)
        # Where the table goes on, the start of a long title will do.
        title = wrapped(table.title, TEXT, 0.8 * self.width, bold=True)[0] + more if more else table.title
        self.write(title, TEXT, bold=True)
        self.rule(1.2)
        names, x = self._names(table), MARGIN
        if not names:
            return
        for parts, column in zip(names, table.columns, strict=True):
            self.add(*_CELL.labels(parts, x + _PAD, self.y))
            x += column.share * self.width
        self.y -= _CELL.height(max(map(len, names)))
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


def _mark(mark: Mark, x: float, top: float, width: float, height: float) -> Path:
    """A box to tick, or a line to write on."""
    if mark is Mark.BLANK:
        y = top - height + _CELL.below
        return Path(layer="NOTE", curve=line((x + _PAD, y), (x + width - _PAD, y)), pen=THIN_PEN)
    low, high = top - 0.8 - _SIDE, top - 0.8
    left, right = x + _PAD, x + _PAD + _SIDE
    corners = ((left, low), (right, low), (right, high), (left, high), (left, low))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=THIN_PEN)
