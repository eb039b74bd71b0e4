"""Pieces of the customer's page: titles, lines and boxes to fill in, the two signatures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.agreement.page_parts import CustomersPage, PageQuestion
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Label, Path
from bladegeom.drawing.page_flow import CellText, PageFlow
from bladegeom.drawing.type_sizes import HEAD, TEXT
from bladegeom.quantities.lettering import text_width, wrapped

TEXT_LINE: Final = CellText(size=TEXT, step=1.35 * TEXT, above=1.0, below=1.3)

SECTION_GAP: Final = 5.0
"""Over a section, mm."""

COLUMN_PAD: Final = 2.5
"""Between columns, mm."""

_BOX: Final = 4.5
"""Side of a box to tick, mm."""

_CHOICE: Final = 6.0
"""Height of a row of boxes to tick, mm."""

_WRITTEN: Final = 8.0
"""Height of a line to write on, mm."""

_SIGNED: Final = 21.0
"""Height of the two lines to sign on, with the words over and under them, mm."""

_PROMISE: Final = (
    "The knife is made as it is shown and written here. A change after this is agreed on anew, in writing."
)


def section_title(
    flow: PageFlow, text: str, beside: tuple[str, float] | None = None, *, under: float = 4 * TEXT
) -> None:
    """A section's title, with room for what follows it; another one beside it, with its place."""
    flow.fit(SECTION_GAP + 1.6 * HEAD + under)
    flow.y -= SECTION_GAP
    flow.y -= HEAD
    for title, x in ((text, flow.x), *((beside,) if beside else ())):
        flow.add(Label(layer="NOTE", x=x, y=flow.y, text=title, height=HEAD, bold=True))
    flow.rule(1.6)


def write_here(x: float, y: float, width: float) -> Path:
    """A line to write on."""
    return Path(layer="NOTE", curve=line((x, y), (x + width, y)), pen=THIN_PEN)


def draw_questions(flow: PageFlow, questions: Sequence[PageQuestion]) -> None:
    """Each question with its boxes and a line to write on; nothing where all is answered."""
    if not questions:
        return
    section_title(flow, "Still to be answered: please tick or write")
    for question in questions:
        lines = wrapped(f"{question.letter}. {question.words}", TEXT, flow.width, bold=True)
        choices = list(_choices(question, flow.width))
        flow.fit(TEXT_LINE.height(len(lines)) + _CHOICE * len(choices) + _WRITTEN)
        flow.add(*TEXT_LINE.labels(lines, flow.x, flow.y, bold=True))
        flow.y -= TEXT_LINE.height(len(lines))
        for row in choices:
            for x, text in row:
                y = flow.y - TEXT_LINE.above - TEXT - 0.9
                flow.add(_tick(flow.x + x, y), *TEXT_LINE.labels([text], flow.x + x + _BOX + 1.6, flow.y))
            flow.y -= _CHOICE
        flow.y -= _WRITTEN
        flow.add(write_here(flow.x, flow.y, flow.width))
        flow.y -= 1.5


def _choices(question: PageQuestion, width: float) -> Iterator[list[tuple[float, str]]]:
    """Boxes side by side, as many to a row as there is room for."""
    row: list[tuple[float, str]] = []
    x = 4.0
    for text in question.choices:
        needed = _BOX + 1.6 + text_width(text, TEXT) + 8.0
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


def draw_signatures(flow: PageFlow, page: CustomersPage) -> None:
    """Two lines to sign on, each with its date, never parted from their title."""
    half = (flow.width - 4 * COLUMN_PAD) / 2
    people = {"Customer": page.customer, "Maker": page.maker}
    names = [wrapped(name, TEXT, half) for name in people.values()]
    height = _SIGNED + TEXT_LINE.step * max(map(len, names))
    section_title(flow, "Agreed", under=height + 2 * TEXT_LINE.step)
    flow.write(_PROMISE, TEXT)
    flow.y -= _SIGNED - 6.0
    for i, (who, lines) in enumerate(zip(people, names, strict=True)):
        x = flow.x + i * (half + 4 * COLUMN_PAD)
        flow.add(write_here(x, flow.y, 0.66 * half), write_here(x + 0.7 * half, flow.y, 0.3 * half))
        flow.add(*TEXT_LINE.labels([who], x, flow.y, bold=True))
        flow.add(*TEXT_LINE.labels(["Date"], x + 0.7 * half, flow.y, bold=True))
        flow.add(*TEXT_LINE.labels(lines, x, flow.y - TEXT_LINE.step))
    flow.y -= 6.0 + TEXT_LINE.step * max(map(len, names))
