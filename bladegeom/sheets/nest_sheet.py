"""The nest on paper: each piece of stock with its blanks, where to saw, what is left. Scaled, and it says so."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import (
    CUT_PEN,
    LEADER_PEN,
    SCRIBE_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Circle,
    Drawing,
    Item,
    Label,
    Path,
    Sheet,
)
from bladegeom.drawing.label_placement import ink
from bladegeom.drawing.sheet import PagePiece
from bladegeom.drawing.table import table_items
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Nest, Piece
from bladegeom.nesting.nest_place import NestPlace
from bladegeom.nesting.nest_stock import polygon_of
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_both, show_length, show_mass
from bladegeom.sheets.nest_drawing import nest_drawing

_SCALES = (1, 2, 2.5, 4, 5, 7.5, 10, 15, 20, 30, 40, 50, 75, 100, 150)
"""The stock is drawn so many times smaller; the first that fits the page is taken."""

_GAP = 5.0
"""Between the picture, the dimensions and the table, mm."""

_ROW = 3.4
"""From one row of dimensions to the next, mm."""

_COLUMNS = 3
"""Of the list of blanks, at most, side by side."""

_CHORD = 0.1
"""How true the outlines are among which a number finds its place, mm."""

_NAME = 34.0
"""Room for the name of a blank, mm."""

_HEAD = ("No.", "blank", "turned", "from left", "to", "from below")


def nest_sheets(nest: Nest, knives: Sequence[Knife], papers: Sequence[Paper], *, remarks: Sequence[str]) -> list[Sheet]:
    """A page for each piece of stock, on the first paper that takes it.

    Args:
        nest: Of these knives' blanks.
        knives: In the order of the nest's blanks.
        papers: The preferred one first.
        remarks: What every sheet must say.

    Raises:
        ExportError: No paper takes a page with its list of blanks.
    """
    return [_page(nest, number, knives, papers, remarks) for number in range(1, len(nest.pieces) + 1)]


def piece_words(nest: Nest, piece: Piece) -> str:
    """What is gone and what is left of one piece of stock, in one line."""
    off, count = nest.off_cut(piece), len(piece.places)
    gone = f"{show_length(piece.used)} of the length"
    if piece.saw_along is not None:
        gone = f"{show_length(nest.stock.width - off.width)} of the width"
    rest = "no off-cut"
    if off.mass > 0:
        rest = f"off-cut {show_length(off.length)} x {show_length(off.width)}, {show_mass(off.mass)}"
    return (
        f"{count} blank{'' if count == 1 else 's'}, used {gone}, {rest}; "
        f"{nest.yield_percent(piece):.1f} % of the steel used lies inside the outlines"
    )


def _page(nest: Nest, number: int, knives: Sequence[Knife], papers: Sequence[Paper], remarks: Sequence[str]) -> Sheet:
    piece = nest.pieces[number - 1]
    cut = nest_drawing(piece, knives)
    for paper, scale in itertools.product(papers, _SCALES):
        head, foot = _words(nest, number, scale, remarks)
        picture = [*_picture(piece, cut, scale)]
        for beside, columns in itertools.product((False, True), range(1, _COLUMNS + 1)):
            items = (*picture, *_tables(nest, piece, Drawing(name="", items=tuple(picture)), columns, beside=beside))
            drawing = Drawing(name=f"Nest {number}", items=items)
            if (sheet := PagePiece(drawing=drawing, head=head, foot=foot).on(paper)) is not None:
                return sheet
    raise ExportError(f"the nest's sheet does not fit on {papers[-1].name}; name a larger paper")


def _words(nest: Nest, number: int, scale: float, remarks: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What stands above and below."""
    piece, stock = nest.pieces[number - 1], nest.blanks[0].stock
    head = (
        f"Nest: stock {number} of {len(nest.pieces)}",
        f"NOT TRUE SIZE: the stock is drawn 1 : {scale:g}. The ruler bars are true.",
        f"{stock.material.name}, {show_length(stock.thickness)} thick; {nest.stock.size}; rolled left to right.",
        f"Least distance {show_length(nest.spacing)} between blanks, {show_length(nest.margin)} to the border.",
        piece_words(nest, piece) + ".",
        *remarks,
    )
    foot = (
        "Dashed: saw cut, in the middle of its gap; blanks between two cuts interlock. Outlines as in the cut file.",
        "Mill edges, bow and ends out of square come off the stock's size first.",
    )
    return head, foot


