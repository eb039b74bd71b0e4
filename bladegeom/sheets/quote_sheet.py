"""A quote on upright pages: rows with their amounts at the right border; nothing on it is drawn to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.drawing.drawing import Drawing, Item, Label, Sheet
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.price.quote_copy import Copy, QuoteRow, QuoteSection
from bladegeom.quantities.papers import Paper

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


def quote_pages(copy: Copy, paper: Paper) -> tuple[Sheet, ...]:
    """All pages of a copy, each with its number."""
    top = paper.height - _MARGIN
    # The page's number stands under the text.
    room = top - _MARGIN - 2 * _TEXT
    flow = PageFlow(room=room, top=top, x=_MARGIN, width=paper.width - 2 * _MARGIN, leading=_LEADING)
    flow.begin()
    flow.write(copy.title, _TITLE, bold=True)
    flow.y -= 1.0
    for text in copy.remarks:
        flow.write(text, _TEXT)
    for section in copy.sections:
        _section(flow, section, copy.currency)
    flow.y -= _GAP
    for text in copy.foot:
        flow.fit(flow.written(text, _SMALL))
        flow.write(text, _SMALL)
    return tuple(_numbered(copy, paper, flow.pages))


def _section(flow: PageFlow, section: QuoteSection, currency: str) -> None:
    flow.fit(_GAP + _HEAD * _LEADING + 2 + _row_height(flow, section.rows[0]))
    flow.y -= _GAP
    flow.write(section.title, _HEAD, bold=True)
    if any(row.amount for row in section.rows):
        flow.add(_at_right(flow, currency, _SMALL, flow.y))
    _rule(flow, light=False)
    for row in section.rows:
        height = _row_height(flow, row)
        # What no page holds begins under its title.
        if height <= flow.room:
            flow.fit(height)
        _row(flow, row)
        _rule(flow, light=True)


def _row(flow: PageFlow, row: QuoteRow) -> None:
    right = _AMOUNT if row.amount else 0.0
    page, first = flow.pages[-1], flow.y - _TEXT * _LEADING
    flow.write(row.what, _TEXT, right=right, bold=row.strong)
    if row.amount:
        page.append(_at_right(flow, row.amount, _TEXT, first, bold=row.strong))
    if row.how:
        flow.write(row.how, _SMALL, indent=_INDENT, right=right)


def _at_right(flow: PageFlow, text: str, size: float, y: float, *, bold: bool = False) -> Label:
    """At the right border."""
    x = flow.x + flow.width
    return Label(layer="NOTE", x=x, y=y, text=text, height=size, anchor="end", bold=bold)


def _rule(flow: PageFlow, *, light: bool) -> None:
    """A line across the page, a little below the text."""
    flow.rule(1.2, light=light)
    flow.y -= 0.4


def _row_height(flow: PageFlow, row: QuoteRow) -> float:
    right = _AMOUNT if row.amount else 0.0
    what = flow.written(row.what, _TEXT, aside=right, bold=row.strong)
    return what + (flow.written(row.how, _SMALL, aside=right + _INDENT) if row.how else 0.0) + 1.6


def _numbered(copy: Copy, paper: Paper, pages: Sequence[list[Item]]) -> Iterator[Sheet]:
    for number, items in enumerate(pages, start=1):
        words = f"{copy.title}, design {copy.mark}, page {number} of {len(pages)}"
        foot = Label(layer="NOTE", x=paper.width / 2, y=_MARGIN - 4, text=words, height=_SMALL, anchor="middle")
        drawing = Drawing(name=copy.title, items=(*items, foot))
        yield Sheet(width=paper.width, height=paper.height, drawing=drawing)
