"""Drawings inside the page as SVG: at true size on paper, as wide as the window on a screen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.quantities.papers import paper
from bladegeom.sheets.proof import thinned
from bladegeom.writers.svg import number

PX = 25.4 / 96
"""A CSS pixel, mm. Source: CSS Values and Units 3, absolute lengths."""

MARGIN = 10.0
"""Of the printed page, mm; own choice: what every printer leaves."""

_AROUND = 3.0
"""Round a drawing, mm."""

_HEAD = 38.0
"""What the heading and the lines under the drawing take of a printed page, mm."""

_PAPERS = (("A4", "Letter"), ("A3", "Tabloid"), ("A2", "ANSI C"), ("A1", "ANSI D"), ("A0", "ANSI E"))
"""Papers that take each other's place, lying, by size."""


@dataclass(frozen=True, kw_only=True)
class Canvas:
    """The rectangle that a drawing is shown in, a whole number of CSS pixels each way, so that no browser rounds it.

    Args:
        left: Its left border, mm in the drawing's frame.
        top: Its upper border, mm in the drawing's frame, y up.
        across: Width in CSS pixels.
        down: Height in CSS pixels.
    """

    left: float
    top: float
    across: int
    down: int

    @property
    def width(self) -> float:
        """In mm."""
        return self.across * PX

    @property
    def height(self) -> float:
        """In mm."""
        return self.down * PX

    @property
    def view_box(self) -> str:
        """As SVG has it, y down."""
        sides = (self.left, -self.top, self.width, self.height)
        return " ".join(number(side) for side in sides)


def canvas(items: Sequence[Item]) -> Canvas:
    """What just holds some items."""
    x0, y0, x1, y1 = Drawing(name="", items=tuple(items)).bounds
    across, down = (math.ceil((high - low + 2 * _AROUND) / PX) for low, high in ((x0, x1), (y0, y1)))
    left = (x0 + x1 - across * PX) / 2
    return Canvas(left=left, top=(y0 + y1 + down * PX) / 2, across=across, down=down)


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One drawing.

    Args:
        key: Its name in the page.
        title: What it is.
        words: What it shows, for those who do not see it.
        canvas: What it is shown in.
        items: Of it.
    """

    key: str
    title: str
    words: str
    canvas: Canvas
    items: tuple[Item, ...]


def proof_picture(key: str, title: str, words: str, items: Sequence[Item]) -> Figure:
    """A drawing that stands for itself, its curves in as few pieces as a screen can tell."""
    thin = tuple(thinned(items))
    return Figure(key=key, title=title, words=words, canvas=canvas(thin), items=thin)


@dataclass(frozen=True, kw_only=True)
class PrintPage:
    """The page that a drawing is printed on at true size.

    Args:
        words: Which papers take it.
        size: As CSS has it.
        is_usual: Whether it is what every printer takes; then the size is left to the printer.
    """

    words: str
    size: str
    is_usual: bool = False


def print_page(held: Canvas) -> PrintPage:
    """The smallest pair of papers either of which takes a drawing with its heading, lying."""
    for pair in _PAPERS:
        papers = [paper(name) for name in pair]
        across, down = min(paper_size.height for paper_size in papers), min(paper_size.width for paper_size in papers)
        if held.width <= across - 2 * MARGIN and held.height <= down - 2 * MARGIN - _HEAD:
            size, usual = f"{number(across)}mm {number(down)}mm", pair == _PAPERS[0]
            return PrintPage(words=f"{pair[0]} or {pair[1]}, lying", size=size, is_usual=usual)
    across, down = held.width + 2 * MARGIN, held.height + 2 * MARGIN + _HEAD
    return PrintPage(
        words=f"a roll, {across:.0f} by {down:.0f} mm: no sheet takes it", size=f"{number(across)}mm {number(down)}mm"
    )
