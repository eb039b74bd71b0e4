"""A quote on upright pages: rows with their amounts at the right border; nothing on it is drawn to scale."""

from __future__ import annotations

from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.page_numbers import numbered_pages
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.price.quote_copy import Copy, QuoteRow, QuoteSection
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.papers import Paper

_APART: Final = 4.0
"""Between the words of a row and its amount, mm."""

_HOW: Final = 66.0
"""Where what is told of a row stands in the row's own line, mm from the left border."""

_INDENT: Final = 4.0
"""Of what is told of a row, mm."""

_GAP: Final = 3.0
"""Above a section, mm."""


def quote_pages(copy: Copy, paper: Paper) -> tuple[Sheet, ...]:
    """All pages of a copy, each with its number.

    Raises:
        ExportError: Its title and remarks leave no room.
    """
    flow = ChapterFlow(paper, copy.title, f"design {copy.mark}", ())
    flow.begin()
    for text in copy.remarks:
        flow.write(text, TEXT)
    for section in copy.sections:
        _section(flow, section, copy.currency)
    flow.y -= _GAP
    for text in copy.foot:
        flow.fit(flow.written(text, TEXT))
        flow.write(text, TEXT)
    return numbered_pages(flow.sheets(), f"design {copy.mark}")


def _section(flow: ChapterFlow, section: QuoteSection, currency: str) -> None:
    flow.fit(_GAP + HEAD * LEADING + 2 + _row_height(flow, section.rows[0]))
    flow.y -= _GAP
    flow.write(section.title, HEAD, bold=True)
    if any(row.amount for row in section.rows):
        flow.add(_at_right(flow, currency, TEXT, flow.y))
    _rule(flow)
    for row in section.rows:
        height = _row_height(flow, row)
        # What no page holds begins under its title.
        if height <= flow.room:
            flow.fit(height)
        _row(flow, row)
        _rule(flow)


def _row(flow: ChapterFlow, row: QuoteRow) -> None:
    right = _room(row)
    page, first = flow.pages[-1], flow.y - TEXT * LEADING
    flow.write(row.what, TEXT, right=right, bold=row.strong)
    if row.amount:
        page.append(_at_right(flow, row.amount, TEXT, first, bold=row.strong))
    if row.how and _beside(flow, row):
        page.append(Label(layer="NOTE", x=flow.x + _HOW, y=first, text=row.how, height=TEXT))
    elif row.how:
        flow.write(row.how, TEXT, indent=_INDENT, right=right)


def _beside(flow: ChapterFlow, row: QuoteRow) -> bool:
    """Whether what is told of a row stands in its own line."""
    right = _room(row)
    room = flow.width - _HOW - right
    return text_width(row.what, TEXT, bold=row.strong) < _HOW - _INDENT and text_width(row.how, TEXT) <= room


def _room(row: QuoteRow) -> float:
    """That a row's amount takes, mm."""
    return text_width(row.amount, TEXT, bold=row.strong) + _APART if row.amount else 0.0


def _at_right(flow: ChapterFlow, text: str, size: float, y: float, *, bold: bool = False) -> Label:
    """At the right border."""
    x = flow.x + flow.width
    return Label(layer="NOTE", x=x, y=y, text=text, height=size, anchor="end", bold=bold)


def _rule(flow: ChapterFlow) -> None:
    """A line across the page, a little below the text."""
    flow.rule(1.2)
    flow.y -= 0.4


def _row_height(flow: ChapterFlow, row: QuoteRow) -> float:
    right = _room(row)
    what = flow.written(row.what, TEXT, aside=right, bold=row.strong) + 1.6
    return what if not row.how or _beside(flow, row) else what + flow.written(row.how, TEXT, aside=right + _INDENT)
