"""The edge of the blank, seen from below, with the lines to scribe on it."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.book.grind_numbers import WORKED_TO
from bladegeom.book.grind_view import LINE_PENS
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CUT_PEN, Item, Label, Path
from bladegeom.drawing.type_sizes import LEADING, TEXT
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.lower_face import SAME

_THICK = 15.0
"""The blank's thickness on paper, mm: a picture of where, not of how much."""


def scribe_picture(sheet: GrindSheet, x: float, top: float, width: float) -> Iterator[Item]:
    """From a top downwards.

    Args:
        sheet: Whose lines.
        x: Left border, mm.
        top: Upper border, mm.
        width: Of it, mm.
    """
    high = top - TEXT * LEADING
    low = high - _THICK
    yield Label(layer="NOTE", x=x, y=high + 0.25 * TEXT, text="left face", height=TEXT)
    corners = ((x, high), (x + width, high), (x + width, low), (x, low), (x, high))
    yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=CUT_PEN)
    scale = _THICK / sheet.knife.stock.thickness
    for stage in (stage for stage in WORKED_TO if stage in sheet.stages):
        right, left = sheet.scribe_offsets(stage)
        for y, offset in ((high - scale * left, left), (low + scale * right, right)):
            if offset > SAME:
                yield Path(layer="NOTE", curve=line((x, y), (x + width, y)), pen=LINE_PENS[stage])
    yield Label(layer="NOTE", x=x, y=low - TEXT * LEADING + 0.3 * TEXT, text="right face", height=TEXT)
    below = low - TEXT * LEADING + 0.3 * TEXT - TEXT * LEADING
    yield Label(layer="NOTE", x=x, y=below, text="Edge from below", height=TEXT, bold=True)
