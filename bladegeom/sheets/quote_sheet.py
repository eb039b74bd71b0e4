"""A quote on upright pages: rows with their amounts at the right border; nothing on it is drawn to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, THIN_PEN, Drawing, Item, Label, Path, Sheet
from bladegeom.price.quote_words import Copy, Row, Section
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.tables import Paper

_MARGIN = 18.0
"""Of the page, mm."""

_TITLE, _HEAD, _TEXT, _SMALL = 5.0, 3.2, 2.6, 2.2
"""Heights of the title, of a section's title, of a row and of what is told of it, mm."""

_LEADING = 1.5
"""From one base line to the next, in heights of the text."""

_AMOUNT = 42.0
"""Width of the column of amounts, mm."""

_INDENT = 3.0
"""Of what is told of a row, mm."""

_GAP = 5.0
"""Above a section, mm."""


@dataclass
class _Pages:
    """Blocks of text below each other, on as many pages as it takes."""

    paper: Paper
    pages: list[list[Item]] = field(default_factory=lambda: [[]])
    y: float = 0.0

    def __post_init__(self) -> None:
        self.y = self.paper.height - _MARGIN

    @property
    def width(self) -> float:
        return self.paper.width - 2 * _MARGIN

    def room_for(self, height: float) -> None:
        """Go on to another page where this one has less left."""
        # The page's number stands under the text.
        if self.y - height < _MARGIN + 2 * _TEXT:
            self.pages.append([])
            self.y = self.paper.height - _MARGIN

    def write(self, text: str, size: float, *, left: float = 0.0, right: float = 0.0, bold: bool = False) -> None:
        """Text in as many lines as it takes, between two borders."""
        for part in wrapped(text, size, self.width - left - right, bold=bold):
            self.y -= size * _LEADING
            self.pages[-1].append(Label(layer="NOTE", x=_MARGIN + left, y=self.y, text=part, height=size, bold=bold))

    def rule(self, *, thin: bool) -> None:
        """A line across the page, a little below the text."""
        y = self.y - 1.2
        ends = line((_MARGIN, y), (self.paper.width - _MARGIN, y))
        self.pages[-1].append(Path(layer="NOTE", curve=ends, pen=LEADER_PEN if thin else THIN_PEN))
        self.y = y - 0.4


def quote_pages(copy: Copy, paper: Paper) -> tuple[Sheet, ...]:
    """All pages of a copy, each with its number."""
    pages = _Pages(paper)
    pages.write(copy.title, _TITLE, bold=True)
    pages.y -= 1.0
    for text in copy.remarks:
        pages.write(text, _TEXT)
    for section in copy.sections:
        _section(pages, section, copy.currency)
    pages.y -= _GAP
    for text in copy.foot:
        pages.room_for(_height(text, _SMALL, pages.width))
        pages.write(text, _SMALL)
    return tuple(_numbered(copy, paper, pages.pages))


def _section(pages: _Pages, section: Section, currency: str) -> None:
    pages.room_for(_GAP + _HEAD * _LEADING + 2 + _row_height(pages, section.rows[0]))
    pages.y -= _GAP
    pages.write(section.title, _HEAD, bold=True)
    if any(row.amount for row in section.rows):
        _right(pages, currency, _SMALL)
    pages.rule(thin=False)
    for row in section.rows:
        pages.room_for(_row_height(pages, row))
        _row(pages, row)
        pages.rule(thin=True)


def _row(pages: _Pages, row: Row) -> None:
    right = _AMOUNT if row.amount else 0.0
    first = len(pages.pages[-1])
    pages.write(row.what, _TEXT, right=right, bold=row.strong)
    if row.amount:
        label = pages.pages[-1][first]
        assert isinstance(label, Label)
        below, pages.y = pages.y, label.y
        _right(pages, row.amount, _TEXT, bold=row.strong)
        pages.y = below
    if row.how:
        pages.write(row.how, _SMALL, left=_INDENT, right=right)


def _right(pages: _Pages, text: str, size: float, *, bold: bool = False) -> None:
    """On the line that was written last, at the right border."""
    x = pages.paper.width - _MARGIN
    pages.pages[-1].append(Label(layer="NOTE", x=x, y=pages.y, text=text, height=size, anchor="end", bold=bold))


def _row_height(pages: _Pages, row: Row) -> float:
    width = pages.width - (_AMOUNT if row.amount else 0.0)
    what = _height(row.what, _TEXT, width, bold=row.strong)
    return what + (_height(row.how, _SMALL, width - _INDENT) if row.how else 0.0) + 1.6


def _height(text: str, size: float, width: float, *, bold: bool = False) -> float:
    return len(wrapped(text, size, width, bold=bold)) * size * _LEADING


def _numbered(copy: Copy, paper: Paper, pages: Sequence[list[Item]]) -> Iterator[Sheet]:
    for number, items in enumerate(pages, start=1):
        words = f"{copy.title}, design {copy.mark}, page {number} of {len(pages)}"
        foot = Label(layer="NOTE", x=paper.width / 2, y=_MARGIN - 4, text=words, height=_SMALL, anchor="middle")
        drawing = Drawing(name=copy.title, items=(*items, foot))
        yield Sheet(width=paper.width, height=paper.height, drawing=drawing)
