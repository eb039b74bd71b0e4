"""The customer's page on upright paper: the picture, each wish with its number, and what both sign."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Final

from bladegeom.agreement.page_parts import CustomersPage, PageItem, PageRow
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Drawing, Item, Label, Path, Raster, Sheet
from bladegeom.drawing.page_fill import Section, evenly_filled
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.type_sizes import HEAD, KEY, TEXT
from bladegeom.price.quote_copy import QuoteSection
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.agreement_pieces import (
    COLUMN_PAD,
    TEXT_LINE,
    draw_questions,
    draw_signatures,
    section_title,
    write_here,
)
from bladegeom.sheets.pointed_view import NUMBER_RADIUS, PointedView, numbered_circle, under_views

_MARGIN: Final = 16.0
"""Of the page, mm."""

_FOOT: Final = 6.0
"""Of the page's lowest line, mm over the margin's lower border."""


_SHARES: Final = (0.46, 0.3, 0.4, 0.52, 0.6)
"""Of a table's width, for what is told of."""

_CLOSER: Final = PageRow(
    what="Closer limits", value="count where a wish above names them: those here are common practice of the trade"
)


def agreement_sheets(page: CustomersPage, views: Sequence[PointedView], paper: Paper) -> tuple[Sheet, ...]:
    """All pages, each with its number.

    Args:
        page: What it says.
        views: The pictures with their pointers, as wide as :func:`room_of` says.
        paper: Held upright.
    """
    foot = wrapped(f"Revision {page.mark}. {page.title}", TEXT, 0.84 * room_of(paper))
    flow = PageFlow(
        room=paper.height - 2 * _MARGIN - _FOOT - TEXT_LINE.step * (len(foot) - 1),
        top=paper.height - _MARGIN,
        x=_MARGIN,
        width=room_of(paper),
        leading=TEXT_LINE.step / TEXT,
    )
    flow.begin()
    _head(flow, page)
    rasters = list(_pictures(flow, views))
    if page.items:
        section_title(flow, "What you asked for, and what was made of it")
        for item in page.items:
            _item(flow, item)
    return tuple(_numbered(page, paper, evenly_filled(flow, _sections(page)).pages, rasters, foot))


def room_of(paper: Paper) -> float:
    """Width between the borders of the page, mm."""
    return paper.width - 2 * _MARGIN


def _sections(page: CustomersPage) -> tuple[Section, ...]:
    """What follows the wishes; the last of it is never split."""
    return (
        partial(_materials, page=page),
        partial(_sizes, page=page),
        partial(_list, title="Not included", texts=page.left_out),
        *(partial(_price, section=section, currency=page.currency) for section in page.price),
        partial(draw_questions, questions=page.questions),
        partial(_last, page=page),
    )


def _last(flow: PageFlow, page: CustomersPage) -> None:
    """What to know of a sharp tool, and the signatures under it: nobody signs a page that says nothing."""
    _list(flow, "Good to know", page.care)
    draw_signatures(flow, page)


def _head(flow: PageFlow, page: CustomersPage) -> None:
    flow.write("Agreement", HEAD)
    flow.y -= 0.8
    flow.write(page.name, KEY, bold=True)
    flow.y -= 1.4
    date = "" if page.date is None else str(page.date)
    rows = (
        PageRow(what="Maker", value=page.maker),
        PageRow(what="Customer", value=page.customer),
        PageRow(what="Date", value=date),
        *page.facts,
        PageRow(what="Revision of the design", value=page.mark),
    )
    half = (flow.width - COLUMN_PAD) / 2
    # Long names have the whole width; what is short stands in two columns.
    wide = [row for row in rows if text_width(row.value, TEXT) > half - _first(rows)]
    short = [row for row in rows if row not in wide]
    middle = (len(short) + 1) // 2
    people = [row for row in wide if row.what in ("Maker", "Customer")]
    for row in people:
        _fact(flow, row, _first(rows))
    _side_by_side(flow, short[:middle], short[middle:], _first(rows))
    for row in (row for row in wide if row not in people):
        _fact(flow, row, _first(rows))
    flow.rule(1.6)


def _first(rows: Sequence[PageRow]) -> float:
    """Width of the column of names, mm."""
    return max(text_width(row.what, TEXT, bold=True) for row in rows) + COLUMN_PAD


