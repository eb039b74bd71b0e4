"""Putting a drawing on one page at true size, with its title, its notes and the ruler bars that prove the size."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from functools import cached_property, partial

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray, rotation
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import Drawing, Item, Path, Sheet
from bladegeom.drawing.label_placement import ink
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

_CHORD = 0.002
"""How true the border is of which the page must hold every point, mm."""

_COARSE = 0.1
"""How true the border is that keeps off the texts, mm."""

_TURNS = np.linspace(-90.0, 90.0, 1801)
"""Turns that are tried, degrees: a step of 0.1 costs a piece of 300 mm 0.15 mm of its length at most."""

_WHOLE_DEG = 10
"""Every tenth turn is a whole degree: those are tried alone where there are any."""


def on_paper(
    drawing: Drawing, paper: Paper, head: Sequence[str], foot: Sequence[str], *, turn: bool = True
) -> Sheet | None:
    """The drawing at true size on one page, lying rather than standing, flat rather than turned; None if nowhere.

    Args:
        drawing: In any frame.
        paper: The sheet.
        head: Title and lines above the piece.
        foot: Lines below it, or beside it where it is turned; those about the bars come before them.
        turn: Whether it may be turned at all; else it stands right under the head.
    """
    words = (*PRINT_WORDS, *foot)
    border = _Border(drawing)
    for width, height, turns, page in _pages(border, paper, head, words, turn=turn):
        if not page.is_clear(width, height):
            continue
        placed = _placed(drawing, border, (width, height), turns, page, high=not turn)
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


class _Border:
    """What a drawing covers: bays stay free, what lies within a closed line does not."""

    def __init__(self, drawing: Drawing) -> None:
        self.solid = shapely.union_all([_solid(item) for item in drawing.items])
        fine = [flatten(item.curve, _CHORD) for item in drawing.items if isinstance(item, Path)]
        rest = [Drawing(name="", items=(item,)).points for item in drawing.items if not isinstance(item, Path)]
        self.around = shapely.MultiPoint(np.concatenate([*fine, *rest])).convex_hull
        self.hull: FloatArray = shapely.get_coordinates(self.around)

    @cached_property
    def spans(self) -> FloatArray:
        """Width and height of what it covers at every turn that is tried, shape (turns, 2), mm."""
        cos, sin = np.cos(np.radians(_TURNS)), np.sin(np.radians(_TURNS))
        x, y = self.hull[:, :1], self.hull[:, 1:]
        return np.stack([np.ptp(x * cos - y * sin, axis=0), np.ptp(x * sin + y * cos, axis=0)], axis=1)

    def turns(self, width: float, height: float, sign: float) -> list[float]:
        """Turns to one side at which the printable area holds it, the least first, degrees."""
        # The border's chords may lie a little inside it.
        fits = (self.spans <= np.array([width, height]) - 2 * MARGIN - _CHORD).all(axis=1) & (sign * _TURNS >= 0.0)
        whole = fits & (np.arange(len(fits)) % _WHOLE_DEG == 0)
        found = _TURNS[whole if whole.any() else fits]
        return [float(angle) for angle in found[np.argsort(np.abs(found), kind="stable")]]


def _solid(item: Item) -> BaseGeometry:
    if isinstance(item, Path) and item.closed:
        return Polygon(flatten(item.curve, _COARSE)).buffer(0.0)
    return ink(item)


def _pages(
    border: _Border, paper: Paper, head: Sequence[str], foot: Sequence[str], *, turn: bool
) -> Iterator[tuple[float, float, list[float], PageFrame]]:
    """Frames for a lying and for a standing page and the turns of the piece, flat pieces first."""
    sizes = ((paper.height, paper.width), (paper.width, paper.height))
    for width, height in sizes:
        if 0.0 in border.turns(width, height, 1.0):
            yield width, height, [0.0], beside_flat(width, height, head, foot)
    sides: tuple[tuple[Side, float], ...] = (("left", -1.0), ("right", 1.0))
    for (width, height), (low, sign) in itertools.product(sizes, sides) if turn else ():
        if turns := border.turns(width, height, sign):
            for page in beside_turned(width, height, head, foot, low):
                yield width, height, turns, page


def _placed(
    drawing: Drawing,
    border: _Border,
    size: tuple[float, float],
    turns: Sequence[float],
    page: PageFrame,
    *,
    high: bool,
) -> Drawing | None:
    """The drawing turned and moved to a free place, as high as may be or as near to the page's middle."""
    taken = page.taken.buffer(CLEAR, quad_segs=2)
    shapely.prepare(taken)
    for angle in turns:
        hull = border.hull @ rotation(angle)[:, :2].T
        low = hull.min(axis=0)
        slack = np.array(size) - 2 * MARGIN - (hull.max(axis=0) - low)
        wanted = slack * (0.0, 1.0) if high else slack / 2
        steps = (_STEPS, _FINE if high else _STEPS)
        offsets = np.array(
            list(itertools.product(*(np.linspace(0.0, s, n) for s, n in zip(slack, steps, strict=True))))
        )
        off = np.abs(offsets - wanted) @ ((_SIDEWAYS, 1.0) if high else (1.0, 1.0))
        offsets = offsets[np.argsort(off, kind="stable")] + MARGIN - low
        shape = border.solid if page.snug else border.around
        free = ~shapely.intersects(_moved(shape, angle, offsets), taken)
        if free.any():
            dx, dy = offsets[int(free.argmax())]
            return drawing.turned(angle).moved(float(dx), float(dy))
    return None


def _moved(shape: BaseGeometry, angle: float, offsets: FloatArray) -> list[BaseGeometry]:
    turned = shapely.simplify(shapely.transform(shape, lambda xy: xy @ rotation(angle)[:, :2].T), _COARSE)
    return [shapely.transform(turned, partial(np.add, by)) for by in offsets]
