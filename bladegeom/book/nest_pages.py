"""The nest on paper: each piece of stock with its blanks, where to saw, what is left, and where each blank lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.page_numbers import numbered_pages
from bladegeom.drawing.drawing import Drawing, Sheet
from bladegeom.drawing.page_flow import CellText
from bladegeom.drawing.type_sizes import LEADING, TEXT
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Nest, Piece
from bladegeom.nesting.nest_place import NestPlace
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import caliper_length, rule_length, scale_mass, sold_thickness
from bladegeom.sheets.nest_picture import SCALES, drawn_length, drawn_nest

_HIGH: Final = 200.0
"""Room for the picture, mm."""

_ROW: Final = CellText(size=TEXT, step=TEXT * LEADING, above=0.8, below=0.9)

_HEAD: Final = ("no.", "blank", "turned", "from left", "to", "from below")
_SHARES: Final = (0.06, 0.25, 0.12, 0.19, 0.19, 0.19)
"""Widths of the columns, as shares of the page's."""

_FOOT: Final = (
    "Dashed: saw cut, in the middle of its gap; blanks between two cuts interlock. Outlines as in the cut file.",
    "Mill edges, bow and ends out of square come off the stock's size first.",
)


def nest_pages(nest: Nest, knives: Sequence[Knife], paper: Paper, *, remarks: Sequence[str]) -> tuple[Sheet, ...]:
    """Pages for each piece of stock, numbered through.

    Args:
        nest: Of these knives' blanks.
        knives: In the order of the nest's blanks.
        paper: To print on.
        remarks: What every page must say.

    Raises:
        ExportError: The remarks leave no room.
    """
    pages = [
        sheet for number in range(1, len(nest.pieces) + 1) for sheet in _pages(nest, number, knives, paper, remarks)
    ]
    return numbered_pages(pages, "Nest")


def piece_words(nest: Nest, piece: Piece) -> str:
    """What is gone and what is left of one piece of stock, in one line."""
    off, count = nest.off_cut(piece), len(piece.places)
    gone = f"{rule_length(piece.used)} of the length"
    if piece.saw_along is not None:
        gone = f"{rule_length(nest.stock.width - off.width)} of the width"
    rest = "no off-cut"
    if off.mass > 0:
        rest = f"off-cut {rule_length(off.length)} x {rule_length(off.width)}, {scale_mass(off.mass)}"
    return (
        f"{count} blank{'' if count == 1 else 's'}, used {gone}, {rest}; "
        f"{nest.yield_percent(piece):.1f} % of the steel used lies inside the outlines"
    )


def _pages(nest: Nest, number: int, knives: Sequence[Knife], paper: Paper, remarks: Sequence[str]) -> tuple[Sheet, ...]:
    piece, stock = nest.pieces[number - 1], nest.blanks[0].stock
    name = f"{stock.material.name}, {sold_thickness(stock.thickness)} thick"
    flow = ChapterFlow(paper, f"Nest: stock {number} of {len(nest.pieces)}", name, remarks)
    flow.begin()
    flow.write(f"{nest.stock.size}; rolled left to right. {piece_words(nest, piece)}.", TEXT)
    spacing, margin = caliper_length(nest.spacing), caliper_length(nest.margin)
    flow.write(f"Least distance {spacing} between blanks, {margin} to the border.", TEXT)
    _picture(flow, piece, knives)
    for text in _FOOT:
        flow.write(text, TEXT)
    flow.y -= 3.0
    _table(flow, nest, piece)
    return flow.sheets()


def _picture(flow: ChapterFlow, piece: Piece, knives: Sequence[Knife]) -> None:
    length, width = drawn_length(piece), piece.stock.width
    fitting = (scale for scale in SCALES if length / scale <= flow.width and width / scale <= _HIGH)
    scale = next(fitting, SCALES[-1])
    drawing = Drawing(name="", items=drawn_nest(piece, knives, scale))
    flow.y -= 4.0
    flow.block(drawing.moved(flow.x, 0.0).items, gap=2.0)
    rest = "" if length == piece.stock.length else f" The stock goes on to {rule_length(piece.stock.length)}."
    flow.write(f"NOT TRUE SIZE: the stock is drawn 1 : {scale:g}.{rest}", TEXT, bold=True)


def _table(flow: ChapterFlow, nest: Nest, piece: Piece) -> None:
    """Where each blank lies; its head stands on every page."""
    flow.fit(3 * _ROW.height(1))
    _cells(flow, _HEAD, bold=True)
    flow.again = lambda: _cells(flow, _HEAD, bold=True)
    for number, place in enumerate(piece.places, start=1):
        _cells(flow, tuple(_words(nest, number, place)))
    flow.again = lambda: None


def _cells(flow: ChapterFlow, cells: Sequence[str], *, bold: bool = False) -> None:
    widths = [share * flow.width for share in _SHARES]
    lines = [wrapped(text, TEXT, width - 2.0, bold=bold) for text, width in zip(cells, widths, strict=True)]
    for part, height in flow.row(lines, _ROW):
        x = flow.x
        for told, width in zip(part, widths, strict=True):
            flow.add(*_ROW.labels(told, x, flow.y, bold=bold))
            x += width
        flow.y -= height
    flow.rule(0.0)


def _words(nest: Nest, number: int, place: NestPlace) -> Iterator[str]:
    yield str(number)
    yield nest.blanks[place.lying.blank].name
    yield f"{place.lying.angle_deg:g}\N{DEGREE SIGN}{', face down' if place.lying.flipped else ''}"
    for mm in (place.x, place.right, place.y):
        yield rule_length(mm).text
