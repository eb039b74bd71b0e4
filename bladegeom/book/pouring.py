"""Columns of bricks beside each other that go on from page to page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bladegeom.book.brick import Brick, height_of, held, placed
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.quantities.file_errors import ExportError


def pour(flow: PageFlow, columns: Iterable[tuple[float, Sequence[Brick]]]) -> None:
    """Put columns on as many pages as they need; each goes on where it ended.

    Args:
        flow: The pages.
        columns: Left border of each on the page, mm, and what stands in it.

    Raises:
        ExportError: A brick is higher than a page.
    """
    left, began = list(columns), -1.0
    while any(bricks for _, bricks in left):
        counts = [held(bricks, flow.left) for _, bricks in left]
        if not any(counts):
            if flow.left == began:
                raise ExportError("a chapter has a part that no page holds: shorten its words, or name a larger paper")
            flow.begin()
            began = flow.left
            continue
        shown = [bricks[:count] for (_, bricks), count in zip(left, counts, strict=True)]
        for (x, _), bricks in zip(left, shown, strict=True):
            flow.add(*placed(bricks, x, flow.y))
        flow.y -= max(map(height_of, shown))
        left = [(x, bricks[count:]) for (x, bricks), count in zip(left, counts, strict=True)]
