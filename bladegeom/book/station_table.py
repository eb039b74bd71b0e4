"""A table with a column for each station, in as many bands as the paper's width asks for."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from bladegeom.book.grind_numbers import Told
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Label, Path
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.shown import Shown

_STEP = 1.26 * TEXT
"""From the number in one unit to that in the other, mm."""

_ABOVE = 0.45 * TEXT
"""Free over a row, mm."""

_BETWEEN = 1.3
"""Between the numbers of a cell, mm."""

_PAD = 1.4
"""Between columns at least, mm."""

_STATION = "station"

EVERY = "at every station"


@dataclass(frozen=True, kw_only=True)
class TableRow:
    """A number of each station.

    Args:
        head: What it is, in one line or two.
        cells: Numbers of each station; none where there is nothing to tell.
    """

    head: Shown
    cells: tuple[tuple[Told, ...], ...]

    @property
    def is_alike(self) -> bool:
        """Whether it is the same at all of several stations."""
        return len(self.cells) > 1 and len(set(self.cells)) == 1

    @property
    def lines(self) -> int:
        """That it takes."""
        told = [shown for cell in self.cells for shown in (each.shown for each in cell)]
        return 1 if self.is_alike or not (self.head.second or any(shown.second for shown in told)) else 2


@dataclass(frozen=True, kw_only=True)
class RowGroup:
    """Rows under a bold line.

    Args:
        rows: In order.
        title: The line; none where it is empty.
        note: Under the rows.
    """

    rows: tuple[TableRow, ...]
    title: str = ""
    note: str = ""


@dataclass(frozen=True)
class StationTable:
    """A table with a column for each station.

    Args:
        names: Of the stations.
        groups: Rows under their titles.
        width: That it may take, mm.
    """

    names: Sequence[str]
    groups: Sequence[RowGroup]
    width: float

    @cached_property
    def _rows(self) -> tuple[TableRow, ...]:
        """Those that have columns."""
        return tuple(row for group in self.groups for row in group.rows if not row.is_alike)

    @cached_property
    def _head(self) -> float:
        """Width of the first column, mm."""
        return _PAD + max((_width_of(row.head) for row in self._rows), default=text_width(_STATION, TEXT))

    @cached_property
    def bands(self) -> tuple[range, ...]:
        """Stations that stand beside each other, counted from 0."""
        widest = max((_cell_width(cell) for row in self._rows for cell in row.cells), default=0.0)
        most = max(1, int((self.width - self._head) / (widest + _PAD)))
        count = math.ceil(len(self.names) / math.ceil(len(self.names) / most))
        return tuple(range(i, min(i + count, len(self.names))) for i in range(0, len(self.names), count))

    def put(self, flow: PageFlow) -> None:
        """On pages that are begun."""
        for columns in self.bands:
            self._band(flow, columns)
        flow.y -= TEXT

    def _band(self, flow: PageFlow, columns: range) -> None:
        width = (self.width - self._head) / len(self.bands[0])
        middles = [flow.x + self._head + (i + 0.5) * width for i in range(len(columns))]

        def entitle() -> None:
            flow.y -= HEAD * LEADING
            flow.add(Label(layer="NOTE", x=flow.x, y=flow.y, text=_STATION, height=TEXT))
            for i, x in zip(columns, middles, strict=True):
                flow.add(
                    Label(layer="NOTE", x=x, y=flow.y, text=self.names[i], height=HEAD, anchor="middle", bold=True)
                )
            self._rule(flow, 0.35 * HEAD)

        flow.fit(HEAD * LEADING * 2 + _height(2) * 2)
        entitle()
        flow.again = entitle
        for group in self.groups:
            self._group(flow, group, columns, middles)
        flow.again = lambda: None

    def _group(self, flow: PageFlow, group: RowGroup, columns: range, middles: Sequence[float]) -> None:
        # What is alike everywhere, and notes, stand in the first band alone.
        rows = [row for row in group.rows if not (row.is_alike and columns.start)]
        note = "" if columns.start else group.note
        if not rows and not note:
            return
        flow.fit(TEXT * LEADING + _height(2))
        if group.title:
            self._write(flow, group.title, bold=True)
        flow.y -= 0.3 * TEXT
        for row in rows:
            flow.fit(_height(row.lines))
            flow.add(*_row(row, columns, middles, flow.x, flow.y), *_between(row, middles, flow.y))
            flow.y -= _height(row.lines)
        if note:
            self._write(flow, note)
        self._rule(flow, 0.4 * TEXT)

    def _write(self, flow: PageFlow, text: str, *, bold: bool = False) -> None:
        flow.write(text, TEXT, right=flow.width - self.width, bold=bold)

    def _rule(self, flow: PageFlow, below: float) -> None:
        flow.y -= below
        ends = (flow.x, flow.y), (flow.x + self.width, flow.y)
        flow.add(Path(layer="NOTE", curve=line(*ends), pen=THIN_PEN))


def _row(row: TableRow, columns: range, middles: Sequence[float], x: float, top: float) -> Iterator[Label]:
    first = top - _ABOVE - TEXT
    yield Label(layer="NOTE", x=x, y=first, text=row.head.first, height=TEXT)
    if row.is_alike:
        yield from _alike(row.cells[0], x + _width_of(row.head) + _PAD, first)
        return
    if row.head.second:
        yield Label(layer="NOTE", x=x, y=first - _STEP, text=row.head.second, height=TEXT)
    for i, middle in zip(columns, middles, strict=True):
        yield from _cell(row.cells[i], middle, first)


def _between(row: TableRow, middles: Sequence[float], top: float) -> Iterator[Path]:
    """Lines between columns whose cells hold several numbers, so that each pair is seen as one."""
    if row.is_alike or max(map(len, row.cells)) < 2:
        return
    for left, right in itertools.pairwise(middles):
        x = (left + right) / 2
        yield Path(layer="NOTE", curve=line((x, top - 0.2 * TEXT), (x, top - _height(row.lines))), pen=THIN_PEN)


def _cell(cell: Sequence[Told], middle: float, y: float) -> Iterator[Label]:
    """Numbers beside each other round the middle of a column, each over its number in the other unit."""
    left = middle - _cell_width(cell) / 2
    for told in cell:
        wide = _told_width(told)
        for text, low in ((told.shown.first, y), (told.shown.second, y - _STEP)):
            if text:
                at = left + wide / 2
                yield Label(layer="NOTE", x=at, y=low, text=text, height=TEXT, anchor="middle", bold=told.bold)
        left += wide + _BETWEEN


def _alike(cell: Sequence[Told], x: float, y: float) -> Iterator[Label]:
    for told in cell:
        yield Label(layer="NOTE", x=x, y=y, text=told.shown.text, height=TEXT, bold=told.bold)
        x += text_width(told.shown.text, TEXT, bold=told.bold) + _PAD
    yield Label(layer="NOTE", x=x, y=y, text=EVERY, height=TEXT)


def _height(lines: int) -> float:
    """Of a row, mm."""
    return _ABOVE + TEXT + (lines - 1) * _STEP + 0.3 * TEXT


def _told_width(told: Told) -> float:
    return max(text_width(text, TEXT, bold=told.bold) for text in (told.shown.first, told.shown.second))


def _cell_width(cell: Sequence[Told]) -> float:
    return sum(map(_told_width, cell)) + _BETWEEN * max(0, len(cell) - 1)


def _width_of(shown: Shown) -> float:
    return max(text_width(text, TEXT) for text in (shown.first, shown.second))
