"""What stands on a page beside the piece: title, notes and ruler bars, and where they leave room."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.drawing.drawing import Drawing, Item, Label
from bladegeom.drawing.ruler import MARGIN, bars
from bladegeom.quantities.lettering import wrapped

CLEAR = 3.0
"""Kept free between the piece and everything else on the page, mm."""

_TITLE, _TEXT = 4.0, 2.4
"""Heights of the title and of the other lines, mm."""

_LEADING = 1.5
"""From one base line to the next, in heights of the text."""

_BELOW_TITLE = 0.8
"""More than that, mm."""

_COLUMNS = (0.6, 0.5, 0.42, 0.35)
"""Widths of the text beside a turned piece, as a part of the page's, from the best to read."""

_NOTES = (0.42, 0.34, 0.27)
"""Widths of the lower lines where they stand between the bars."""

_LEAST_FOOT = 12.0
"""What the lying bar takes at least, mm."""

Side = Literal["left", "right"]


@dataclass(frozen=True)
class PageFrame:
    """Everything on a page beside the piece.

    Args:
        rulers: The pairs of bars.
        texts: Blocks of text.
        snug: Whether a text may stand in a bay of the piece.
    """

    rulers: tuple[Drawing, ...]
    texts: tuple[Drawing, ...]
    snug: bool

    @property
    def items(self) -> tuple[Item, ...]:
        """All of it."""
        return tuple(item for drawing in (*self.texts, *self.rulers) for item in drawing.items)

    @cached_property
    def taken(self) -> BaseGeometry:
        """Room that it takes."""
        boxes = [Polygon(item.corners) for text in self.texts for item in text.items if isinstance(item, Label)]
        return shapely.union_all([*boxes, *(shapely.box(*ruler.bounds) for ruler in self.rulers)])

    def is_clear(self, width: float, height: float) -> bool:
        """Whether all of it lies within what a printer reaches, and the texts keep off each other and off the bars."""
        parts = [shapely.box(*drawing.bounds) for drawing in (*self.texts, *self.rulers) if drawing.items]
        reach = shapely.box(MARGIN, MARGIN, width - MARGIN, height - MARGIN).buffer(1e-6)
        apart = not any(a.intersects(b) for a, b in itertools.combinations(parts, 2))
        return apart and all(part.within(reach) for part in parts)


def beside_flat(width: float, height: float, head: Sequence[str], foot: Sequence[str]) -> Iterator[PageFrame]:
    """For a piece that lies flat: head above, foot and bars below, the bars at the right or else at the left."""
    sides: tuple[Side, ...] = ("right", "left")
    for side in sides:
        rulers = bars(width, height, side)
        (x0, _, x1, _), standing = rulers[0].bounds, rulers[1].bounds
        left, right = (MARGIN, x0 - CLEAR) if side == "right" else (x1 + CLEAR, width - MARGIN)
        above = block(
            head, MARGIN, height - MARGIN, width - 2 * MARGIN - (standing[2] - standing[0]) - CLEAR, titled=True
        )
        below = block(foot, left, height, right - left, titled=False)
        yield PageFrame(rulers, (above, below.moved(0.0, MARGIN - below.bounds[1])), snug=False)


def least_taken(head: Sequence[str]) -> float:
    """Height that margins, head, and the lying bar take of a page at least over and under a piece as wide as it, mm."""
    return 2 * MARGIN + _TITLE + (len(head) - 1) * _TEXT * _LEADING + 2 * CLEAR + _LEAST_FOOT


def beside_turned(
    width: float, height: float, head: Sequence[str], foot: Sequence[str], low: Side
) -> Iterator[PageFrame]:
    """For a piece on a diagonal, which leaves two corners free: bars low at one side, text high at the other."""
    top, inner = height - MARGIN, width - 2 * MARGIN
    rulers = bars(width, height, low)
    for share in _COLUMNS[:2]:
        whole = _flush(block((*head, *foot), MARGIN, top, share * inner, titled=True), width, low)
        yield PageFrame(rulers, (whole,), snug=True)
    lying, standing = rulers
    for share, lower in itertools.product(_COLUMNS, _NOTES):
        above = _flush(block(head, MARGIN, top, share * inner, titled=True), width, low)
        notes = block(foot, 0.0, 0.0, lower * inner, titled=False)
        x0, y0, x1, _ = notes.bounds
        x = standing.bounds[2] + CLEAR - x0 if low == "left" else standing.bounds[0] - CLEAR - x1
        between = notes.moved(x, lying.bounds[3] + CLEAR - y0)
        yield PageFrame(rulers, (above, between), snug=True)


def _flush(text: Drawing, width: float, low: Side) -> Drawing:
    """Text at the right border where the bars are at the left one."""
    return text.moved(width - MARGIN - text.bounds[2], 0.0) if low == "left" else text


def block(lines: Sequence[str], left: float, top: float, width: float, *, titled: bool) -> Drawing:
    """Lines of text from a top downwards, wrapped to a width."""
    out: list[Label] = []
    y = top
    for i, text in enumerate(lines):
        bold = titled and i == 0
        size = _TITLE if bold else _TEXT
        for part in wrapped(text, size, width, bold=bold):
            y -= size * (_LEADING if out else 1.0)
            if out and out[-1].bold and not bold:
                y -= _BELOW_TITLE
            out.append(Label(layer="NOTE", x=left, y=y, text=part, height=size, bold=bold))
    return Drawing(name="", items=tuple(out))
