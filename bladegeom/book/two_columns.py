"""Blocks in two columns of even height, read down the left one first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.quantities.file_errors import ExportError

BETWEEN: Final = 8.0
"""The columns, mm."""

_GAP: Final = 4.0
"""Under a block, mm."""


def column_width(flow: ChapterFlow) -> float:
    """Of each of two columns, mm."""
    return (flow.width - BETWEEN) / 2


def two_columns(flow: ChapterFlow, blocks: Sequence[Sequence[Item]]) -> None:
    """Blocks from where the page is filled to; what it does not hold goes on to the next.

    Args:
        flow: The pages.
        blocks: Each with its left border at 0 and no wider than a column.

    Raises:
        ExportError: One is higher than a page.
    """
    drawn = [Drawing(name="", items=tuple(block)) for block in blocks]
    heights = [drawing.bounds[3] - drawing.bounds[1] + _GAP for drawing in drawn]
    while drawn:
        held = max((n for n in range(1, len(drawn) + 1) if _split(heights[:n])[1] <= flow.left), default=0)
        if not held:
            flow.begin()
            if heights[0] > flow.left:
                raise ExportError("a text is longer than a page: shorten what the order says, or name a larger paper")
            held = 1
        left, height = _split(heights[:held])
        for column, first, last in ((0, 0, left), (1, left, held)):
            y = flow.y
            for drawing, taken in zip(drawn[first:last], heights[first:last], strict=True):
                flow.add(*drawing.moved(flow.x + column * (column_width(flow) + BETWEEN), y - drawing.bounds[3]).items)
                y -= taken
        flow.y -= height
        drawn, heights = drawn[held:], heights[held:]


def _split(heights: Sequence[float]) -> tuple[int, float]:
    """How many stand on the left so that the higher column is as low as can be, and its height, mm."""
    return min(
        ((n, max(sum(heights[:n]), sum(heights[n:]))) for n in range(1, len(heights) + 1)), key=lambda pair: pair[1]
    )
