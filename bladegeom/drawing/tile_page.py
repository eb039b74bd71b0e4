"""The pages that a drawing is tiled over: what stands on each, and the window that is left for the drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from bladegeom.drawing.drawing import Drawing
from bladegeom.drawing.page_frame import CLEAR, block
from bladegeom.drawing.ruler import MARGIN, PRINT_WORDS, bars
from bladegeom.drawing.seams import MOST, OVERLAP
from bladegeom.drawing.tile_marks import BAND, MAP
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.unit_order import in_order
from bladegeom.quantities.units import MM_PER_INCH

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

JOINED = (150.0, 100.0, 50.0)
"""Lengths of the bar over a seam, mm: the first that the pages hold."""

BAR_APART = 6.0
"""Between two such bars, mm."""


@dataclass(frozen=True)
class TilePage:
    """What stands on every page, and the window that is left.

    Args:
        paper: The sheet.
        lies: Whether the pages lie or stand.
        head: Title and lines above the window.
        foot: Lines below it.
    """

    paper: Paper
    lies: bool
    head: tuple[str, ...]
    foot: tuple[str, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Of a page, mm."""
        return (self.paper.height, self.paper.width) if self.lies else (self.paper.width, self.paper.height)

    @cached_property
    def rulers(self) -> tuple[Drawing, Drawing]:
        """The bars, lower right."""
        return bars(*self.size, "right")

    @cached_property
    def notes(self) -> Drawing:
        """The lines of the foot: beside the lying bars, or over them where that takes less height."""
        lying, standing = self.rulers
        words = (*PRINT_WORDS, *self.foot)
        beside, over = (
            block(words, MARGIN, 0.0, x - CLEAR - MARGIN, titled=False) for x in (lying.bounds[0], standing.bounds[0])
        )
        high = lying.bounds[3] + CLEAR
        if MARGIN - beside.bounds[1] <= high - over.bounds[1]:
            return beside.moved(0.0, MARGIN - beside.bounds[1])
        return over.moved(0.0, high - over.bounds[1])

    def above(self, page: str) -> Drawing:
        """The lines of the head, with those of one page."""
        width, height = self.size
        title, *lines = self.head
        room = width - 2 * MARGIN - MAP[0] - CLEAR
        return block((title, page, *lines), MARGIN, height - MARGIN, room, titled=True)

    @cached_property
    def window(self) -> Box:
        """What is left of a page for the drawing."""
        longest = self.words(MOST, MOST, {"W": 12, "X": 12}, JOINED[:2])
        top = min(self.above(longest).bounds[1], self.size[1] - MARGIN - MAP[1]) - CLEAR
        lying, standing = self.rulers
        return MARGIN, max(lying.bounds[3], self.notes.bounds[3]) + CLEAR, standing.bounds[0] - CLEAR, top

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of that, mm."""
        x0, y0, x1, y1 = self.window
        return x1 - x0, y1 - y0

    def joined(self, axis: int) -> float:
        """Length of the bar over a seam across x (0) or y (1), mm: one that fits between two seams."""
        return next(size for size in JOINED if size + BAR_APART + OVERLAP <= self.room[axis])

    @property
    def holds_something(self) -> bool:
        """Whether the shortest bar over a seam fits between two of them, along both axes."""
        return min(self.room) >= JOINED[-1] + BAR_APART + OVERLAP

    def words(self, page: int, pages: int, over: Mapping[str, int], bars_mm: Sequence[float]) -> str:
        """What to do with a page that goes over others at the named seams; the bars over those seams.

        It is called a tile: pages of a book that it is bound into have numbers of their own.
        """
        if not over:
            return f"Tile {page} of {pages}: leave it whole; the others go over it."
        laid = " and ".join(
            f"over tile {other} so that {name}1 lies on {name}1 and {name}2 on {name}2" for name, other in over.items()
        )
        passed = " and ".join(_band(length) for length in dict.fromkeys(bars_mm))
        measured = f" Then measure the bar over the seam: {passed}." if passed else ""
        return f"Tile {page} of {pages}: cut along the trim line, lay it {laid}, tape it.{measured}"


def _band(length: float) -> str:
    low, high = (length * (1 + sign * BAND) for sign in (-1, 1))
    inches = " to ".join(f"{v / float(MM_PER_INCH):.3f}" for v in (low, high))
    return f"{length:g} mm must read {in_order(f'{low:g} to {high:g} mm', f'{inches} in')}"
