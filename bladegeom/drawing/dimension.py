"""Dimensions in rows above or below a section, each with its text in a column where no other line comes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, THIN_PEN, Item, Label, Path, Pen
from bladegeom.quantities.units import show_both

PITCH = 3.4
"""From one row to the next, mm."""

_TICK = 0.7
"""Half of the oblique stroke at each end, mm along both axes."""

_OVER = 0.8
"""By how much an extension line passes its row, mm."""


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """A distance along the section's x axis.

    Args:
        name: Of the number that it tells.
        words: Before the number.
        low: Where it begins, mm of the real thing.
        high: Where it ends; less than ``low`` for a number below 0.
        start: Height over the section's axis at which its extension lines begin, mm of the real thing.
    """

    name: str
    words: str
    low: float
    high: float
    start: float

    @property
    def value(self) -> float:
        """What it measures, mm."""
        return self.high - self.low

    @property
    def text(self) -> str:
        """Words and number in both units."""
        return f"{self.words} {show_both(self.value)}"


def dimension_rows(dimensions: Sequence[Dimension], scale: float, edge: float, right: float) -> Iterator[Item]:
    """Each in a row of its own, the first nearest to the section.

    Args:
        dimensions: In order.
        scale: Of the drawing.
        edge: Upper or lower border of the section on paper, mm; rows lie beyond it, away from the axis.
        right: Where the column of texts begins, mm on paper.
    """
    up = 1.0 if edge > 0 else -1.0
    for i, dimension in enumerate(dimensions, start=1):
        y = edge + up * i * PITCH
        yield from dimension_line(dimension, scale, y, up=up)
        end = scale * max(dimension.low, dimension.high)
        yield Path(layer="NOTE", curve=line((end, y), (right - 0.6, y)), pen=LEADER_PEN)
        yield Label(layer="NOTE", x=right, y=y - 0.4 * SMALL_TEXT, text=dimension.text, height=SMALL_TEXT)


def dimension_line(
    dimension: Dimension, scale: float, y: float, *, up: float, extension: Pen = LEADER_PEN
) -> Iterator[Path]:
    """One of them without its text.

    Args:
        dimension: What is measured.
        scale: Of the drawing.
        y: Height of the line on paper, mm.
        up: 1 above the section, -1 below it.
        extension: How the lines from the section are drawn.
    """
    ends = sorted((scale * dimension.low, scale * dimension.high))
    for x in ends:
        foot, top = (x, up * scale * abs(dimension.start)), (x, y + up * _OVER)
        yield Path(layer="NOTE", curve=line(foot, top), pen=extension)
        yield Path(layer="NOTE", curve=line((x - _TICK, y - _TICK), (x + _TICK, y + _TICK)), pen=THIN_PEN)
    yield Path(layer="NOTE", curve=line((ends[0], y), (ends[1], y)), pen=THIN_PEN)
