"""Putting a drawing on one page at true size, with its title, its notes and the ruler bars that prove the size."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.drawing.drawing import Drawing, Sheet
from bladegeom.drawing.footprint import Footprint
from bladegeom.drawing.page_frame import CLEAR, PageFrame, Side, beside_flat, beside_turned
from bladegeom.drawing.ruler import MARGIN, PRINT_WORDS
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_length

_STEPS = 13
"""The piece is tried at this many places along each axis."""

_FINE = 121
"""And at this many up and down where it is to stand as high as may be."""

_SIDEWAYS = 0.2
"""What is to stand high moves a millimetre to the right only where it gets up by more than this, mm."""

_EACH = (24, 6)
"""One of so many corners is tried before the whole shapes: few at all places, more at those that are left."""

_AT_ONCE = 64
"""Places tried at a time: the first is most often free, and at once they take a tenth of the time."""


@dataclass(frozen=True, kw_only=True, eq=False)
class PagePiece:
    """A drawing with the words of its page, worked out once for whatever papers it goes on.

    Args:
        drawing: In any frame.
        head: Title and lines above it.
        foot: Lines below it, or beside it where it is turned; those about the bars come before them.
        turns: Whether it may be turned at all; else it stands right under the head.
    """

    drawing: Drawing
    head: tuple[str, ...]
    foot: tuple[str, ...]
    turns: bool = False

    def on(self, paper: Paper) -> Sheet | None:
        """At true size on one page, lying rather than standing, flat rather than turned; None if nowhere."""
        if paper not in self._sheets:
            self._sheets[paper] = self._placed(paper)
        return self._sheets[paper]

    @cached_property
    def _sheets(self) -> dict[Paper, Sheet | None]:
        """On each paper that was asked for: a page of an export stands in the job card too."""
        return {}

    @cached_property
    def _footprint(self) -> Footprint:
        return Footprint(self.drawing)

    def _placed(self, paper: Paper) -> Sheet | None:
        for width, height, turns, page in self._pages(paper):
            if not page.is_clear(width, height):
                continue
            place = self._place((width, height), turns, page)
            if place is not None:
                angle, dx, dy = place
                items = self.drawing.turned(angle).moved(dx, dy).items
                whole = Drawing(name=self.drawing.name, items=(*page.items, *items))
                return Sheet(width=width, height=height, drawing=whole)
        return None

    def _pages(self, paper: Paper) -> Iterator[tuple[float, float, list[float], PageFrame]]:
        """Frames for a lying and for a standing page and the turns of the piece, flat pieces first."""
        sizes, head, foot = ((paper.height, paper.width), (paper.width, paper.height)), self.head, self.foot
        words = (*PRINT_WORDS, *foot)
        for width, height in sizes:
            if self._footprint.lies(width, height):
                for page in beside_flat(width, height, head, words):
                    yield width, height, [0.0], page
        sides: tuple[tuple[Side, float], ...] = (("left", -1.0), ("right", 1.0))
        for (width, height), (low, sign) in itertools.product(sizes, sides) if self.turns else ():
            if turns := self._footprint.turns(width, height, sign):
                for page in beside_turned(width, height, head, words, low):
                    yield width, height, turns, page

    def _place(
        self, size: tuple[float, float], turns: Sequence[float], page: PageFrame
    ) -> tuple[float, float, float] | None:
        """Turn in degrees and shift in mm to a free place, as high as may be or as near to the page's middle."""
        taken = page.taken.buffer(CLEAR, quad_segs=2)
        shapely.prepare(taken)
        for angle in turns:
            hull = self._footprint.turned_hull(angle)
            low = hull.min(axis=0)
            slack = np.array(size) - 2 * MARGIN - (hull.max(axis=0) - low)
            offsets = _tried(slack, high=not self.turns) + MARGIN - low
            place = _first_free(self._footprint.turned(angle, snug=page.snug), offsets, taken)
            if place is not None:
                return angle, float(place[0]), float(place[1])
        return None


def on_smallest(versions: Sequence[PagePiece], papers: Sequence[Paper]) -> tuple[Paper, Sheet]:
    """The first of some papers that takes a piece on one page, in the first of its versions that fits.

    Raises:
        ExportError: None does; both sizes are named.
    """
    for paper, piece in itertools.product(papers, versions):
        sheet = piece.on(paper)
        if sheet is not None:
            return paper, sheet
    drawing, largest = versions[-1].drawing, papers[-1]
    x0, y0, x1, y1 = drawing.bounds
    raise ExportError(
        f"{drawing.name} with its notes is {show_length(x1 - x0)} by {show_length(y1 - y0)}: too large for one page of "
        f"{largest.name}, {largest.width:g} by {largest.height:g} mm; name a larger paper"
    )


def each_on_smallest(pieces: Sequence[PagePiece], papers: Sequence[Paper]) -> tuple[Sheet, ...]:
    """A page for each piece, on the first of some papers that takes it.

    Raises:
        ExportError: One fits none of them; both sizes are named.
    """
    return tuple(on_smallest((piece,), papers)[1] for piece in pieces)


def _tried(slack: FloatArray, *, high: bool) -> FloatArray:
    """Shifts within what a page leaves free, the best first, shape (n, 2), mm."""
    wanted = slack * (0.0, 1.0) if high else slack / 2
    steps = (_STEPS, _FINE if high else _STEPS)
    x, y = (np.linspace(0.0, s, n) for s, n in zip(slack, steps, strict=True))
    offsets = np.stack([np.repeat(x, len(y)), np.tile(y, len(x))], axis=1)
    off = np.abs(offsets - wanted) @ ((_SIDEWAYS, 1.0) if high else (1.0, 1.0))
    return np.asarray(offsets[np.argsort(off, kind="stable")])


def _not_surely_over(shape: BaseGeometry, offsets: FloatArray, taken: BaseGeometry) -> FloatArray:
    """Shifts by which no corner of either comes to lie in the other, so far as a few of them tell.

    Most of a thousand turns are ruled out so, in a fraction of the time of asking the whole shapes.
    """
    shapely.prepare(shape)
    theirs, own = shapely.get_coordinates(taken), shapely.get_coordinates(shape)
    for step in _EACH:
        places = theirs[::step] - offsets[:, None]
        offsets = offsets[~shapely.contains_xy(shape, places[..., 0], places[..., 1]).any(axis=1)]
        places = own[::step] + offsets[:, None]
        offsets = offsets[~shapely.contains_xy(taken, places[..., 0], places[..., 1]).any(axis=1)]
    return offsets


def _first_free(shape: BaseGeometry, offsets: FloatArray, taken: BaseGeometry) -> FloatArray | None:
    """The first of some shifts by which a shape keeps off what is taken."""
    offsets = _not_surely_over(shape, offsets, taken)
    count = shapely.count_coordinates(shape)
    for first in range(0, len(offsets), _AT_ONCE):
        some = offsets[first : first + _AT_ONCE]
        copies = np.full(len(some), shape, dtype=object)
        moved = shapely.transform(copies, np.repeat(some, count, axis=0).__add__)
        free = ~shapely.intersects(moved, taken)
        if free.any():
            return np.asarray(some[int(free.argmax())])
    return None
