"""The one sign beside every caution: a triangle that stands on its side, with an exclamation mark in it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Circle, Item, Path
from bladegeom.drawing.type_sizes import FINISHED_PEN

SIGN: Final = 5.0
"""Width of the sign, mm."""

_HEIGHT: Final = 4.4
"""mm: of a triangle with three like sides."""


def caution_sign(x: float, top: float) -> Iterator[Item]:
    """The sign, its upper left corner at a place.

    Args:
        x: Left border, mm.
        top: Upper border, mm.
    """
    low, middle = top - _HEIGHT, x + SIGN / 2
    corners = ((x, low), (x + SIGN, low), (middle, top), (x, low))
    yield Path(layer="NOTE", curve=line(*corners), closed=True, pen=FINISHED_PEN)
    stroke = ((-0.22, 1.55), (0.22, 1.55), (0.34, 3.1), (-0.34, 3.1), (-0.22, 1.55))
    yield Path(layer="NOTE", curve=line(*((middle + dx, low + dy) for dx, dy in stroke)), closed=True, filled=True)
    yield Circle(layer="NOTE", x=middle, y=low + 0.85, radius=0.36, filled=True)
