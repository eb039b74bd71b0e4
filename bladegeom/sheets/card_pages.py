"""The job card on lying pages, with the sheets that travel along behind it; every page numbered through."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterator, Sequence

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item, Label, Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.knife.knife import Knife
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.card_flow import SMALL, TEXT, CardFlow
from bladegeom.sheets.card_view import card_view
from bladegeom.sheets.drill_sheet import drill_pages
from bladegeom.sheets.grind_pages import grind_pages
from bladegeom.signoff.card_table import Card

_FOOT = "Numbers are starting points: the data sheets, the shop's limits and local rules override."

_VIEW = 45.0
"""Height of the drawing, mm, at most."""

_FREE = 1.2
"""Kept between the number of a page and what stands on it, mm."""


def job_card_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str]) -> tuple[Sheet, ...]:
    """The job card of a design, with its drill card and its grind sheet behind it.

    Args:
        design: The knife with its order and work.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them, or names and remarks leave no room.
    """
    card = dataclasses.replace(design.job_card, remarks=tuple(remarks))
    along = (sheet for pages in (drill_pages, grind_pages) for sheet in pages(design, papers, remarks=remarks))
    return card_pages(card, design.knife, papers[0], tuple(along))


def card_pages(card: Card, knife: Knife, paper: Paper, along: Sequence[Sheet] = ()) -> tuple[Sheet, ...]:
    """All pages.

    Args:
        card: What it says.
        knife: The design.
        paper: Of the card's own pages.
        along: Pages of other sheets that travel with the knife, which keep their own titles.

    Raises:
        ExportError: Names or remarks leave no room on the page.
    """
    flow = CardFlow(paper, card.title, card.remarks)
    for part in card.parts:
        flow.part(part.title)
        if part.verdict:
            flow.write(part.verdict, TEXT, bold=True)
            flow.y -= 1.0
        for text in part.lines:
            flow.write(text, TEXT)
        if part.drawn:
            _view(flow, knife)
        for table in part.tables:
            flow.table(table)
    count = len(flow.pages) + len(along)
    own = [_sheet(card, paper, items, f"page {i} of {count}") for i, items in enumerate(flow.pages, start=1)]
    start = len(own) + 1
    return (*own, *(_numbered(sheet, f"Job card, page {i} of {count}") for i, sheet in enumerate(along, start=start)))


def _view(flow: CardFlow, knife: Knife) -> None:
    items, words = card_view(knife, flow.width, _VIEW)
    drawing = Drawing(name="", items=items)
    x0, y0, x1, y1 = drawing.bounds
    words_height = 1.5 * TEXT * len(wrapped(words, TEXT, flow.width))
    flow.fit(y1 - y0 + words_height + 5.0)
    flow.y -= 3.0
    middle = MARGIN + flow.width / 2
    flow.add(*drawing.moved(middle - (x0 + x1) / 2, flow.y - y1).items)
    flow.y -= y1 - y0 + 2.0
    flow.write(words, TEXT)


def _sheet(card: Card, paper: Paper, items: Sequence[Item], number: str) -> Sheet:
    width = paper.height
    foot = (
        Label(layer="NOTE", x=MARGIN, y=MARGIN + 1.0, text=_FOOT, height=SMALL),
        Label(layer="NOTE", x=width - MARGIN, y=MARGIN + 1.0, text=number, height=SMALL, anchor="end", bold=True),
    )
    return Sheet(width=width, height=paper.width, drawing=Drawing(name=card.title, items=(*items, *foot)))


def _numbered(sheet: Sheet, words: str) -> Sheet:
    """A page of another sheet with its number on the card, where nothing else stands."""
    taken = sheet.drawing.boxes
    for x, y in _places(sheet):
        label = Label(layer="NOTE", x=x, y=y, text=words, height=SMALL, anchor="middle", bold=True)
        x0, y0, x1, y1 = Drawing(name="", items=(label,)).bounds
        beside = (taken[:, 0] > x1 + _FREE) | (taken[:, 2] < x0 - _FREE)
        if (beside | (taken[:, 1] > y1 + _FREE) | (taken[:, 3] < y0 - _FREE)).all():
            drawing = dataclasses.replace(sheet.drawing, items=(*sheet.drawing.items, label))
            return dataclasses.replace(sheet, drawing=drawing)
    raise ExportError(f"{sheet.drawing.name}: a page has no room for {words!r}; name a larger paper")


def _places(sheet: Sheet) -> Iterator[tuple[float, float]]:
    """From the lower border upwards, from the middle to the sides."""
    inner, middle = sheet.width - 2 * MARGIN - 40.0, sheet.width / 2
    shifts = sorted((inner * (i / 24 - 0.5) for i in range(25)), key=abs)
    rows = (MARGIN + 1.0 + 3.0 * i for i in range(int((sheet.height - 2 * MARGIN - 4.0) / 3.0)))
    yield from ((middle + shift, y) for y, shift in itertools.product(rows, shifts))
