"""The blade as the job card shows it: reduced so that it fits, without words but the scale."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from typing import Final

from bladegeom.curves.curve import Curve
from bladegeom.cutfile.scribe_lines import scribe_lines
from bladegeom.drawing.drawing import CUT_PEN, Circle, Item, Label, Path
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.knife import Knife
from bladegeom.sheets.template import hole_mark
from bladegeom.sheets.zone_marks import zone_marks

_SCALES: Final = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
"""Of a drawing; where none will do, the next whole number."""


def card_view(knife: Knife, width: float, height: float) -> tuple[tuple[Item, ...], str]:
    """Outline, holes, scribed lines and zones in mm of the page, and the words of the scale.

    Args:
        knife: The design.
        width: Of the room, mm.
        height: Of the room, mm.
    """
    x0, y0, x1, y1 = knife.outline.bounds
    least = max((x1 - x0) / width, (y1 - y0) / height)
    by = next((scale for scale in _SCALES if scale >= least), float(math.ceil(least)))
    size = "at true size" if by == 1 else f"reduced, at 1 : {by:g}"
    words = f"Right face, printed {size}. Do not measure here: the template sheet and the cut file have the true size."
    return tuple(_sized(item, 1 / by) for item in view_items(knife)), words


def view_items(knife: Knife) -> Iterator[Item]:
    """The right face at true size, without words: outline, holes, scribed lines and zones."""
    drawn = (*scribe_lines(knife), *(item for hole in cut_holes(knife) for item in hole_mark(hole)), *zone_marks(knife))
    # Text would be reduced to what nobody can read.
    yield from (item for item in drawn if not isinstance(item, Label))
    yield Path(layer="CUT", curve=knife.outline.loop, closed=True, pen=CUT_PEN)


def _sized(item: Item, by: float) -> Item:
    if isinstance(item, Path):
        return dataclasses.replace(item, curve=_curve(item.curve, by))
    if isinstance(item, Circle):
        return dataclasses.replace(item, x=by * item.x, y=by * item.y, radius=by * item.radius)
    return dataclasses.replace(item, x=by * item.x, y=by * item.y)


def _curve(curve: Curve, by: float) -> Curve:
    return curve.transformed([[by, 0.0, 0.0], [0.0, by, 0.0]])
