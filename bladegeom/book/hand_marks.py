"""What a hand fills in: a box to tick and a line to write on, large enough for a thumb that holds a pencil."""

from __future__ import annotations

from typing import Final

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CUT_PEN, THIN_PEN, Path

SIDE: Final = 5.0
"""Of a box to tick, mm; own choice."""

BLANK_WIDTH, BLANK_HEIGHT = 30.0, 8.0
"""Least room to write a measured number in, mm; own choice."""


def tick_box(x: float, top: float) -> Path:
    """A square with its upper left corner at a place."""
    low, right = top - SIDE, x + SIDE
    corners = ((x, low), (right, low), (right, top), (x, top), (x, low))
    return Path(layer="NOTE", curve=line(*corners), closed=True, pen=CUT_PEN)


def written_line(x0: float, y: float, x1: float) -> Path:
    """A line to write on."""
    return Path(layer="NOTE", curve=line((x0, y), (x1, y)), pen=THIN_PEN)