def _picture(piece: Piece, cut: Drawing, scale: float) -> Iterator[Item]:
    for item in cut.items:
        yield from _smaller(item, scale)
    holes = [_inside(item) for item in cut.items if item.layer == "CUT"]
    for i, place in enumerate(piece.places, start=1):
        yield _number(place, holes, i, scale)
    yield from _saw_cuts(piece, scale)


def _inside(item: Item) -> BaseGeometry:
    if isinstance(item, Path):
        return polygon_of(item.curve, _CHORD) if item.closed else Polygon()
    return ink(item)


def _smaller(item: Item, scale: float) -> Iterator[Item]:
    if isinstance(item, Path):
        matrix = np.array([[1.0 / scale, 0.0, 0.0], [0.0, 1.0 / scale, 0.0]])
        pen = CUT_PEN if item.layer == "CUT" else THIN_PEN
        yield Path(layer=item.layer, curve=item.curve.transformed(matrix), closed=item.closed, pen=pen)
    elif isinstance(item, Circle):
        x, y, radius = item.x / scale, item.y / scale, item.radius / scale
        yield Circle(layer=item.layer, x=x, y=y, radius=radius, pen=THIN_PEN)


def _number(place: NestPlace, holes: Sequence[BaseGeometry], number: int, scale: float) -> Label:
    """In the blank's widest place beside its holes."""
    whole = polygon_of(place.loop, _CHORD)
    inner = [hole for hole in holes if hole.area < whole.area / 2]
    free = shapely.difference(whole, shapely.union_all(inner))
    room = shapely.maximum_inscribed_circle(np.array([free]), tolerance=0.5)[0]
    x, y = shapely.get_coordinates(room)[0]
    size = min(SMALL_TEXT, 1.1 * float(shapely.length(room)) / scale)
    low = float(y) / scale - 0.4 * size
    text = str(number)
    return Label(layer="NOTE", x=float(x) / scale, y=low, text=text, height=size, anchor="middle", bold=True)


def _saw_cuts(piece: Piece, scale: float) -> Iterator[Item]:
    """Each with its distance from the left end, or from below."""
    right, top = piece.stock.length / scale, piece.stock.width / scale
    free: list[float] = []
    for x in piece.saw_cuts:
        at, text = x / scale, f"saw {show_length(x)}"
        half = text_width(text, SMALL_TEXT) / 2 + 1.0
        row = next((i for i, end in enumerate(free) if end <= at - half), len(free))
        free[row : row + 1] = [at + half]
        y = -_ROW * (row + 1) - 0.5
        yield Path(layer="NOTE", curve=line((at, top + 1.5), (at, -1.0)), pen=SCRIBE_PEN)
        if row:
            yield Path(layer="NOTE", curve=line((at, -1.0), (at, y + SMALL_TEXT + 0.3)), pen=LEADER_PEN)
        yield Label(layer="NOTE", x=at, y=y, text=text, height=SMALL_TEXT, anchor="middle")
    if piece.saw_along is not None:
        y = piece.saw_along / scale
        yield Path(layer="NOTE", curve=line((-1.5, y), (right + 1.5, y)), pen=SCRIBE_PEN)
        text = f"saw along, {show_length(piece.saw_along)} from below"
        yield Label(layer="NOTE", x=right / 2, y=y + 0.8, text=text, height=SMALL_TEXT, anchor="middle")


def _tables(nest: Nest, piece: Piece, picture: Drawing, columns: int, *, beside: bool) -> Iterator[Item]:
    """Where each blank lies: below the picture or right of it, in so many columns."""
    rows = [_cells(nest, i, place) for i, place in enumerate(piece.places, start=1)]
    each = -(-len(rows) // columns)
    _, low, right, high = picture.bounds
    left, top = (right + _GAP, high) if beside else (0.0, low - _GAP)
    for first in range(0, len(rows), each):
        items, _ = table_items((_HEAD, *rows[first : first + each]), left, top)
        yield from items
        left = _GAP + max(float(item.curve.end[0]) for item in items if isinstance(item, Path))


def _cells(nest: Nest, number: int, place: NestPlace) -> tuple[str, ...]:
    turned = f"{place.lying.angle_deg:g}\N{DEGREE SIGN}" + (", face down" if place.lying.flipped else "")
    name = nest.blanks[place.lying.blank].name
    while text_width(name, SMALL_TEXT) > _NAME:
        name = name[:-1]
    return str(number), name, turned, show_both(place.x), show_both(place.right), show_both(place.y)
