"""What the small pictures of steps are drawn with: lines, arrows, words, and shapes of the knife brought to a size."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.drawing.drawing import THIN_PEN, Anchor, Circle, Item, Label, Path, Pen
from bladegeom.drawing.type_sizes import FINISHED_PEN, LEADING, TEXT

PICTURE: Final = 56.0
"""Width of a picture, mm, at most."""

DASHED: Final = Pen(width=0.2, dashes=(1.6, 1.0))
"""What is not there yet, or not any more."""

_HEAD: Final = (1.9, 0.55)
"""Length and half width of an arrow's head, mm."""

_TALLEST: Final = 40.0
"""Of a shape, mm."""


def words(x: float, y: float, text: str, anchor: Anchor = "middle") -> Label:
    """A line of text, its base line at a height."""
    return Label(layer="NOTE", x=x, y=y, text=text, height=TEXT, anchor=anchor)


def stroke(*ends: Vector, pen: Pen = THIN_PEN) -> Path:
    """A line through places."""
    return Path(layer="NOTE", curve=line(*ends), pen=pen)


def shape(curve: Curve, pen: Pen = FINISHED_PEN) -> Path:
    """A closed curve."""
    return Path(layer="NOTE", curve=curve, closed=True, pen=pen)


def rectangle(x: float, y: float, width: float, height: float, pen: Pen = THIN_PEN) -> Path:
    """From its lower left corner."""
    right, top = x + width, y + height
    return shape(line((x, y), (right, y), (right, top), (x, top), (x, y)), pen)


def spot(x: float, y: float, radius: float, pen: Pen = FINISHED_PEN) -> Circle:
    """A circle."""
    return Circle(layer="NOTE", x=x, y=y, radius=radius, pen=pen)


def arrow(tail: Vector, tip: Vector) -> Iterator[Item]:
    """A line with a head at its tip."""
    yield stroke(tail, tip)
    away = math.atan2(tail[1] - tip[1], tail[0] - tip[0])
    along, across = (math.cos(away), math.sin(away)), (-math.sin(away), math.cos(away))
    length, half = _HEAD
    back = tip[0] + length * along[0], tip[1] + length * along[1]
    sides = [(back[0] + s * half * across[0], back[1] + s * half * across[1]) for s in (1.0, -1.0)]
    yield Path(layer="NOTE", curve=line(tip, sides[0], sides[1], tip), closed=True, filled=True)


def span_across(x0: float, x1: float, y: float, text: str) -> Iterator[Item]:
    """A dimension that lies, with its words under it."""
    middle = (x0 + x1) / 2
    if x1 - x0 > 2 * _HEAD[0] + 1:
        yield from arrow((middle, y), (x0, y))
        yield from arrow((middle, y), (x1, y))
    else:
        yield from arrow((x0 - 4.0, y), (x0, y))
        yield from arrow((x1 + 4.0, y), (x1, y))
    yield words(middle, y - TEXT * LEADING, text)


def span_upright(x: float, y0: float, y1: float) -> Iterator[Item]:
    """A dimension that stands, without words; one that is short has its arrows outside."""
    middle = (y0 + y1) / 2
    if y1 - y0 > 2 * _HEAD[0] + 1:
        yield from arrow((x, middle), (x, y0))
        yield from arrow((x, middle), (x, y1))
    else:
        yield from arrow((x, y0 - 4.0), (x, y0))
        yield from arrow((x, y1 + 4.0), (x, y1))


def fitting(box: tuple[float, float, float, float], width: float = PICTURE, height: float = _TALLEST) -> float:
    """By how much a box is made smaller or larger to fill a room."""
    x0, y0, x1, y1 = box
    return min(width / (x1 - x0), height / (y1 - y0))


def brought(curve: Curve, by: float) -> Curve:
    """A curve made larger by a factor."""
    return curve.transformed([[by, 0.0, 0.0], [0.0, by, 0.0]])


def rings(region: BaseGeometry, by: float, pen: Pen = FINISHED_PEN) -> Iterator[Path]:
    """Borders of a region made larger by a factor."""
    for ring in shapely.get_rings(shapely.get_parts(region)):
        yield shape(line(*((by * float(x), by * float(y)) for x, y in shapely.get_coordinates(ring))), pen)
