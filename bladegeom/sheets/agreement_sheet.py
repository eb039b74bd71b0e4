"""The customer's page on upright paper: the picture, each wish with its number, and what both sign."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.agreement.page_parts import CustomersPage, PageItem, PageQuestion, PageRow
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, THIN_PEN, Drawing, Item, Label, Path, Raster, Sheet
from bladegeom.drawing.page_flow import CellText, PageFlow
from bladegeom.pictures.painting import STANDS_FOR
from bladegeom.price.quote_copy import QuoteRow
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.pointed_view import NUMBER_RADIUS, PointedView, numbered_circle

_MARGIN: Final = 18.0
"""Of the page, mm."""

_TITLE, _NAME, _HEAD, _TEXT = 3.6, 6.4, 3.6, 2.86
"""Heights of the kind of paper, the knife's name, a section's title and the text, mm; 2.86 mm is 9 pt."""

_LINE: Final = CellText(size=_TEXT, step=1.38 * _TEXT, above=1.0, below=1.3)

_GAP: Final = 5.0
"""Over a section, mm."""

_PAD: Final = 2.5
"""Between columns, mm."""

_BOX: Final = 2.8
"""Side of a box to tick, mm."""

_FOOT: Final = 6.0
"""Of the page's lowest line, mm over the margin's lower border."""

_SIGNED: Final = 21.0
"""Height of the two lines to sign on, with the words over and under them, mm."""


def agreement_sheets(page: CustomersPage, views: Sequence[PointedView], paper: Paper) -> tuple[Sheet, ...]:
    """All pages, each with its number.

    Args:
        page: What it says.
        views: The pictures with their pointers, as wide as :func:`room_of` says.
        paper: Held upright.
    """
    flow = PageFlow(
        room=paper.height - 2 * _MARGIN - _FOOT,
        top=paper.height - _MARGIN,
        x=_MARGIN,
        width=room_of(paper),
        leading=_LINE.step / _TEXT,
    )
    flow.begin()
    _head(flow, page)
    rasters = list(_pictures(flow, views))
    if page.items:
        _title(flow, "What you asked for, and what was made of it")
        for item in page.items:
            _item(flow, item)
    _two_columns(flow, page)
    _list(flow, "Not included", page.left_out)
    for section in page.price:
        _price(flow, section.title, section.rows, page.currency)
    _questions(flow, page.questions)
    _list(flow, "Good to know", page.care)
    _signatures(flow, page)
    return tuple(_numbered(page, paper, flow.pages, rasters))


def room_of(paper: Paper) -> float:
    """Width between the borders of the page, mm."""
    return paper.width - 2 * _MARGIN


def _head(flow: PageFlow, page: CustomersPage) -> None:
    flow.write("Agreement", _TITLE)
    flow.y -= 0.8
    flow.write(page.name, _NAME, bold=True)
    flow.y -= 1.4
    date = "" if page.date is None else str(page.date)
    rows = (
        PageRow(what="Maker", value=page.maker),
        PageRow(what="Customer", value=page.customer),
        PageRow(what="Date", value=date),
        *page.facts,
        PageRow(what="Revision of the design", value=page.mark),
    )
    half = (flow.width - _PAD) / 2
    # Long names have the whole width; what is short stands in two columns.
    wide = [row for row in rows if text_width(row.value, _TEXT) > half - _first(rows)]
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
    return max(text_width(row.what, _TEXT, bold=True) for row in rows) + _PAD


def _side_by_side(flow: PageFlow, left: Sequence[PageRow], right: Sequence[PageRow], first: float) -> None:
    half = (flow.width - _PAD) / 2
    for i in range(len(left)):
        flow.fit(_LINE.height(1))
        for rows, x in ((left, flow.x), (right, flow.x + half + _PAD)):
            if i < len(rows):
                flow.add(*_LINE.labels([rows[i].what], x, flow.y, bold=True))
                flow.add(*_LINE.labels([rows[i].value], x + first, flow.y))
                if not rows[i].value:
                    flow.add(_write_here(x + first, flow.y - _LINE.height(1) + 0.6, half - first))
        flow.y -= _LINE.step


def _fact(flow: PageFlow, row: PageRow, first: float) -> None:
    cells = [wrapped(row.what, _TEXT, first - _PAD, bold=True), wrapped(row.value, _TEXT, flow.width - first)]
    flow.fit(_LINE.height(len(cells[1])))
    flow.add(*_LINE.labels(cells[0], flow.x, flow.y, bold=True), *_LINE.labels(cells[1], flow.x + first, flow.y))
    flow.y -= _LINE.step * len(cells[1])


def _write_here(x: float, y: float, width: float) -> Path:
    return Path(layer="NOTE", curve=line((x, y), (x + width, y)), pen=LEADER_PEN)


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
    flow.write(f"{STANDS_FOR} The numbers are those of your wishes below; sizes stand in the table.", _TEXT)


def _title(flow: PageFlow, text: str, *, under: float = 4 * _TEXT) -> None:
    """A section's title, with room for what follows it."""
    flow.fit(_GAP + 1.6 * _HEAD + under)
    flow.y -= _GAP
    flow.y -= _HEAD
    flow.add(Label(layer="NOTE", x=flow.x, y=flow.y, text=text, height=_HEAD, bold=True))
    flow.rule(1.6)


