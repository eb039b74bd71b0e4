"""A drawing on several pages of one size, to be joined: the same curves on each, cut off where a page ends."""

from __future__ import annotations

import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry.base import BaseGeometry

from bladegeom.drawing.drawing import Circle, Drawing, Item, Label, Path, Sheet, Window
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.seams import MOST, OVERLAP, Span, seams
from bladegeom.drawing.tile_marks import Seam, joined_bar, page_map, taken_by
from bladegeom.drawing.tile_page import BAR_APART, Box, TilePage
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_length

LONGEST = 1200.0
"""What is longer is not joined from pages, mm; own choice: every joint adds its error."""

_BELOW, _ABOVE = 24.0, 13.0
"""Room for bar and crosshairs below, and for crosshairs above, what is drawn, mm."""

_LINE = 0.5
"""No line is drawn wider than that to one side, mm."""

_BAR_DOWN = 6.0
"""From what is drawn to the bar over a seam, mm."""

_HOLE_FREE = 1.5
"""Kept between an overlap and a hole, mm: the hole's cross reaches 1 mm beyond its border."""


def on_tiles(
    drawing: Drawing, paper: Paper, head: Sequence[str], foot: Sequence[str], *, whole: Sequence[Box] = ()
) -> tuple[Sheet, ...]:
    """The drawing at true size on several pages, all lying or all standing, whichever needs fewer.

    Args:
        drawing: In any frame, not turned.
        paper: The sheet.
        head: Title and lines for the head of every page.
        foot: Lines for its foot; those about the bars come before them.
        whole: Boxes through which no seam may run; holes of the drawing are looked for here.

    Raises:
        ExportError: It is longer than 1.2 m, takes more than 12 pages, or no seam finds a place.
    """
    found = tiles_or_why(drawing, paper, head, foot, whole=whole)
    if isinstance(found, str):
        raise ExportError(found)
    return found


def tiles_or_why(
    drawing: Drawing, paper: Paper, head: Sequence[str], foot: Sequence[str], *, whole: Sequence[Box] = ()
) -> tuple[Sheet, ...] | str:
    """The same, or in words why there are none."""
    x0, y0, x1, y1 = drawing.bounds
    kept = (*whole, *_holes(drawing))
    size = f"{drawing.name} is {show_length(x1 - x0)} by {show_length(y1 - y0)}"
    if max(x1 - x0, y1 - y0) > LONGEST:
        return (
            f"{size}: pages are joined up to {show_length(LONGEST)}; have it printed in one piece, or name a larger "
            "paper"
        )
    pages = [TilePage(paper, lies, tuple(head), tuple(foot)) for lies in (True, False)]
    pages = [page for page in pages if page.holds_something]
    if not pages:
        return f"{size}: its notes leave no room for it on {paper.name}; name a larger paper"
    found = [tiling for page in pages if (tiling := _tiling(drawing, page, kept))]
    if not found:
        return (
            f"{size}: {MOST} pages of {paper.name} do not hold it with seams that keep clear of holes and plunge line; "
            "name a larger paper"
        )
    return min(found, key=lambda tiling: len(tiling.boxes)).sheets


def _holes(drawing: Drawing) -> Iterator[Box]:
    """Boxes about everything that is drilled, or cut within something else that is cut."""
    cut = [item for item in drawing.items if isinstance(item, Circle | Path) and item.layer in ("CUT", "DRILL")]
    boxes = Drawing(name="", items=tuple(cut)).boxes.tolist() if cut else []
    for item, (x0, y0, x1, y1) in zip(cut, boxes, strict=True):
        within = any(a < x0 and b < y0 and c > x1 and d > y1 for a, b, c, d in boxes)
        if item.layer == "DRILL" or within:
            yield x0 - _HOLE_FREE, y0 - _HOLE_FREE, x1 + _HOLE_FREE, y1 + _HOLE_FREE


def _tiling(drawing: Drawing, page: TilePage, whole: Sequence[Box]) -> _Tiling | None:
    """The drawing on as few pages of one kind as may be; None where 12 do not do."""
    words = [box for box, item in zip(drawing.boxes.tolist(), drawing.items, strict=True) if isinstance(item, Label)]
    bounding_box = _bounding_box(drawing, page)
    grid = []
    for axis in (0, 1):
        spans = [[(box[axis], box[axis + 2]) for box in boxes] for boxes in (whole, words)]
        apart = page.joined(axis) + BAR_APART
        grid.append(seams((bounding_box[axis], bounding_box[axis + 2]), page.room[axis], apart, *spans))
    columns, rows = grid
    if columns is None or rows is None or (len(columns) + 1) * (len(rows) + 1) > MOST:
        return None
    return _Tiling(drawing, page, bounding_box, (columns, rows))


def _bounding_box(drawing: Drawing, page: TilePage) -> Box:
    """The drawing with room for the width of its lines and for the marks about it, mm."""
    x0, y0, x1, y1 = drawing.bounds
    x0, y0, x1, y1 = x0 - _LINE, y0 - _LINE, x1 + _LINE, y1 + _LINE
    wide = tall = False
    for _ in range(2):
        wide = wide or x1 - x0 + (_BELOW + _ABOVE if tall else 0.0) > page.room[0]
        tall = tall or y1 - y0 + (_BELOW + _ABOVE if wide else 0.0) > page.room[1]
    if tall:
        x0, x1 = x0 - _BELOW, x1 + _ABOVE
    if wide:
        y0, y1 = y0 - _BELOW, y1 + _ABOVE
    return x0, y0, x1, y1


