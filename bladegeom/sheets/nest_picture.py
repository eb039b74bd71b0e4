"""The nest as a picture: each piece of stock with its blanks and where to saw, many times smaller."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CUT_PEN, SCRIBE_PEN, THIN_PEN, Circle, Item, Label, Path
from bladegeom.drawing.label_placement import ink
from bladegeom.drawing.type_sizes import LEADING, TEXT
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Piece
from bladegeom.nesting.nest_place import NestPlace
from bladegeom.nesting.nest_stock import polygon_of
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.shown import rule_length
from bladegeom.sheets.nest_drawing import nest_drawing

SCALES: Final = (1, 2, 2.5, 3, 4, 5, 6, 7.5, 10, 12, 15, 20, 30, 40, 50, 75, 100, 150)
"""The stock is drawn so many times smaller; the first that fits the page is taken."""

_ROW: Final = TEXT * LEADING
"""From one row of words to the next, mm."""

_CHORD: Final = 0.1
"""How true the outlines are among which a number finds its place, mm."""

_ROUND: Final = 0.52
"""Radius of a circle round a number of one digit, in heights of the text."""

_DIGIT: Final = 0.22
"""By how much each further digit widens it."""

_CROPPED: Final = 0.6
"""Of the stock's length at most is used where the rest is not drawn; own choice."""

_BEYOND: Final = 1.06
"""So much of the length that is used is drawn there."""


def drawn_length(piece: Piece) -> float:
    """Of the stock, mm: to its end, unless most of it stays whole."""
    cropped = piece.saw_along is None and piece.used <= _CROPPED * piece.stock.length
    return _BEYOND * piece.used if cropped else piece.stock.length


def drawn_nest(piece: Piece, knives: Sequence[Knife], scale: float) -> tuple[Item, ...]:
    """The stock, its lower left corner at the origin, its blanks with their numbers, and where to saw.

    Args:
        piece: From a nest of these knives' blanks.
        knives: In the order of the nest's blanks.
        scale: By how many times it is drawn smaller.
    """
    cut = nest_drawing(piece, knives)
    blanks = [small for item in cut.items if item.layer != "NOTE" for small in _smaller(item, scale)]
    holes = [_inside(item) for item in cut.items if item.layer == "CUT"]
    return (_border(piece, scale), *blanks, *_numbers(piece, holes, scale), *_saw_cuts(piece, scale))


def _border(piece: Piece, scale: float) -> Path:
    """Of the stock; open at the right where it goes on."""
    right, top = drawn_length(piece) / scale, piece.stock.width / scale
    open_at = ((right, 0.0), (0.0, 0.0), (0.0, top), (right, top))
    whole = drawn_length(piece) == piece.stock.length
    return Path(layer="NOTE", curve=line(*open_at, open_at[0]) if whole else line(*open_at), closed=whole, pen=THIN_PEN)


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


def _numbers(piece: Piece, holes: Sequence[BaseGeometry], scale: float) -> Iterator[Item]:
    """Each in its blank's widest place beside the holes; where that is too narrow over the stock, with a line to it."""
    rows: list[float] = []
    for number, place in enumerate(piece.places, start=1):
        x, y, radius = (value / scale for value in _widest(place, holes))
        text = str(number)
        if radius >= TEXT * (_ROUND + _DIGIT * (len(text) - 1)):
            yield Label(layer="NOTE", x=x, y=y - 0.4 * TEXT, text=text, height=TEXT, anchor="middle", bold=True)
            continue
        half = text_width(text, TEXT, bold=True) / 2 + 1.0
        top = piece.stock.width / scale
        high = top + 2.5 + _ROW * _taken(rows, x, half)
        yield Path(layer="NOTE", curve=line((x, y), (x, top + 1.8)), pen=THIN_PEN)
        yield Label(layer="NOTE", x=x, y=high, text=text, height=TEXT, anchor="middle", bold=True)


def _taken(rows: list[float], at: float, half: float) -> int:
    """The first row that is free at a place, now taken up to its end."""
    row = next((i for i, end in enumerate(rows) if end <= at - half), len(rows))
    rows[row : row + 1] = [at + half]
    return row


def _widest(place: NestPlace, holes: Sequence[BaseGeometry]) -> tuple[float, float, float]:
    """Centre and radius of the largest circle in a blank beside its holes, mm."""
    whole = polygon_of(place.loop, _CHORD)
    inner = [hole for hole in holes if hole.area < whole.area / 2]
    free = shapely.difference(whole, shapely.union_all(inner))
    room = shapely.maximum_inscribed_circle(np.array([free]), tolerance=0.5)[0]
    x, y = shapely.get_coordinates(room)[0].tolist()
    return x, y, float(shapely.length(room))


def _saw_cuts(piece: Piece, scale: float) -> Iterator[Item]:
    """Each with its distance from the left end, or from below."""
    right, top = drawn_length(piece) / scale, piece.stock.width / scale
    rows: list[float] = []
    for x in piece.saw_cuts:
        at, text = x / scale, f"saw {rule_length(x)}"
        half = text_width(text, TEXT) / 2
        # Words of a cut near an end stand within the picture, which may be as wide as the page.
        middle = max(half, min(at, right - half))
        row = _taken(rows, middle, half + 1.0)
        y = -_ROW * (row + 1) - 0.5
        yield Path(layer="NOTE", curve=line((at, top + 1.5), (at, -1.0)), pen=SCRIBE_PEN)
        if row:
            yield Path(layer="NOTE", curve=line((at, -1.0), (at, y + TEXT + 0.3)), pen=THIN_PEN)
        yield Label(layer="NOTE", x=middle, y=y, text=text, height=TEXT, anchor="middle")
    if piece.saw_along is not None:
        y = piece.saw_along / scale
        yield Path(layer="NOTE", curve=line((-1.5, y), (right + 1.5, y)), pen=SCRIBE_PEN)
        text = f"saw along, {rule_length(piece.saw_along)} from below"
        yield Label(layer="NOTE", x=right / 2, y=y + 0.8, text=text, height=TEXT, anchor="middle")
