"""Names with lines to write on behind them, side by side over the whole page."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import BLANK_HEIGHT, written_line
from bladegeom.drawing.drawing import Label
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.lettering import text_width

_APART = 3.0
"""Between a line and the next name, mm."""


def blank_row(flow: ChapterFlow, names: Sequence[str], *, among: int = 0) -> None:
    """One row from where the page is filled to.

    Args:
        flow: The pages.
        names: Each with its line.
        among: How many would fill the row; 0 takes those that there are.
    """
    flow.fit(BLANK_HEIGHT)
    flow.y -= BLANK_HEIGHT
    each = flow.width / (among or len(names))
    for i, name in enumerate(names):
        x = flow.x + i * each
        end = flow.x + flow.width if i + 1 == (among or len(names)) else x + each - _APART
        flow.add(Label(layer="NOTE", x=x, y=flow.y, text=name, height=TEXT))
        flow.add(written_line(x + text_width(name, TEXT) + 2.0, flow.y - 0.6, end))
    flow.y -= 2.0
