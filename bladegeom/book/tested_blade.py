"""A blade as it goes to the heat treater, with the part on which it may be tested and marked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve
from bladegeom.drawing.drawing import CUT_PEN, SCRIBE_PEN, THIN_PEN, Item, Label, Path
from bladegeom.drawing.type_sizes import FINISHED_PEN, HEAVY_PEN, LEADING, TEXT
from bladegeom.knife.knife import Knife

_MOST_HIGH: Final = 42.0
"""Height of the picture of the blade, mm."""

_HEAD: Final = 1.6
"""Length of an arrow's head, mm."""


def tested_blade(knife: Knife, left: float, width: float) -> Iterator[Item]:
    """The blade between two borders, its lowest place at height 0.

    Args:
        knife: The design.
        left: Left border, mm.
        width: From border to border, mm.
    """
    x0, y0, x1, y1 = knife.outline.bounds
    scale = min(width / (x1 - x0), _MOST_HIGH / (y1 - y0))

    def placed(curve: Curve) -> Curve:
        return curve.transformed([[scale, 0.0, left - scale * x0], [0.0, scale, -scale * y0]])

    yield Path(layer="NOTE", curve=placed(knife.outline.loop), closed=True, pen=FINISHED_PEN)
    for opening in knife.openings:
        yield Path(layer="NOTE", curve=placed(opening.outline), closed=True, pen=CUT_PEN)
    if knife.grind.rough_edge is not None:
        yield Path(layer="NOTE", curve=placed(knife.plunge_line), pen=SCRIBE_PEN)
    yield Path(layer="NOTE", curve=placed(knife.handle_front), pen=HEAVY_PEN)
    front = left + scale * (knife.handle_front_middle[0] - x0)
    yield from _told(left, front, scale * (y1 - y0) + 4.0)


def _told(left: float, front: float, y: float) -> Iterator[Item]:
    """Over the tang where it may be tested, over the blade where not."""
    yield from _arrow(left, front - 1.0, y)
    y += TEXT * (LEADING - 0.9)
    here = Label(layer="NOTE", x=left, y=y, text="tested and marked here alone", height=TEXT, bold=True)
    yield here
    # Over a short tang the words are longer than it.
    beside = max(front + 2.0, left + here.width + 4.0)
    yield Label(layer="NOTE", x=beside, y=y, text="not here", height=TEXT, bold=True)


def _arrow(x0: float, x1: float, y: float) -> Iterator[Item]:
    """A line with a head at both ends."""
    yield Path(layer="NOTE", curve=line((x0, y), (x1, y)), pen=THIN_PEN)
    for x, way in ((x0, _HEAD), (x1, -_HEAD)):
        head = ((x, y), (x + way, y + 0.5), (x + way, y - 0.5), (x, y))
        yield Path(layer="NOTE", curve=line(*head), closed=True, filled=True)