@dataclass(frozen=True)
class _Tiling:
    """A drawing, its seams, and the pages.

    Args:
        drawing: What is tiled.
        page: What stands on every page.
        bounding_box: The drawing with its marks, mm.
        grid: Seams across x, from left to right, and across y, from the lowest up.
    """

    drawing: Drawing
    page: TilePage
    bounding_box: Box
    grid: tuple[Sequence[float], Sequence[float]]

    @cached_property
    def boxes(self) -> list[Box]:
        """What each page shows: row by row from the top, each from the left."""
        columns, rows = (
            [(a, b) for a, b in zip(lows, highs, strict=True)]
            for lows, highs in (
                (
                    (self.bounding_box[axis], *(at - OVERLAP / 2 for at in self.grid[axis])),
                    (*(at + OVERLAP / 2 for at in self.grid[axis]), self.bounding_box[axis + 2]),
                )
                for axis in (0, 1)
            )
        )
        return [(x0, y0, x1, y1) for y0, y1 in reversed(rows) for x0, x1 in columns]

    @cached_property
    def seams(self) -> dict[tuple[int, int], Seam]:
        """The seam between two neighbouring pages, by their indices."""
        columns, names = len(self.grid[0]) + 1, iter(string.ascii_uppercase)
        out = {}
        for i, (_, y0, x1, y1) in enumerate(self.boxes):
            if (i + 1) % columns:
                out[i, i + 1] = Seam(
                    next(names), upright=True, at=x1 - OVERLAP / 2, span=_inner(y0, y1, self.bounding_box, 1)
                )
        for i, (x0, y0, x1, _) in enumerate(self.boxes[: len(self.boxes) - columns]):
            seam = Seam(next(names), upright=False, at=y0 + OVERLAP / 2, span=_inner(x0, x1, self.bounding_box, 0))
            out[i, i + columns] = seam
        return out

    @cached_property
    def marked(self) -> Drawing:
        """The drawing with bars and crosshairs: whatever two pages share is one and the same item."""
        x0, y0, _, _ = self.drawing.bounds
        items: list[Item] = list(self.drawing.items)
        for (i, _), seam in self.seams.items():
            bar = joined_bar(self.page.joined(0 if seam.upright else 1), seam.name)
            if self._has_bar(i, seam):
                up = seam.upright
                at = (seam.at, y0 - _BAR_DOWN) if up else (x0 - _BAR_DOWN, seam.at)
                items += bar.turned(0.0 if up else 90.0).moved(*at).items
        taken = taken_by(items)
        for seam in self.seams.values():
            items += seam.crosshairs(taken)
        return Drawing(name=self.drawing.name, items=tuple(items))

    @cached_property
    def _taken(self) -> BaseGeometry:
        """Everything that a trim line's words keep off."""
        return taken_by(self.marked.items)

    def _has_bar(self, i: int, seam: Seam) -> bool:
        """Whether a bar crosses the seam behind a page: one for each seam of the lowest row and of the left column."""
        columns = len(self.grid[0]) + 1
        return i >= len(self.boxes) - columns if seam.upright else i % columns == 0

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """All pages."""
        return tuple(self._sheet(i) for i in range(len(self.boxes)))

    def _sheet(self, i: int) -> Sheet:
        width, height = self.page.size
        x0, y0, x1, y1 = self.boxes[i]
        left, low, right, top = self.page.window
        dx, dy = (left + right - x0 - x1) / 2, (low + top - y0 - y1) / 2
        before = {a: seam for (a, b), seam in self.seams.items() if b == i}
        trims = Drawing(name="", items=tuple(item for seam in before.values() for item in seam.trim(self._taken)))
        over = {seam.name: a + 1 for a, seam in before.items()}
        lengths = [self.page.joined(0 if seam.upright else 1) for a, seam in before.items() if self._has_bar(a, seam)]
        words = self.page.words(i + 1, len(self.boxes), over, lengths)
        shown = page_map(
            len(self.grid[0]) + 1, len(self.grid[1]) + 1, i + 1, self.page.size, (width - MARGIN, height - MARGIN)
        )
        drawn = (self.page.above(words), self.page.notes, *self.page.rulers, shown, trims.moved(dx, dy))
        items = tuple(item for drawing in drawn for item in drawing.items)
        window = Window(box=(x0 + dx, y0 + dy, x1 + dx, y1 + dy), drawing=self.marked.moved(dx, dy))
        return Sheet(
            width=width, height=height, drawing=Drawing(name=self.drawing.name, items=items), windows=(window,)
        )


def _inner(low: float, high: float, bounding_box: Box, axis: int) -> Span:
    """A stretch without the overlaps at its ends, in which other seams run."""
    return (
        low + (OVERLAP if low > bounding_box[axis] else 0.0),
        high - (OVERLAP if high < bounding_box[axis + 2] else 0.0),
    )
