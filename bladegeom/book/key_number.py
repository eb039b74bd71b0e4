"""Numbers that are worked to: what each is, large in the first unit, small in the second; and rows of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.drawing.drawing import Drawing, Item, Label
from bladegeom.drawing.type_sizes import KEY, LEADING, TEXT
from bladegeom.quantities.lettering import DEPTH, text_width, wrapped
from bladegeom.quantities.shown import Shown

_APART = 2.0
"""Between the large number and the small one where they stand beside each other, mm."""


def key_number(what: str, shown: Shown, x: float, top: float, width: float, *, limits: str = "") -> Iterator[Item]:
    """Items from a top downwards.

    Args:
        what: The number tells.
        shown: The number.
        x: Left border, mm.
        top: Upper border, mm.
        width: That they may take, mm.
        limits: Under the number.
    """
    y = top
    for text in wrapped(what, TEXT, width):
        y -= TEXT * LEADING
        yield Label(layer="NOTE", x=x, y=y, text=text, height=TEXT)
    for text in wrapped(shown.first, KEY, width, bold=True):
        y -= KEY * LEADING
        yield Label(layer="NOTE", x=x, y=y, text=text, height=KEY, bold=True)
        end = x + text_width(text, KEY, bold=True)
    beside = x + width - end - _APART >= text_width(shown.second, TEXT)
    if shown.second and beside:
        yield Label(layer="NOTE", x=end + _APART, y=y, text=shown.second, height=TEXT)
    under = (shown.second if not beside else "", limits)
    y -= DEPTH * (KEY - TEXT)
    for text in under:
        for part in wrapped(text, TEXT, width) if text else ():
            y -= TEXT * LEADING
            yield Label(layer="NOTE", x=x, y=y, text=part, height=TEXT)


@dataclass(frozen=True, kw_only=True)
class KeyNumber:
    """A number that is worked to.

    Args:
        what: It tells.
        shown: The number.
        limits: What must be known of it, under it.
    """

    what: str
    shown: Shown
    limits: str = ""


def key_rows(
    numbers: Sequence[KeyNumber], left: float, width: float, *, columns: int, apart: float = 3.0, gap: float = 2.0
) -> Iterator[Item]:
    """Numbers in rows, the first row's top at height 0.

    Args:
        numbers: In the order in which they are read.
        left: Left border, mm.
        width: That they may take, mm.
        columns: Numbers in a row.
        apart: Between two columns, mm.
        gap: Between two rows, mm.
    """
    column, top = (width + apart) / columns, 0.0
    for first in range(0, len(numbers), columns):
        row: list[Item] = []
        for i, told in enumerate(numbers[first : first + columns]):
            row += key_number(told.what, told.shown, left + i * column, top, column - apart, limits=told.limits)
        yield from row
        top = Drawing(name="", items=tuple(row)).bounds[1] - gap
