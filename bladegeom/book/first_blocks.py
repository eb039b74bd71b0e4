"""Blocks of the first page: a list under its title, the framed musts, the table of the holes. Each hangs from height 0."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.shortened import ShortList
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

NUMBER: Final = 8.0
"""Room for the number of a must, mm."""

_COLUMN: Final = 3.0
"""Between two columns of the table of holes, mm."""

Cells = Sequence[str]


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
    lines = [text for row in rows.told for text in row]
    yield from text_lines([*lines, *([rows.pointer] if rows.pointer else [])], x, -TITLE)


def framed_block(title: str, numbers: Sequence[str], rows: ShortList, left: float, right: float) -> Iterator[Item]:
    """Numbered rows in a heavy frame.

    Args:
        title: Over them, in the frame.
        numbers: Of the rows, each before its first line.
        rows: In the lines that they take.
        left: Left border, mm.
        right: Right border, mm.
    """
    low = -framed_height(rows)
    corners = ((left, 0.0), (left, low), (right, low), (right, 0.0), (left, 0.0))
    yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=HEAVY_PEN)
    x, y = left + PAD, -PAD - HEAD
    yield Label(layer="NOTE", x=x, y=y, text=title, height=HEAD, bold=True)
    y = -PAD - TITLE
    for number, row in zip(numbers, rows.told, strict=False):
        yield Label(layer="NOTE", x=x, y=y - TEXT, text=number, height=TEXT, bold=True)
        yield from text_lines(row, x + NUMBER, y)
        y -= LINE * len(row)
    yield from text_lines([rows.pointer] if rows.pointer else [], x + NUMBER, y)


def framed_height(rows: ShortList) -> float:
    """Of a framed block, mm."""
    return 2 * PAD + TITLE + LINE * rows.lines


def table_block(head: Cells, rows: Sequence[Cells], pointer: str, right: float, top: float) -> Iterator[Item]:
    """Rows under their heads, each column as wide as its text and flush on the right.

    Args:
        head: Of the columns.
        rows: Cells of each, as many as heads.
        pointer: Where the rest of the rows stands; empty where they are all.
        right: Right border, mm.
        top: Upper border, mm.
    """
    widths = column_widths(head, rows)
    left = right - table_width(widths)
    for n, row in enumerate((head, *rows)):
        x, y = left, top - n * LINE - TEXT
        for text, width in zip(row, widths, strict=True):
            x += width
            yield Label(layer="NOTE", x=x, y=y, text=text, height=TEXT, anchor="end", bold=n == 0)
            x += _COLUMN
    under = top - LINE + (LINE - TEXT) / 2 - DEPTH * TEXT / 2
    yield Path(layer="NOTE", curve=line((left, under), (right, under)), pen=THIN_PEN)
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
