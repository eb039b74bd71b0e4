"""A table as labels and lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import SMALL_TEXT, THIN_PEN, Item, Label, Path
from bladegeom.quantities.lettering import text_width

_ROW = 1.9 * SMALL_TEXT
"""Height of a row, mm."""

_PAD = 1.6
"""Free on both sides of a column, mm."""


def table_items(rows: Sequence[Sequence[str]], left: float, top: float, *, title: str = "") -> tuple[list[Item], float]:
    """Rows of equal length, the first as a heading, columns as wide as their text.

    Args:
        rows: Text of each cell.
        left: Left border, mm.
        top: Upper border, mm.
        title: A bold line above.

    Returns:
        The items, and the lower border, mm.
    """
    return list(_items(rows, left, top, title)), top - _ROW * (len(rows) + bool(title))


def _items(rows: Sequence[Sequence[str]], left: float, top: float, title: str) -> Iterator[Item]:
    widths = [
        2 * _PAD + max(text_width(row[i], SMALL_TEXT, bold=n == 0) for n, row in enumerate(rows))
        for i in range(len(rows[0]))
    ]
    y = top - _ROW + 0.5 * SMALL_TEXT
    if title:
        yield Label(layer="NOTE", x=left, y=y, text=title, height=SMALL_TEXT, bold=True)
        y -= _ROW
    for n, row in enumerate(rows):
        x = left
        for text, width in zip(row, widths, strict=True):
            yield Label(layer="NOTE", x=x + width - _PAD, y=y, text=text, height=SMALL_TEXT, anchor="end", bold=n == 0)
            x += width
        if n == 0:
            under = y - 0.45 * SMALL_TEXT
            yield Path(layer="NOTE", curve=line((left, under), (x, under)), pen=THIN_PEN)
        y -= _ROW
