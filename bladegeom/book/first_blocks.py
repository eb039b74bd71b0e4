"""Blocks of the first page, each hanging from height 0: a list under its title, framed musts, the table of holes."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.shortened import ShortList, cut_text
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Item, Label, Path
from bladegeom.drawing.type_sizes import HEAD, HEAVY_PEN, LEADING, TEXT
from bladegeom.quantities.lettering import DEPTH, text_width

LINE: Final = TEXT * LEADING
"""From one base line of text to the next, mm."""

TITLE: Final = HEAD * LEADING
"""What a block's title takes, mm."""

PAD: Final = 2.0
"""Between a frame and the words in it, mm."""

INDENT: Final = 3.0
"""Of the second line of a row of a list, mm."""

NUMBER: Final = 7.0
"""Room for the number of a must, mm."""

_COLUMN: Final = 2.2
"""Between two columns of the table of holes, mm."""

Cells = Sequence[str]
_Numbered = tuple[str, tuple[str, ...]]


def title_label(text: str, x: float) -> Label:
    """Of a block."""
    return Label(layer="NOTE", x=x, y=-HEAD, text=text, height=HEAD, bold=True)


def text_lines(lines: Sequence[str], x: float, top: float) -> Iterator[Label]:
    """Lines of text from a top downwards."""
    for i, text in enumerate(lines):
        yield Label(layer="NOTE", x=x, y=top - i * LINE - TEXT, text=text, height=TEXT)


def list_block(title: str, rows: ShortList, x: float) -> Iterator[Item]:
    """A list, with where the rest of it stands."""
    yield title_label(title, x)
    y = -TITLE
    for first, *more in (*rows.told, *(((rows.pointer,),) if rows.pointer else ())):
        yield from text_lines([first], x, y)
        yield from text_lines(more, x + INDENT, y - LINE)
        y -= LINE * (1 + len(more))


def framed_block(title: str, numbers: Sequence[str], rows: ShortList, left: float, right: float) -> Iterator[Item]:
    """Numbered rows in two columns, in a heavy frame.

    Args:
        title: Over them, in the frame.
        numbers: Of the rows, each before its first line.
        rows: In the lines that they take.
        left: Left border, mm.
        right: Right border, mm.
    """
    low = -framed_height(title, rows, right - left)
    corners = ((left, 0.0), (left, low), (right, low), (right, 0.0), (left, 0.0))
    yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=HEAVY_PEN)
    lines = _title_lines(title, right - left)
    for i, text in enumerate(lines):
        yield Label(layer="NOTE", x=left + PAD, y=-PAD - i * TITLE - HEAD, text=text, height=HEAD, bold=True)
    x, top = left + PAD, -PAD - len(lines) * TITLE
    for column in _columns(numbers, rows):
        y = top
        for number, row in column:
            yield Label(layer="NOTE", x=x, y=y - TEXT, text=number, height=TEXT, bold=True)
            yield from text_lines(row, x + NUMBER, y)
            y -= LINE * len(row)
        x += (right - left) / 2


def framed_height(title: str, rows: ShortList, width: float) -> float:
    """Of a framed block, mm."""
    titles = len(_title_lines(title, width))
    longest = max(sum(len(row) for _, row in column) for column in _columns(("",) * len(rows.rows), rows))
    return 2 * PAD + TITLE * titles + LINE * longest


def _title_lines(title: str, width: float) -> tuple[str, ...]:
    return cut_text(title, 2, "...", HEAD, width - 2 * PAD, bold=True)


def must_width(width: float) -> float:
    """Of a line of a must in one of the two columns of a frame, mm."""
    return width / 2 - 2 * PAD - NUMBER


def _columns(numbers: Sequence[str], rows: ShortList) -> tuple[Sequence[_Numbered], Sequence[_Numbered]]:
    """The rows that are shown, and where the rest is, in two columns of which the first is no shorter."""
    told = list(zip(numbers, rows.told, strict=False))
    told += [("", (rows.pointer,))] if rows.pointer else []
    taken = list(itertools.accumulate(len(row) for _, row in told))
    cut = next((i for i, lines in enumerate(taken, start=1) if 2 * lines >= taken[-1]), 0)
    return told[:cut], told[cut:]


def table_block(head: Cells, rows: Sequence[Cells], pointer: str, left: float, top: float) -> Iterator[Item]:
    """Rows under their heads, each column as wide as its text and flush on the right.

    Args:
        head: Of the columns.
        rows: Cells of each, as many as heads.
        pointer: Where the rest of the rows stands; empty where they are all.
        left: Left border, mm.
        top: Upper border, mm.
    """
    widths = column_widths(head, rows)
    for n, row in enumerate((head, *rows)):
        x, y = left, top - n * LINE - TEXT
        for text, width in zip(row, widths, strict=True):
            x += width
            yield Label(layer="NOTE", x=x, y=y, text=text, height=TEXT, anchor="end", bold=n == 0)
            x += _COLUMN
    under = top - LINE + (LINE - TEXT) / 2 - DEPTH * TEXT / 2
    yield Path(layer="NOTE", curve=line((left, under), (left + table_width(widths), under)), pen=THIN_PEN)
    yield from text_lines([pointer] if pointer else [], left, top - LINE * (1 + len(rows)))


def column_widths(head: Cells, rows: Sequence[Cells]) -> list[float]:
    """Of the widest text of each column, mm."""
    widths = [text_width(text, TEXT, bold=True) for text in head]
    for row in rows:
        widths = [max(width, text_width(text, TEXT)) for width, text in zip(widths, row, strict=True)]
    return widths


def table_width(widths: Sequence[float]) -> float:
    """Of all columns, mm."""
    return sum(widths) + _COLUMN * (len(widths) - 1)
