"""What is written beside its words: a blank with its unit, yes and no, a row of boxes for like places."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Final

from bladegeom.book.brick import Brick, abreast, height_of, space, written
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH, SIDE, tick_box
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CUT_PEN, Item, Label, Path
from bladegeom.drawing.type_sizes import LEADING, TEXT
from bladegeom.quantities.lettering import text_width

UNIT_GAP: Final = 1.2
"""Between a box and the unit behind it, mm."""

ANSWER: Final = BLANK_WIDTH + UNIT_GAP + text_width("HRC", TEXT)
"""Width of a blank with the longest of the units behind it, so that blanks stand under each other, mm."""

PLACE_WIDTH: Final = 24.0
"""Of a box in a row of like ones, mm, at least."""

_WIDE: Final = 36.0
"""Of such a box where there is room, mm."""

_APART: Final = 2.0
"""Between the boxes of a row, and between a box and the text before it, mm."""

_LOW: Final = 40.0
"""A text beside a blank that is higher than this is written over it, mm."""


def box(x: float, top: float, width: float, height: float) -> Path:
    """A rectangle, its upper left corner at a place."""
    left, right, low = x, x + width, top - height
    corners = ((left, low), (right, low), (right, top), (left, top), (left, low))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=CUT_PEN)


def yes_no(x: float, top: float) -> Iterator[Item]:
    """Two boxes to tick, with their words."""
    for word, left in (("yes", x), ("no", x + 16.0)):
        yield tick_box(left, top)
        yield Label(layer="NOTE", x=left + SIDE + 1.0, y=top - SIDE + 0.9, text=word, height=TEXT)


def blank_cell(text: str, unit: str, width: float) -> tuple[Brick, ...]:
    """What is to be written, and the blank beside it, or under it where the text has no room.

    Args:
        text: What it is, with its limits.
        unit: Behind the blank; "yes/no" has two boxes to tick.
        width: That both may take, mm.
    """
    left = width - ANSWER - _APART
    beside = written(text, left) if left >= BLANK_WIDTH else ()
    if beside and height_of(beside) <= _LOW:
        answer = answer_brick(unit)
        above = max(0.0, (answer.height - height_of(beside)) / 2)
        cell = abreast(((0.0, (space(above), *beside)), (width - ANSWER, (answer,))))
        return (space(0.6), cell, space(0.4))
    return (space(0.6), *written(text, width), answer_brick(unit))


@cache
def answer_brick(unit: str) -> Brick:
    """The blank alone, its unit behind it."""
    if unit == "yes/no":
        return Brick(items=tuple(yes_no(0.0, -0.6)), height=SIDE + 1.2)
    y = -0.3 - BLANK_HEIGHT / 2 - TEXT * LEADING / 4
    behind = (Label(layer="NOTE", x=BLANK_WIDTH + UNIT_GAP, y=y, text=unit, height=TEXT),) if unit else ()
    return Brick(items=(box(0.0, -0.3, BLANK_WIDTH, BLANK_HEIGHT), *behind), height=BLANK_HEIGHT + 0.6)


def place_rows(places: Sequence[str], width: float) -> Iterator[Brick]:
    """Boxes beside each other, each with the name of its place over it, in as few rows as hold them.

    Args:
        places: Names of them.
        width: Of the rows, mm.
    """
    widest = max(PLACE_WIDTH, *(text_width(place, TEXT) for place in places))
    rows = math.ceil(len(places) / max(1, int((width + _APART) / (min(widest, width) + _APART))))
    each = math.ceil(len(places) / rows)
    wide = min((width + _APART) / each - _APART, max(_WIDE, widest))
    for start in range(0, len(places), each):
        told = places[start : start + each]
        yield abreast((i * (wide + _APART), _place(place, wide)) for i, place in enumerate(told))


def _place(place: str, width: float) -> tuple[Brick, ...]:
    return (*written(place, width), Brick(items=(box(0.0, -0.3, width, BLANK_HEIGHT),), height=BLANK_HEIGHT + 1.0))
