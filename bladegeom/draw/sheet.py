"""Putting a drawing on paper at true size, with its title, its notes and the ruler bars that prove the size."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import rotation
from bladegeom.draw.drawing import Drawing, Item, Label, Sheet
from bladegeom.draw.ruler import bars
from bladegeom.quantities.errors import ExportError
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.tables import Paper
from bladegeom.quantities.units import show_length

MARGIN = 10.0
"""Printers cannot reach the outermost 10 mm; common practice, no source."""

_CLEAR = 3.0
"""Kept free between the piece and everything else on the page, mm."""

_STEPS = 13
"""The piece is tried at this many places along each axis."""

_FINE = 121
"""And at this many up and down where it is to stand as high as may be."""

_SIDEWAYS = 0.2
"""What is to stand high moves a millimetre to the right only where it gets up by more than this, mm."""

_TITLE, _TEXT = 4.0, 2.4
"""Heights of the title and of the other lines, mm."""

_LEADING = 1.5
"""From one base line to the next, in heights of the text."""

_BELOW_TITLE = 0.8
"""More than that, mm."""

_COLUMN = 0.6
"""Width of the text beside a turned piece, as a part of the page's."""


@dataclass(frozen=True)
class _Page:
    """What stands on a page beside the piece, and the angles at which the piece may lie."""

    rulers: tuple[Drawing, ...]
    texts: tuple[Drawing, ...]
    angles: Sequence[float]

    @property
    def items(self) -> tuple[Item, ...]:
        """All of it."""
        return tuple(item for drawing in (*self.texts, *self.rulers) for item in drawing.items)

    @cached_property
    def taken(self) -> BaseGeometry:
        """Room that it takes."""
        boxes = [Polygon(item.corners) for text in self.texts for item in text.items if isinstance(item, Label)]
        return shapely.union_all([*boxes, *(shapely.box(*ruler.bounds) for ruler in self.rulers)])

    def is_clear(self, width: float, height: float) -> bool:
        """Whether all of it lies within what a printer reaches, and the texts keep off each other and off the bars."""
        parts = [shapely.box(*drawing.bounds) for drawing in (*self.texts, *self.rulers)]
        reach = shapely.box(MARGIN, MARGIN, width - MARGIN, height - MARGIN).buffer(1e-6)
        apart = not any(a.intersects(b) for a, b in itertools.combinations(parts, 2))
        return apart and all(part.within(reach) for part in parts)


def on_paper(
    drawing: Drawing, paper: Paper, head: Sequence[str], foot: Sequence[str], *, turn: bool = True
) -> Sheet | None:
    """The drawing at true size on one lying page, turned no more than it must be; None where it does not fit.

    Args:
        drawing: In any frame.
        paper: The sheet.
        head: Title and lines above the piece.
        foot: Lines below it, or under the head where the piece is turned.
        turn: Whether it may be turned at all; else it stands right under the head.
    """
    width, height = paper.height, paper.width
    for page in itertools.islice(_pages(width, height, head, foot), None if turn else 1):
        placed = _placed(drawing, width, height, page, high=not turn) if page.is_clear(width, height) else None
        if placed is not None:
            whole = Drawing(name=drawing.name, items=(*page.items, *placed.items))
            return Sheet(width=width, height=height, drawing=whole)
    return None


def on_smallest(
    drawing: Drawing, papers: Sequence[Paper], head: Sequence[str], foot: Sequence[str], *, turn: bool = True
) -> tuple[Paper, Sheet]:
    """The first of some papers that takes the drawing on one page.

    Raises:
        ExportError: None does; both sizes are named.
    """
    for paper in papers:
        sheet = on_paper(drawing, paper, head, foot, turn=turn)
        if sheet is not None:
            return paper, sheet
    x0, y0, x1, y1 = drawing.bounds
    largest = papers[-1]
    raise ExportError(
        f"{drawing.name} with its notes is {show_length(x1 - x0)} by {show_length(y1 - y0)}: too large for one page of "
        f"{largest.name}, {largest.width:g} by {largest.height:g} mm; name a larger paper"
    )


def _pages(width: float, height: float, head: Sequence[str], foot: Sequence[str]) -> Iterator[_Page]:
    """For a piece that lies flat; then for one on the falling diagonal, which leaves the other two corners free."""
    inner, top = width - 2 * MARGIN, height - MARGIN
    lying, standing = bars(inner, MARGIN, MARGIN, "right")
    above = _block(head, MARGIN, top, standing.bounds[0] - _CLEAR - MARGIN, titled=True)
    below = _block(foot, MARGIN, top, lying.bounds[0] - _CLEAR - MARGIN, titled=False)
    below = below.moved(0.0, MARGIN - below.bounds[1])
    yield _Page((lying, standing), (above, below), (0.0,))
    column = _COLUMN * inner
    beside = _block((*head, *foot), width - MARGIN - column, top, column, titled=True)
    yield _Page(bars(inner, MARGIN, MARGIN, "left"), (beside,), np.arange(-1.0, -91.0, -1.0).tolist())


def _block(lines: Sequence[str], left: float, top: float, width: float, *, titled: bool) -> Drawing:
    """Lines of text from a top downwards, wrapped to a width."""
    out: list[Label] = []
    y = top
    for i, text in enumerate(lines):
        bold = titled and i == 0
        size = _TITLE if bold else _TEXT
        for part in wrapped(text, size, width, bold=bold):
            y -= size * (_LEADING if out else 1.0)
            if out and out[-1].bold and not bold:
                y -= _BELOW_TITLE
            out.append(Label(layer="NOTE", x=left, y=y, text=part, height=size, bold=bold))
    return Drawing(name="", items=tuple(out))


def _placed(drawing: Drawing, width: float, height: float, page: _Page, *, high: bool) -> Drawing | None:
    """The drawing turned and moved to a free place, as high as may be or as near to the page's middle."""
    taken = page.taken.buffer(_CLEAR, quad_segs=2)
    shapely.prepare(taken)
    around = shapely.get_coordinates(shapely.MultiPoint(drawing.points).convex_hull)
    for angle in page.angles:
        hull = around @ rotation(angle)[:, :2].T
        low = hull.min(axis=0)
        slack = np.array([width, height]) - 2 * MARGIN - (hull.max(axis=0) - low)
        if slack.min() < 0:
            continue
        wanted = slack * (0.0, 1.0) if high else slack / 2
        steps = (_STEPS, _FINE if high else _STEPS)
        offsets = np.array(
            list(itertools.product(*(np.linspace(0.0, s, n) for s, n in zip(slack, steps, strict=True))))
        )
        off = np.abs(offsets - wanted) @ ((_SIDEWAYS, 1.0) if high else (1.0, 1.0))
        offsets = offsets[np.argsort(off, kind="stable")] + MARGIN - low
        free = ~shapely.intersects(shapely.polygons(hull + offsets[:, None, :]), taken)
        if free.any():
            dx, dy = offsets[int(free.argmax())]
            return drawing.turned(angle).moved(float(dx), float(dy))
    return None