def _side_by_side(flow: PageFlow, left: Sequence[PageRow], right: Sequence[PageRow], first: float) -> None:
    half = (flow.width - COLUMN_PAD) / 2
    for i in range(len(left)):
        flow.fit(TEXT_LINE.height(1))
        for rows, x in ((left, flow.x), (right, flow.x + half + COLUMN_PAD)):
            if i < len(rows):
                flow.add(*TEXT_LINE.labels([rows[i].what], x, flow.y, bold=True))
                flow.add(*TEXT_LINE.labels([rows[i].value], x + first, flow.y))
                if not rows[i].value:
                    flow.add(write_here(x + first, flow.y - TEXT_LINE.height(1) + 0.6, half - first))
        flow.y -= TEXT_LINE.step


def _fact(flow: PageFlow, row: PageRow, first: float) -> None:
    lines = wrapped(row.value, TEXT, flow.width - first)
    flow.fit(TEXT_LINE.height(len(lines)))
    flow.add(*TEXT_LINE.labels([row.what], flow.x, flow.y, bold=True))
    flow.add(*TEXT_LINE.labels(lines, flow.x + first, flow.y))
    flow.y -= TEXT_LINE.step * len(lines)


def _pictures(flow: PageFlow, views: Sequence[PointedView]) -> Iterator[tuple[int, Raster]]:
    """Draw the pointers; the number of its page with each picture, where it lies."""
    for view in views:
        flow.y -= 2.5
        flow.fit(view.height)
        flow.add(*Drawing(name="", items=view.items).moved(flow.x, flow.y).items)
        raster = view.raster
        yield len(flow.pages) - 1, dataclasses.replace(raster, x=raster.x + flow.x, y=raster.y + flow.y)
        flow.y -= view.height
    flow.y -= 1.0
    flow.write(under_views(views), TEXT)


def _item(flow: PageFlow, item: PageItem) -> None:
    """A wish: its number, the customer's words, and what was made of it."""
    number = 2 * NUMBER_RADIUS + COLUMN_PAD
    words = 0.36 * flow.width
    made = flow.width - number - words - COLUMN_PAD
    quoted = f"\N{LEFT DOUBLE QUOTATION MARK}{item.words}\N{RIGHT DOUBLE QUOTATION MARK}"
    cells = (
        wrapped(f"{quoted} ({item.aside})" if item.aside else quoted, TEXT, words),
        [text for sentence in item.made for text in wrapped(sentence, TEXT, made)],
    )
    for part, (lines, height) in enumerate(flow.row(cells, TEXT_LINE, least=2 * NUMBER_RADIUS + 1.6)):
        if not part:
            flow.add(*numbered_circle(item.number, flow.x + NUMBER_RADIUS, flow.y - NUMBER_RADIUS - 0.6))
        x = flow.x + number
        for column, width in zip(lines, (words + COLUMN_PAD, made), strict=True):
            flow.add(*TEXT_LINE.labels(column, x, flow.y))
            x += width
        flow.y -= height
    flow.rule(0.0)


def _halves(flow: PageFlow) -> tuple[float, float]:
    """Width of each of two tables side by side, and where the second begins."""
    half = (flow.width - 2 * COLUMN_PAD) / 2
    return half, flow.x + half + 2 * COLUMN_PAD


def _materials(flow: PageFlow, page: CustomersPage) -> None:
    """What it is made of, in two columns."""
    half, beside = _halves(flow)
    section_title(flow, "Materials, and what is seen on the blade")
    middle = (len(page.made_of) + 1) // 2
    halves = (flow.x, page.made_of[:middle]), (beside, page.made_of[middle:])
    _rows(flow, [(x, half, _column(rows, half)) for x, rows in halves])


def _sizes(flow: PageFlow, page: CustomersPage) -> None:
    """Sizes, and beside them how exactly work by hand meets them; a page may end after any row."""
    half, beside = _halves(flow)
    section_title(flow, "Sizes", ("How exactly work by hand meets this", beside))
    _rows(flow, [(flow.x, half, _column(page.sizes, half)), (beside, half, _column((*page.hand, _CLOSER), half))])


_Lines = tuple[Sequence[str], Sequence[str]]
_Column = tuple[float, list[_Lines]]
"""Where the second column of a table begins, and the lines of each row."""


