"""Names over a view, each on a line from its place, in one row or two."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.curves.build import line
from bladegeom.curves.curve import Vector
from bladegeom.drawing.drawing import CUT_PEN, THIN_PEN, Circle, Item, Label, Path
from bladegeom.drawing.spread import spread_row
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.lettering import DEPTH, text_width

MARK_ROW: Final = 1.7 * TEXT
"""Height of a row of names, mm."""

_GAP: Final = 1.4
"""Between two names, mm."""

_FAR: Final = 7.0
"""A name that stands farther aside from its place is hard to follow, mm; own choice."""

_SLOT: Final = 0.8
"""Room for a line between two names, mm."""

_UNDER: Final = 2.0
"""Between the view and the names over it, mm."""


@dataclass(frozen=True, kw_only=True)
class ViewMark:
    """A name and the place on the page that it names.

    Args:
        place: mm.
        text: Of the name.
        ringed: Whether it is a number in a ring.
    """

    place: Vector
    text: str
    ringed: bool = False

    @property
    def width(self) -> float:
        """Of the name, mm."""
        return CIRCLED if self.ringed else text_width(self.text, TEXT, bold=True)


CIRCLED: Final = 1.45 * TEXT
"""Width of a number in a ring, mm."""


def circled(text: str, x: float, y: float) -> Iterator[Item]:
    """A number in a ring, from a left border on a base line."""
    middle = x + CIRCLED / 2
    yield Circle(layer="NOTE", x=middle, y=y + 0.4 * TEXT, radius=CIRCLED / 2, pen=CUT_PEN)
    yield Label(layer="NOTE", x=middle, y=y, text=text, height=TEXT, anchor="middle", bold=True)


@dataclass(frozen=True, kw_only=True)
class PlacedMark:
    """A name where it stands.

    Args:
        mark: It.
        middle: Of the name, mm.
        row: Counted from 0 upwards.
    """

    mark: ViewMark
    middle: float
    row: int


def placed_marks(marks: Sequence[ViewMark], left: float, right: float) -> tuple[PlacedMark, ...]:
    """Names between two borders: in one row where none is pushed far away from its place, else in two by turns.

    Args:
        marks: From the left.
        left: Left border, mm.
        right: Right border, mm.
    """
    middles = _middles(marks, [mark.width for mark in marks], left, right)
    if all(abs(at - mark.place[0]) <= _FAR for at, mark in zip(middles, marks, strict=True)):
        return tuple(PlacedMark(mark=mark, middle=at, row=0) for mark, at in zip(marks, middles, strict=True))
    # In the lower row stands the line of a name of the upper one, or it would run through a name.
    around = [min(other.width for other in marks[max(i - 1, 0) : i + 2 : 2]) for i in range(len(marks))]
    room = [
        _SLOT if i % 2 and mark.width <= beside + _SLOT + _GAP else mark.width
        for i, (mark, beside) in enumerate(zip(marks, around, strict=True))
    ]
    middles = _middles(marks, room, left, right)
    rows = zip(marks, middles, strict=True)
    return tuple(PlacedMark(mark=mark, middle=at, row=i % 2) for i, (mark, at) in enumerate(rows))


def _middles(marks: Sequence[ViewMark], widths: Sequence[float], left: float, right: float) -> list[float]:
    wanted = [(mark.place[0], width) for mark, width in zip(marks, widths, strict=True)]
    return spread_row(wanted, left, right, gap=_GAP)


def mark_items(placed: Sequence[PlacedMark], top: float) -> Iterator[Item]:
    """The names with their lines, over a view that is so high, mm."""
    for each in placed:
        mark, at, row = each.mark, each.middle, each.row
        low = top + _UNDER
        yield Path(layer="NOTE", curve=line(mark.place, (at, low)), pen=THIN_PEN)
        if row:
            yield Path(layer="NOTE", curve=line((at, low), (at, low + row * MARK_ROW)), pen=THIN_PEN)
        y = low + row * MARK_ROW + DEPTH * TEXT
        if mark.ringed:
            yield from circled(mark.text, at - CIRCLED / 2, y)
        else:
            yield Label(layer="NOTE", x=at, y=y, text=mark.text, height=TEXT, anchor="middle", bold=True)
