"""The page that goes to the heat treater with the blades, and comes back with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.blank_row import blank_row
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import BLANK_HEIGHT, written_line
from bladegeom.book.key_number import key_number
from bladegeom.book.tested_blade import tested_blade
from bladegeom.book.told_block import framed_caution, told_block
from bladegeom.book.traveller_words import (
    back_lines,
    count_of,
    hardness_words,
    never_done,
    sent_lines,
    wanted_lines,
)
from bladegeom.book.two_columns import column_width, two_columns
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Item, Label, Sheet
from bladegeom.drawing.type_sizes import HEAD, KEY, LEADING, TEXT
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import Shown, sold_thickness

_MOST_ROWS: Final = 12
"""Blades whose hardness is written on the page; own choice: of more the treater sends a list."""


def heat_treater_page(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """What a heat treater has to know of the blades.

    Args:
        design: The knife with its order and work, as far as there are any.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: The knife is not hardened, or names and remarks leave no room.
    """
    if not design.route.hardened:
        metal = design.knife.stock.material.name
        raise ExportError(f"{design.knife.name} is of {metal}, which is not hardened: no heat treater needs a page")
    flow = ChapterFlow(papers[0], "For the heat treater", design.title, remarks)
    flow.begin()
    _parties(flow, design.settings.maker)
    flow.block(_numbers(design, flow.x, flow.width), gap=4.0)
    flow.block(tested_blade(design.knife, flow.x, flow.width), gap=3.0)
    width = column_width(flow)
    told = (
        ("What comes to you", sent_lines(design)),
        ("What comes back", back_lines()),
        ("What is wanted", wanted_lines(design)),
    )
    two_columns(flow, [tuple(told_block(title, tuple(lines), width)) for title, lines in told])
    flow.block(framed_caution("Please do not", tuple(never_done(design)), flow.x, flow.width), gap=4.0)
    _written(flow, count_of(design))
    return flow.sheets()


def _parties(flow: ChapterFlow, maker: str | None) -> None:
    """Who sends, who gets, by when."""
    if maker:
        flow.write(f"From: {maker}", TEXT, bold=True)
    blanks = ("To", "sent on", "wanted by") if maker else ("From", "to", "sent on", "wanted by")
    blank_row(flow, blanks)
    flow.y -= 2.0


def _numbers(design: Design, left: float, width: float) -> Iterator[Item]:
    """Steel, thickness, hardness and number of blades, large; a line to write on for what nobody has told."""
    knife, count, each = design.knife, count_of(design), width / 4
    told = (
        ("Steel", Shown(first=knife.stock.material.name)),
        ("Thickness of the stock", sold_thickness(knife.stock.thickness)),
        ("Hardness wanted", Shown(first=hardness_words(design))),
        ("Number of blades", Shown(first="" if count is None else str(count))),
    )
    for i, (what, shown) in enumerate(told):
        x = left + i * each
        if shown.first:
            yield from key_number(what, shown, x, 0.0, each - 4.0)
        else:
            yield Label(layer="NOTE", x=x, y=-TEXT * LEADING, text=what, height=TEXT)
            low = -TEXT * LEADING - KEY * LEADING
            yield written_line(x, low, x + each - 8.0)


def _written(flow: ChapterFlow, count: int | None) -> None:
    """Where the treater writes what each blade came out at."""
    rows = min(count or 1, _MOST_ROWS)
    flow.fit((HEAD + TEXT) * LEADING + 2 * BLANK_HEIGHT)
    flow.write("Written by the heat treater", HEAD, bold=True)
    flow.write("HRC of each blade at the butt and at the front, and its bow; then how they were treated.", TEXT)
    for number in range(1, rows + 1):
        name = f"blade {number}" if rows > 1 else "each blade"
        blank_row(flow, (f"{name}: butt", "front", "bow"))
    blank_row(flow, ("hardened from", "quenched in", "tempered at"))
    blank_row(flow, ("date", "name"))