def _rows(flow: PageFlow, tables: Sequence[tuple[float, float, _Column]]) -> None:
    """Tables side by side, each with its place and width; where a page does not hold them, their rows at one height."""
    ends = [sum(_height(cells) for cells in rows) for _, _, (_, rows) in tables]
    if max(ends) <= flow.left:
        for x, width, (second, rows) in tables:
            y = flow.y
            for cells in rows:
                _row(flow, y, (x, width, second, cells), _height(cells))
                y -= _height(cells)
        flow.y -= max(ends)
        return
    for i in range(max(len(rows) for _, _, (_, rows) in tables)):
        here = [(x, width, second, rows[i]) for x, width, (second, rows) in tables if i < len(rows)]
        height = max(_height(cells) for *_, cells in here)
        flow.fit(height)
        for row in here:
            _row(flow, flow.y, row, height)
        flow.y -= height


def _height(cells: _Lines) -> float:
    return TEXT_LINE.height(max(map(len, cells)))


def _row(flow: PageFlow, top: float, row: tuple[float, float, float, _Lines], height: float) -> None:
    """One row from a height on: its place, width, where its second column begins, and its lines."""
    x, width, second, (what, value) = row
    flow.add(*TEXT_LINE.labels(what, x, top), *TEXT_LINE.labels(value, x + second, top))
    flow.add(Path(layer="NOTE", curve=line((x, top - height), (x + width, top - height)), pen=THIN_PEN))


def _column(rows: Sequence[PageRow], width: float) -> _Column:
    """A table in lines: of a few ways to share its width the least high."""
    ways = ((share * width + COLUMN_PAD, _cells(rows, share * width, width)) for share in _SHARES)
    return min(ways, key=lambda way: sum(max(map(len, cell)) for cell in way[1]))


def _cells(rows: Sequence[PageRow], first: float, width: float) -> list[_Lines]:
    """What and how much of each row, in lines."""
    told = ((row.what, f"{row.value}: {row.how}" if row.how else row.value) for row in rows)
    return [(wrapped(what, TEXT, first), wrapped(value, TEXT, width - first - COLUMN_PAD)) for what, value in told]


def _list(flow: PageFlow, title: str, texts: Sequence[str]) -> None:
    if not texts:
        return
    section_title(flow, title)
    flow.y -= 0.8
    for text in texts:
        lines = wrapped(text, TEXT, flow.width - 4.0)
        flow.fit(TEXT_LINE.step * len(lines))
        flow.add(Label(layer="NOTE", x=flow.x, y=flow.y - TEXT_LINE.step, text="\N{EN DASH}", height=TEXT))
        flow.write(text, TEXT, indent=4.0)


def _price(flow: PageFlow, section: QuoteSection, currency: str) -> None:
    section_title(flow, section.title)
    at_right = flow.x + flow.width
    flow.add(Label(layer="NOTE", x=at_right, y=flow.y + 1.6, text=currency, height=TEXT, anchor="end"))
    for row in section.rows:
        what = f"{row.what}: {row.how}" if row.how else row.what
        lines = wrapped(what, TEXT, flow.width - 42.0, bold=row.strong)
        flow.fit(TEXT_LINE.height(len(lines)))
        flow.add(*TEXT_LINE.labels(lines, flow.x, flow.y, bold=row.strong))
        y = flow.y - TEXT_LINE.above - TEXT
        label = Label(layer="NOTE", x=at_right, y=y, text=row.amount, height=TEXT, anchor="end", bold=row.strong)
        flow.add(*((label,) if row.amount else ()))
        flow.y -= TEXT_LINE.height(len(lines))
        flow.rule(0.0)


def _numbered(
    page: CustomersPage,
    paper: Paper,
    pages: Sequence[list[Item]],
    rasters: Sequence[tuple[int, Raster]],
    left: Sequence[str],
) -> Iterator[Sheet]:
    for number, items in enumerate(pages):
        right = f"page {number + 1} of {len(pages)}"
        foot = (
            *TEXT_LINE.labels(left, _MARGIN, _MARGIN - 4.0 + TEXT_LINE.height(len(left)) - TEXT_LINE.below),
            Label(layer="NOTE", x=paper.width - _MARGIN, y=_MARGIN - 4.0, text=right, height=TEXT, anchor="end"),
        )
        drawing = Drawing(name=page.title, items=(*items, *foot))
        shown = tuple(raster for on, raster in rasters if on == number)
        yield Sheet(width=paper.width, height=paper.height, drawing=drawing, rasters=shown)
