"""Nested blanks as one cut drawing, and a knife's blank."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.build import line
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.offset import offset
from bladegeom.cutfile.cut import cut_drawing
from bladegeom.drawing.drawing import THIN_PEN, Drawing, Item, Label, Path
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Piece
from bladegeom.nesting.nest_stock import Blank, StockPiece
from bladegeom.quantities.declared import checked
from bladegeom.quantities.file_errors import ExportError


def blank_of(knife: Knife, *, copies: int = 1) -> Blank:
    """A knife's blank as its cut file has it.

    Raises:
        ParameterError: No knife, no copies, or more than a nest can hold.
        CurveError: The outline runs into itself with its allowance.

    >>> blank = blank_of(knife, copies=3)
    >>> blank.copies, round(blank.area)
    (3, 5443)
    """
    checked("blank_of: knife", knife, Knife)
    loop, allowance = knife.outline.loop, knife.cutting.allowance
    if allowance:
        loop = offset(loop, allowance)
    # As in the cut drawing, with nothing below or left of the origin: gaps for tabs do not change the outline's room.
    x0, y0, _, _ = bounding_box(loop.pieces)
    name = f"{knife.name}, rev. {knife.revision}"
    return Blank(name=name, loop=loop.moved(-x0, -y0), stock=knife.stock, copies=copies)


def nest_drawing(piece: Piece, knives: Sequence[Knife]) -> Drawing:
    """What is cut from one piece of stock, holes with it; its border on layer NOTE, which nobody cuts.

    Args:
        piece: From a nest of these knives' blanks.
        knives: In the order of the nest's blanks.
    """
    cuts = [cut_drawing(knife) for knife in knives]
    items = [item for place in piece.places for item in _placed(cuts[place.lying.blank].items, place.matrix)]
    name = " and ".join(dict.fromkeys(knives[place.lying.blank].name for place in piece.places))
    return Drawing(name=name, items=(*items, border(piece.stock)))


def border(stock: StockPiece) -> Path:
    """Of the stock."""
    around = line((0.0, 0.0), (stock.length, 0.0), (stock.length, stock.width), (0.0, stock.width), (0.0, 0.0))
    return Path(layer="NOTE", curve=around, closed=True, pen=THIN_PEN)


def _placed(items: Sequence[Item], matrix: FloatArray) -> Iterator[Item]:
    over = bool(np.linalg.det(matrix[:, :2]) < 0)
    for item in items:
        if isinstance(item, Label):
            raise ExportError(f"a cut drawing holds the text {item.text!r}, which cannot be nested")
        if isinstance(item, Path):
            curve = item.curve.transformed(matrix)
            # A mirror image runs the other way round: outlines stay counter-clockwise.
            yield replace(item, curve=curve.reversed() if over else curve)
        else:
            x, y = matrix[:, :2] @ np.array([item.x, item.y]) + matrix[:, 2]
            yield replace(item, x=float(x), y=float(y))
