"""Several pieces at true size on one page: beside each other in rows, under the lines of all of them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bladegeom.drawing.drawing import Drawing, Item, Sheet
from bladegeom.drawing.page_frame import least_taken
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.sheet import PagePiece
from bladegeom.quantities.papers import Paper

_APART = 5.0
"""Between two pieces, mm: room to cut them apart with scissors."""


_WIDE = 0.9
"""Of the widest piece: what is as wide as it."""


@dataclass(kw_only=True)
class SharedPage:
    """A page, or several to be joined, and what stands on it.

    Args:
        pieces: On it; none where it takes no more.
        sheets: Of paper.
    """

    pieces: tuple[PagePiece, ...] = ()
    sheets: tuple[Sheet, ...]


@dataclass(kw_only=True)
class SharedPages:
    """Pages of one paper that fill piece by piece, each piece on the first that has room.

    Args:
        paper: Of them.
        pages: In the order in which they were begun.
    """

    paper: Paper
    pages: list[SharedPage] = field(default_factory=list)

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """All of them."""
        return tuple(sheet for page in self.pages for sheet in page.sheets)

    def put(self, piece: PagePiece, near: SharedPage | None = None) -> SharedPage | None:
        """Beside what is there already, or on a page of its own; None where no page holds it.

        Args:
            piece: With its lines.
            near: The page that is tried before all others.
        """
        for page in sorted(self.pages, key=lambda page: page is not near):
            together = shared_page((*page.pieces, piece), self.paper) if page.pieces else None
            if together is not None:
                page.pieces, page.sheets = (*page.pieces, piece), (together,)
                return page
        alone = piece.on(self.paper)
        return None if alone is None else self.add(SharedPage(pieces=(piece,), sheets=(alone,)))

    def add(self, page: SharedPage) -> SharedPage:
        """Another page as it is."""
        self.pages.append(page)
        return page


def shared_page(pieces: Sequence[PagePiece], paper: Paper) -> Sheet | None:
    """Pieces at true size on one page, lying rather than standing, none turned; None where it does not hold them.

    They are put row by row in their own order, or else wide ones first, which have no room beside the bars, and of
    those low ones over high ones. Lines that several have are written once.

    Args:
        pieces: In the order of their use.
        paper: Of the page.
    """
    wide = _WIDE * max(_width(piece.drawing) for piece in pieces)
    orders = tuple(pieces), tuple(sorted(pieces, key=lambda piece: _by_width(piece.drawing, wide)))
    head = tuple(dict.fromkeys(text for piece in pieces for text in piece.head))
    foot = tuple(dict.fromkeys(text for piece in pieces for text in piece.foot))
    sizes = (paper.height, paper.width), (paper.width, paper.height)
    for (width, height), order in itertools.product(sizes, dict.fromkeys(orders)):
        room = width - 2 * MARGIN
        rows = list(_rows([piece.drawing for piece in order], room))
        tall = sum(max(map(_height, row)) for row in rows) + _APART * (len(rows) - 1)
        if tall + least_taken(head) > height or max(_width(each) for row in rows for each in row) > room:
            continue
        drawing = Drawing(name=pieces[0].drawing.name, items=tuple(_placed(rows)))
        sheet = PagePiece(drawing=drawing, head=head, foot=foot).on(paper)
        if sheet is not None:
            return sheet
    return None


def _rows(drawings: Sequence[Drawing], width: float) -> Iterator[list[Drawing]]:
    row: list[Drawing] = []
    for drawing in drawings:
        if row and sum(map(_width, (*row, drawing))) + _APART * len(row) > width:
            yield row
            row = []
        row.append(drawing)
    yield row


def _placed(rows: Sequence[Sequence[Drawing]]) -> Iterator[Item]:
    top = 0.0
    for row in rows:
        x = 0.0
        for drawing in row:
            x0, _, _, y1 = drawing.bounds
            yield from drawing.moved(x - x0, top - y1).items
            x += _width(drawing) + _APART
        top -= max(map(_height, row)) + _APART


def _by_width(drawing: Drawing, wide: float) -> tuple[bool, float]:
    is_wide = _width(drawing) >= wide
    return not is_wide, _height(drawing) if is_wide else 0.0


def _width(drawing: Drawing) -> float:
    return drawing.bounds[2] - drawing.bounds[0]


def _height(drawing: Drawing) -> float:
    return drawing.bounds[3] - drawing.bounds[1]
