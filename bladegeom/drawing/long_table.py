"""A table whose cells are wrapped, and which runs on over as many pages as it needs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, THIN_PEN, Item, Label, Path
from bladegeom.quantities.lettering import wrapped

_LEADING = 1.35 * SMALL_TEXT
"""From one base line of a cell to the next, mm."""

_PAD = 0.8
"""Free beside a column's text, mm."""

_ABOVE, _BELOW = 0.9, 1.0
"""Free above the capitals of a row's first line and below the base line of its last one, mm."""


Group = tuple[str, Sequence[Sequence[str]]]
"""A bold line, and the rows of cells under it."""


@dataclass(frozen=True, kw_only=True)
class LongTable:
    """Rows with an upper border of their own, left-aligned.

    Args:
        head: Names of the columns.
        widths: Of the columns, mm.
        boxes: Columns that hold a box to tick.
    """

    head: Sequence[str]
    widths: Sequence[float]
    boxes: Sequence[int] = ()

    def pages(self, groups: Sequence[Group], room: float, *, first: float) -> Iterator[list[Item]]:
        """Items of each page, upper left corner at the origin; every page repeats the heads that its rows need.

        Args:
            groups: A bold line over rows of cells, each.
            room: Height of a page, mm.
            first: Height that is left on the first page, mm.
        """
        (page, y), left = self._begun(), first
        for title, rows in groups:
            opened = False
            for cells in rows:
                need = self._height(cells) + (0.0 if opened else _TITLE)
                if y - need < -left:
                    yield page
                    (page, y), left, opened = self._begun(), room, False
                if not opened:
                    page.append(
                        Label(layer="NOTE", x=_PAD, y=y - _TITLE + 1.0, text=title, height=SMALL_TEXT, bold=True)
                    )
                    y, opened = y - _TITLE, True
                page += self._row(cells, y)
                y -= self._height(cells)
        yield page

    def _begun(self) -> tuple[list[Item], float]:
        page = list(self._row(self.head, 0.0, bold=True))
        return page, -self._height(self.head, bold=True)

    def _lines(self, text: str, column: int, *, bold: bool = False) -> list[str]:
        return wrapped(text, SMALL_TEXT, self.widths[column] - 2 * _PAD, bold=bold)

    def _height(self, cells: Sequence[str], *, bold: bool = False) -> float:
        most = max(len(self._lines(text, i, bold=bold)) for i, text in enumerate(cells))
        return _ABOVE + SMALL_TEXT + (most - 1) * _LEADING + _BELOW

    def _row(self, cells: Sequence[str], top: float, *, bold: bool = False) -> Iterator[Item]:
        x = 0.0
        yield Path(layer="NOTE", curve=line((0.0, top), (sum(self.widths), top)), pen=THIN_PEN if bold else LEADER_PEN)
        for i, (text, width) in enumerate(zip(cells, self.widths, strict=True)):
            y = top - _ABOVE - SMALL_TEXT
            if i in self.boxes and not bold:
                yield _box(x + _PAD, y)
            for part in self._lines(text, i, bold=bold):
                yield Label(layer="NOTE", x=x + _PAD, y=y, text=part, height=SMALL_TEXT, bold=bold)
                y -= _LEADING
            x += width


_TITLE = _ABOVE + SMALL_TEXT + 1.6
"""Height of a bold line over rows, mm."""

_SIDE = 2.2
"""Of a box to tick, mm."""


def _box(x: float, y: float) -> Path:
    corners = ((x, y), (x + _SIDE, y), (x + _SIDE, y + _SIDE), (x, y + _SIDE), (x, y))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=THIN_PEN)
