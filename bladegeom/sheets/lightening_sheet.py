"""One tang with each pattern of lightening holes beside the others, and what each does to mass and balance."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import (
    CUT_PEN,
    SCRIBE_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Circle,
    Drawing,
    Item,
    Label,
    Path,
    Sheet,
)
from bladegeom.drawing.sheet import PagePiece, each_on_smallest
from bladegeom.holes.net_section import NO_PROMISE
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.placing.lighten import add_lightening, plain_fill
from bladegeom.placing.lightened import lightened, unlightened
from bladegeom.placing.place import add_lightening_row
from bladegeom.placing.slots import add_lightening_slots
from bladegeom.placing.staggered_rows import add_staggered_rows
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_length, show_mass
from bladegeom.sheets.section import WIDEST

PATTERNS: tuple[tuple[str, Callable[[Knife], Knife]], ...] = (
    ("graded row along the mid line", add_lightening_row),
    ("two staggered rows", add_staggered_rows),
    ("slots along the mid line", add_lightening_slots),
    ("largest hole first, from the front", plain_fill),
    ("most mass, found by a search", lambda knife: add_lightening(knife, least_shift=0.0, least_mass=0.0)),
    ("the same with no hole that hardly counts", add_lightening),
)
"""What is compared, with its name."""

_ROOM = 150.0
"""Height that a page of A4 or Letter holds between a title and the bars, mm."""

_GAP = 6.0
"""Between two tangs, mm."""

_LEADING = 1.6 * SMALL_TEXT
"""From one base line to the next, mm."""

_FOOT = ("All holes keep the rules of the design; sizes are from the shop's drill index.", NO_PROMISE)


@dataclass(frozen=True, kw_only=True)
class _Cell:
    """A tang with its words; the lower left corner of its box is the origin."""

    items: tuple[Item, ...]
    width: float
    height: float


def lightening_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The tang with each pattern of lightening holes, mass and balance under each; its own lightening is left out.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    return each_on_smallest(_pieces(design.knife, design.title, tuple(remarks)), papers)


@memo
def _pieces(knife: Knife, name: str, remarks: Sequence[str]) -> tuple[PagePiece, ...]:
    """Every page, for whatever paper."""
    bare = unlightened(knife)
    base = weigh(bare)
    cells = list(_cells(bare, base))
    without = f"Without lightening: {_mass_and_balance(base)}."
    if left_out := unweighed(knife):
        without += f" All numbers are WITHOUT the {' and '.join(left_out)}."
    pages = list(_laid(cells))
    return tuple(
        PagePiece(
            drawing=Drawing(name=knife.name, items=items),
            head=(
                f"{name}, lightening page {number} of {len(pages)}",
                "What lightening holes do",
                without,
                *remarks,
            ),
            foot=_FOOT,
        )
        for number, items in enumerate(pages, start=1)
    )


def _cells(bare: Knife, base: Weighing) -> Iterator[_Cell]:
    for name, place in PATTERNS:
        try:
            drilled = lightened(bare, place)
        except PlacingError as error:
            yield _cell(bare, name, (f"not here: {error}",))
        else:
            yield _cell(drilled, name, _words(weigh(drilled), base))


def _words(weighing: Weighing, base: Weighing) -> tuple[str, ...]:
    """Mass and balance, and what the holes did to them."""
    light = [hole for hole in weighing.knife.holes if hole.purpose == "lightening"]
    out, shift = base.total.amount - weighing.total.amount, weighing.balance_from_front - base.balance_from_front
    kind = "hole" if all(isinstance(opening, Hole) for opening in light) else "slot"
    count, way = f"{len(light)} {kind}" + ("s" if len(light) > 1 else ""), "tip" if shift >= 0 else "butt"
    return _mass_and_balance(
        weighing
    ), f"{count}: {show_mass(out)} out, balance {show_length(abs(shift))} towards the {way}"


def _mass_and_balance(weighing: Weighing) -> str:
    return f"knife {show_mass(weighing.total.amount)}, balance {from_front(weighing.balance_from_front)}"


def _cell(knife: Knife, name: str, lines: Sequence[str]) -> _Cell:
    x0, y0, x1, y1 = Drawing(name=name, items=(Path(layer="NOTE", curve=knife.handle_loop),)).bounds
    items: list[Item] = [
        Path(layer="NOTE", curve=knife.handle_loop, closed=True, pen=CUT_PEN),
        Path(layer="NOTE", curve=knife.handle_front, pen=SCRIBE_PEN),
    ]
    for hole in knife.openings:
        pen = THIN_PEN if hole.purpose != "lightening" else CUT_PEN
        if isinstance(hole, Hole):
            items.append(Circle(layer="NOTE", x=hole.x, y=hole.y, radius=hole.diameter / 2, pen=pen))
        else:
            items.append(Path(layer="NOTE", curve=hole.outline, closed=True, pen=pen))
        if hole.purpose != "lightening":
            items.append(Circle(layer="NOTE", x=hole.x, y=hole.y, radius=0.3, filled=True))
    y = y0 - 0.5
    rows = [(name, True), *((part, False) for text in lines for part in wrapped(text, SMALL_TEXT, x1 - x0))]
    for text, bold in rows:
        y -= _LEADING
        items.append(Label(layer="NOTE", x=x0, y=y, text=text, height=SMALL_TEXT, bold=bold))
    low, right = y - 0.3 * SMALL_TEXT, max(x1, *(item.corners[:, 0].max() for item in items if isinstance(item, Label)))
    moved = Drawing(name=name, items=tuple(items)).moved(-x0, -low).items
    return _Cell(items=moved, width=right - x0, height=y1 - low)


def _laid(cells: Sequence[_Cell]) -> Iterator[tuple[Item, ...]]:
    """Tangs side by side as far as a page is wide, rows below each other as far as it is high."""
    width, height = max(cell.width for cell in cells), max(cell.height for cell in cells)
    columns = max(1, int((WIDEST + _GAP) // (width + _GAP)))
    rows = max(1, int((_ROOM + _GAP) // (height + _GAP)))
    for first in range(0, len(cells), columns * rows):
        items: list[Item] = []
        for i, cell in enumerate(cells[first : first + columns * rows]):
            row, column = divmod(i, columns)
            dx, dy = column * (width + _GAP), -row * (height + _GAP) - cell.height
            items += Drawing(name="", items=cell.items).moved(dx, dy).items
        yield tuple(items)
