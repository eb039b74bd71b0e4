"""The knife on one page, to be pinned over the bench: its view, its sections, and every number that is worked to.

The page is always one. Lists that it does not hold are cut, the longest first, and say which chapter has the rest.
"""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.first_layout import GAP, FirstLayout
from bladegeom.book.shortened import shortened
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.quantities.papers import Paper


def first_page(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The knife on one page, of the first of some papers.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of the page.

    Raises:
        ExportError: Name and remarks leave no room.
    """
    flow = ChapterFlow(papers[0], "The knife", design.title, remarks)
    flow.begin()
    layout = _layout(design, flow)
    lists = shortened(layout.lists, layout.height, flow.left)
    for items in layout.drawn(lists, flow.left):
        flow.block(items, gap=GAP)
    return flow.sheets()


def _layout(design: Design, flow: ChapterFlow) -> FirstLayout:
    """With the sections over all of the page's width where that cuts no list."""
    left, right = flow.x, flow.x + flow.width
    wide, narrow = (FirstLayout(design, left, right, flow.room, is_wide) for is_wide in (True, False))
    return wide if wide.height(wide.lists) <= flow.left else narrow
