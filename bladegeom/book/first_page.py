"""The knife on one page, to be pinned over the bench: its view, its sections, and every number that is worked to.

Lists that the page does not hold are cut, the longest first, and say which chapter has the rest. Where long remarks
leave too little even so, the view is drawn smaller, and then the page goes on to a second one.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from functools import partial
from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.first_layout import GAP, VIEWS, FirstLayout
from bladegeom.book.shortened import shortened
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_length

_NARROWEST: Final = 188.0
"""Least width, mm: A4 for a printer whose bars measure 90 mm. On much less, sections do not stand beside the holes."""


def first_page(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The knife on one page, or on two where one does not hold it, of the first of some papers.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of the page.

    Raises:
        ExportError: The paper is much narrower than A4, or name and remarks leave no room.
    """
    if papers[0].width < _NARROWEST:
        raise ExportError(
            f"the first page of the book stands on paper from {show_length(_NARROWEST)} of width, and {papers[0].name} "
            f"has {show_length(papers[0].width)}: name a larger paper, such as A4 or Letter"
        )
    flow = ChapterFlow(papers[0], "The knife", design.title, remarks)
    flow.begin()
    layout = _layout(design, flow)
    if _least(layout) <= flow.left:
        lists = shortened(layout.lists, layout.height, flow.left)
        free = flow.left - layout.height(lists)
    else:
        # Head and remarks stand on the second page too.
        lists = shortened(layout.lists, partial(layout.height_over_two, left=flow.left), 2 * flow.left)
        free = 0.0
    for items in layout.drawn(lists, free):
        flow.block(items, gap=GAP)
    return flow.sheets()


def _layout(design: Design, flow: ChapterFlow) -> FirstLayout:
    """Sections over all of the page's width where that cuts no list; a smaller view where one page needs it."""
    left, right = flow.x, flow.x + flow.width
    wide, narrow = (FirstLayout(design, left, right, flow.room, is_wide) for is_wide in (True, False))
    if wide.height(wide.lists) <= flow.left:
        return wide
    smaller = (dataclasses.replace(narrow, view=view) for view in VIEWS)
    return next((layout for layout in smaller if _least(layout) <= flow.left), narrow)


def _least(layout: FirstLayout) -> float:
    """Height that it takes with no row of any list, mm."""
    return layout.height({name: each.by(-each.shown) for name, each in layout.lists.items()})