def _item(flow: PageFlow, item: PageItem) -> None:
    """A wish: its number, the customer's words, and what was made of it."""
    number = 2 * NUMBER_RADIUS + _PAD
    words = 0.36 * flow.width
    made = flow.width - number - words - _PAD
    aside = f" ({item.aside})" if item.aside else ""
    cells = (
        wrapped(f"\N{LEFT DOUBLE QUOTATION MARK}{item.words}\N{RIGHT DOUBLE QUOTATION MARK}{aside}", _TEXT, words),
        [text for sentence in item.made for text in wrapped(sentence, _TEXT, made)],
    )
    for part, (lines, height) in enumerate(flow.row(cells, _LINE, least=2 * NUMBER_RADIUS + 1.6)):
        if not part:
            flow.add(*numbered_circle(item.number, flow.x + NUMBER_RADIUS, flow.y - NUMBER_RADIUS - 0.6))
        x = flow.x + number
        for column, width in zip(lines, (words + _PAD, made), strict=True):
            flow.add(*_LINE.labels(column, x, flow.y))
            x += width
        flow.y -= height
    flow.rule(0.0, light=True)


def _two_columns(flow: PageFlow, page: CustomersPage) -> None:
    """Sizes, and beside them how exactly work by hand meets them."""
    half = (flow.width - 2 * _PAD) / 2
    left = _column("Sizes and materials", page.sizes, half)
    right = _column("How exactly work by hand meets this", page.hand, half)
    flow.y -= _GAP
    beside = Drawing(name="", items=tuple(right)).moved(half + 2 * _PAD, 0.0)
    flow.block(Drawing(name="", items=(*left, *beside.items)).moved(flow.x, 0.0).items, gap=0.0)
    flow.write(
        "Where a wish above names closer limits, those count. The limits here are common practice of the trade.", _TEXT
    )


def _column(title: str, rows: Sequence[PageRow], width: float) -> list[Item]:
    """A table that begins at the origin and runs down."""
    y = -_HEAD
    items: list[Item] = [Label(layer="NOTE", x=0.0, y=y, text=title, height=_HEAD, bold=True)]
    y -= 1.6
    items.append(Path(layer="NOTE", curve=line((0.0, y), (width, y)), pen=THIN_PEN))
    first = 0.46 * width
    for row in rows:
        value = f"{row.value}: {row.how}" if row.how else row.value
        cells = (wrapped(row.what, _TEXT, first), wrapped(value, _TEXT, width - first - _PAD))
        items += _LINE.labels(cells[0], 0.0, y)
        items += _LINE.labels(cells[1], first + _PAD, y)
        y -= _LINE.height(max(map(len, cells)))
        items.append(Path(layer="NOTE", curve=line((0.0, y), (width, y)), pen=LEADER_PEN))
    return items


def _list(flow: PageFlow, title: str, texts: Sequence[str]) -> None:
    if not texts:
        return
    _title(flow, title)
    flow.y -= 0.8
    for text in texts:
        lines = wrapped(text, _TEXT, flow.width - 4.0)
        flow.fit(_LINE.step * len(lines))
        flow.add(Label(layer="NOTE", x=flow.x, y=flow.y - _LINE.step, text="\N{EN DASH}", height=_TEXT))
        flow.write(text, _TEXT, indent=4.0)


