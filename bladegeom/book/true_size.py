"""Cards to cut out at true size on the upright pages of a chapter, over the ruler bars that prove the size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.book.chapter_flow import FOOT, ChapterFlow
from bladegeom.drawing.drawing import Drawing, Item, Label
from bladegeom.drawing.ruler import MARGIN, PRINT_WORDS, bars
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper

_NUMBER = 9.5
"""Kept free between the lying bar and the words over it, for the number of the page, mm."""

_CLEAR = 0.5
"""Over the standing bar at least, mm."""

_CARDS_APART = 3.0
"""From card to card, mm."""

_APART = 4.0
"""From them to what else is on the page, mm."""


def true_size(flow: ChapterFlow, paper: Paper, title: str, notes: Sequence[str], cards: Sequence[Drawing]) -> None:
    """Put cards on the pages of a chapter, beside each other in rows; each page that has some gets its bars.

    Nothing else may be put on the last of these pages.

    Args:
        flow: The pages.
        paper: Of them.
        title: Over the first row.
        notes: How cards are used, under it.
        cards: To cut out.

    Raises:
        ExportError: A page does not hold a card with its notes and bars.
    """
    if not cards:
        return
    lying, upright = bars(paper.width, paper.height, "right")
    room = beside_bar(paper)
    words = Drawing(name="", items=tuple(_print_words(lying.bounds[3] + _NUMBER, room)))
    foot = (*words.items, *lying.items, *upright.items)
    kept = words.bounds[3] - MARGIN + _APART - FOOT
    rows = list(_rows(cards, room))
    tall = HEAD * LEADING + sum(len(wrapped(text, TEXT, room)) * TEXT * LEADING for text in notes) + _APART
    _need(flow, tall + _height(rows[0]) + kept, paper)
    if not _is_clear(flow, upright):
        flow.begin()
    flow.write(title, HEAD, bold=True)
    for text in notes:
        flow.write(text, TEXT, right=flow.width - room)
    flow.y -= _APART
    for row in rows:
        if flow.left < _height(row) + kept:
            flow.add(*foot)
            _need(flow, _height(row) + kept, paper)
        flow.add(*_placed(row, flow.x, flow.y))
        flow.y -= _height(row) + _APART
    flow.add(*foot)


def beside_bar(paper: Paper) -> float:
    """Width that a page has beside its standing bar, mm."""
    _, upright = bars(paper.width, paper.height, "right")
    return upright.bounds[0] - _APART - MARGIN


def _is_clear(flow: ChapterFlow, bar: Drawing) -> bool:
    """Whether what stands on the page already keeps off a bar."""
    x0, y0, x1, y1 = bar.bounds
    boxes = Drawing(name="", items=tuple(flow.pages[-1])).boxes
    clear = (boxes[:, 2] < x0) | (boxes[:, 0] > x1) | (boxes[:, 3] < y0) | (boxes[:, 1] > y1 + _CLEAR)
    return bool(clear.all())


def _need(flow: ChapterFlow, height: float, paper: Paper) -> None:
    """Begin another page where this one has less left."""
    flow.fit(height)
    if flow.left < height:
        raise ExportError(f"gauges to cut out are too tall for a page of {paper.name}: name a larger paper")


def _height(row: Sequence[Drawing]) -> float:
    return max(card.bounds[3] - card.bounds[1] for card in row)


def _rows(cards: Sequence[Drawing], room: float) -> Iterator[list[Drawing]]:
    row: list[Drawing] = []
    taken = 0.0
    for card in cards:
        width = card.bounds[2] - card.bounds[0]
        if row and taken + width > room:
            yield row
            row, taken = [], 0.0
        row.append(card)
        taken += width + _CARDS_APART
    yield row


def _placed(row: Sequence[Drawing], x: float, top: float) -> Iterator[Item]:
    for card in row:
        x0, _, x1, y1 = card.bounds
        yield from card.moved(x - x0, top - y1).items
        x += x1 - x0 + _CARDS_APART


def _print_words(low: float, width: float) -> Iterator[Label]:
    """What is to be done with the bars, from a lowest base line upwards."""
    lines = [part for text in PRINT_WORDS for part in wrapped(text, TEXT, width)]
    for i, text in enumerate(reversed(lines)):
        yield Label(layer="NOTE", x=MARGIN, y=low + i * TEXT * LEADING, text=text, height=TEXT)
