"""Names over a view, each on a line from its place, in as many rows as they need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.curves.build import line
from bladegeom.curves.curve import Vector
from bladegeom.drawing.drawing import CUT_PEN, THIN_PEN, Circle, Item, Label, Path
from bladegeom.drawing.spread import rows_needed, spread
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.lettering import DEPTH, text_width

MARK_ROW: Final = 1.7 * TEXT
"""Height of a row of names, mm."""

_GAP: Final = 1.4
"""Between two names, mm."""

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


Placed = Sequence[tuple[ViewMark, float]]
"""Names of one row, each with the middle that it stands on, mm."""


def mark_rows(marks: Sequence[ViewMark], left: float, right: float) -> list[Placed]:
    """Names between two borders, from the lowest row upwards.

    Args:
        marks: From the left.
        left: Left border, mm.
        right: Right border, mm.
    """
    count = rows_needed([(mark.place[0], mark.width) for mark in marks], left, right, gap=_GAP)
    rows = [marks[i::count] for i in range(count)]
    wanted = [[(mark.place[0], mark.width) for mark in row] for row in rows]
    return [list(zip(row, spread(w, left, right, gap=_GAP), strict=True)) for row, w in zip(rows, wanted, strict=True)]


def mark_items(rows: Sequence[Placed], top: float) -> Iterator[Item]:
    """The names with their lines, over a view that is so high, mm."""
    for i, row in enumerate(rows):
        low = top + _UNDER + i * MARK_ROW
        for mark, at in row:
            yield Path(layer="NOTE", curve=line(mark.place, (at, low)), pen=THIN_PEN)
            y = low + DEPTH * TEXT
            if mark.ringed:
                yield from circled(mark.text, at - CIRCLED / 2, y)
                continue
            yield Label(layer="NOTE", x=at, y=y, text=mark.text, height=TEXT, anchor="middle", bold=True)