def _price(flow: PageFlow, title: str, rows: Sequence[QuoteRow], currency: str) -> None:
    _title(flow, title)
    at_right = flow.x + flow.width
    flow.add(Label(layer="NOTE", x=at_right, y=flow.y + 1.6, text=currency, height=_TEXT, anchor="end"))
    for row in rows:
        what = f"{row.what}: {row.how}" if row.how else row.what
        lines = wrapped(what, _TEXT, flow.width - 42.0, bold=row.strong)
        flow.fit(_LINE.height(len(lines)))
        flow.add(*_LINE.labels(lines, flow.x, flow.y, bold=row.strong))
        y = flow.y - _LINE.above - _TEXT
        label = Label(layer="NOTE", x=at_right, y=y, text=row.amount, height=_TEXT, anchor="end", bold=row.strong)
        flow.add(*((label,) if row.amount else ()))
        flow.y -= _LINE.height(len(lines))
        flow.rule(0.0, light=True)


def _questions(flow: PageFlow, questions: Sequence[PageQuestion]) -> None:
    if not questions:
        return
    _title(flow, "Still to be answered: please tick or write")
    for question in questions:
        lines = wrapped(f"{question.letter}. {question.words}", _TEXT, flow.width, bold=True)
        choices = list(_choices(question, flow.width))
        flow.fit(_LINE.height(len(lines) + len(choices)) + 2.0)
        flow.add(*_LINE.labels(lines, flow.x, flow.y, bold=True))
        flow.y -= _LINE.height(len(lines))
        for row in choices:
            for x, text in row:
                y = flow.y - _LINE.above - _TEXT
                flow.add(_tick(flow.x + x, y), *_LINE.labels([text], flow.x + x + _BOX + 1.6, flow.y))
            flow.y -= _LINE.height(1)
        flow.y -= 5.0
        flow.add(_write_here(flow.x, flow.y, flow.width))
        flow.y -= 1.5


def _choices(question: PageQuestion, width: float) -> Iterator[list[tuple[float, str]]]:
    """Boxes side by side, as many to a row as there is room for."""
    row: list[tuple[float, str]] = []
    x = 4.0
    for text in question.choices:
        needed = _BOX + 1.6 + text_width(text, _TEXT) + 8.0
        if row and x + needed > width:
            yield row
            row, x = [], 4.0
        row.append((x, text))
        x += needed
    if row:
        yield row


def _tick(x: float, y: float) -> Path:
    corners = ((x, y), (x + _BOX, y), (x + _BOX, y + _BOX), (x, y + _BOX), (x, y))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=THIN_PEN)


def _signatures(flow: PageFlow, page: CustomersPage) -> None:
    """Two lines to sign on, each with its date, never parted from their title."""
    half = (flow.width - 4 * _PAD) / 2
    names = [wrapped(name or who, _TEXT, half) for who, name in (("Customer", page.customer), ("Maker", page.maker))]
    height = _SIGNED + _LINE.step * max(map(len, names))
    _title(flow, "Agreed", under=height + 2 * _LINE.step)
    flow.write(
        "The knife is made as it is shown and written here. A change after this is agreed on anew, in writing.", _TEXT
    )
    flow.y -= _SIGNED - 6.0
    for i, lines in enumerate(names):
        x = flow.x + i * (half + 4 * _PAD)
        flow.add(_write_here(x, flow.y, 0.66 * half), _write_here(x + 0.7 * half, flow.y, 0.3 * half))
        flow.add(*_LINE.labels([("Customer", "Maker")[i]], x, flow.y, bold=True))
        flow.add(*_LINE.labels(["Date"], x + 0.7 * half, flow.y, bold=True))
        if (page.customer, page.maker)[i]:
            flow.add(*_LINE.labels(lines, x, flow.y - _LINE.step))
    flow.y -= 6.0 + _LINE.step * max(map(len, names))


def _numbered(
    page: CustomersPage, paper: Paper, pages: Sequence[list[Item]], rasters: Sequence[tuple[int, Raster]]
) -> Iterator[Sheet]:
    for number, items in enumerate(pages):
        left = wrapped(f"Revision {page.mark}. {page.title}", _TEXT, 0.84 * room_of(paper))
        right = f"page {number + 1} of {len(pages)}"
        foot = (
            *_LINE.labels(left, _MARGIN, _MARGIN - 4.0 + _LINE.height(len(left)) - _LINE.below),
            Label(layer="NOTE", x=paper.width - _MARGIN, y=_MARGIN - 4.0, text=right, height=_TEXT, anchor="end"),
        )
        drawing = Drawing(name=page.title, items=(*items, *foot))
        shown = tuple(raster for on, raster in rasters if on == number)
        yield Sheet(width=paper.width, height=paper.height, drawing=drawing, rasters=shown)
