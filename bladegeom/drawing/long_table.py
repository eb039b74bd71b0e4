"""A table whose cells are wrapped, and which runs on over as many pages as it needs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, THIN_PEN, Item, Label, Path
from bladegeom.drawing.page_flow import CellText, PageFlow
from bladegeom.quantities.lettering import wrapped

_TEXT: Final = CellText(size=SMALL_TEXT, step=1.35 * SMALL_TEXT, above=0.9, below=1.0)

_PAD = 0.8
"""Free beside a column's text, mm."""

_TITLE: Final = _TEXT.above + SMALL_TEXT + 1.6
"""Height of a bold line over rows, mm."""

_SIDE = 2.2
"""Of a box to tick, mm."""

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

    def pages(self, groups: Sequence[Group], room: float, *, first: float) -> list[list[Item]]:
        """Items of each page, upper left corner at the origin; every page repeats the heads that its rows need.

        The first page stays empty where it has no room for the heads with the first title and row.

        Args:
            groups: A bold line over rows of cells, each.
            room: Height of a page, mm.
            first: Height that is left on the first page, mm.

        Raises:
            ExportError: A page has no room for a line under the heads.
        """
        heads = self._lines(self.head, bold=True)
        flow = PageFlow(room=room, first=first, head=lambda: self._put(flow, heads, bold=True))
        cut = [(title, [self._lines(cells) for cells in rows]) for title, rows in groups]
        opening = next((rows[0] for _, rows in cut if rows), heads)
        if _height(heads) + _TITLE + _height(opening) > first:
            flow.pages.append([])
        else:
            flow.begin()
        for title, rows in cut:
            self._group(flow, title, rows)
        return flow.pages

    def _group(self, flow: PageFlow, title: str, rows: Sequence[list[list[str]]]) -> None:
        def entitle() -> None:
            flow.add(Label(layer="NOTE", x=_PAD, y=flow.y - _TITLE + 1.0, text=title, height=SMALL_TEXT, bold=True))
            flow.y -= _TITLE

        for number, lines in enumerate(rows):
            if not number:
                flow.fit(_TITLE + _height(lines))
                entitle()
                flow.again = entitle
            for part, (cells, _) in enumerate(flow.row(lines, _TEXT)):
                self._put(flow, cells, boxes=() if part else self.boxes)
        flow.again = lambda: None

    def _lines(self, cells: Sequence[str], *, bold: bool = False) -> list[list[str]]:
        columns = zip(cells, self.widths, strict=True)
        return [wrapped(text, SMALL_TEXT, width - 2 * _PAD, bold=bold) for text, width in columns]

    def _put(
        self, flow: PageFlow, cells: Sequence[Sequence[str]], *, boxes: Sequence[int] = (), bold: bool = False
    ) -> None:
        flow.add(*self._row(cells, flow.y, boxes=boxes, bold=bold))
        flow.y -= _height(cells)

    def _row(self, cells: Sequence[Sequence[str]], top: float, *, boxes: Sequence[int], bold: bool) -> Iterator[Item]:
        x = 0.0
        yield Path(layer="NOTE", curve=line((0.0, top), (sum(self.widths), top)), pen=THIN_PEN if bold else LEADER_PEN)
        for i, (lines, width) in enumerate(zip(cells, self.widths, strict=True)):
            if i in boxes:
                yield _box(x + _PAD, top - _TEXT.above - SMALL_TEXT)
            yield from _TEXT.labels(lines, x + _PAD, top, bold=bold)
            x += width


def _height(cells: Sequence[Sequence[str]]) -> float:
    """Of a row, mm."""
    return _TEXT.height(max(map(len, cells)))


def _box(x: float, y: float) -> Path:
    corners = ((x, y), (x + _SIDE, y), (x + _SIDE, y + _SIDE), (x, y + _SIDE), (x, y))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=THIN_PEN)
