"""Sections on pages: on as few as hold them, whole where that takes no page more, and the pages evenly_filled alike."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Sequence

from bladegeom.drawing.page_flow import PageFlow

Section = Callable[[PageFlow], None]
"""Draws a section on a flow; the same on each that is like it."""


def evenly_filled(flow: PageFlow, sections: Sequence[Section]) -> PageFlow:
    """A flow with sections drawn on it, one below the other.

    Each section in turn is tried as the first of a page, so that the last page is not left with a few lines. What no
    number of pages holds whole is split; the last section never is, unless it is longer than a page.

    Args:
        flow: That is begun, with nothing on top of each page; it stays as it is.
        sections: To draw, in order.
    """
    none = len(sections)
    ways = [_laid(flow, sections, is_whole=True, ahead_of=i) for i in range(none + 1)]
    ways.append(_laid(flow, sections, is_whole=False, ahead_of=none))
    return min(ways, key=lambda way: (len(way[0].pages), way[1]))[0]


def _laid(flow: PageFlow, sections: Sequence[Section], *, is_whole: bool, ahead_of: int) -> tuple[PageFlow, float]:
    """With one of the sections at the head of a page; and how ill the pages are evenly_filled, mm2."""
    trial = dataclasses.replace(flow, pages=[list(page) for page in flow.pages])
    ill = 0.0
    for i, draw in enumerate(sections):
        pages, left = len(trial.pages), trial.left
        if i == ahead_of:
            trial.begin()
        if is_whole or i == len(sections) - 1:
            trial.keep(draw)
        else:
            draw(trial)
        ill += left**2 if len(trial.pages) > pages else 0.0
    return trial, ill + trial.left**2 if is_whole else math.inf
