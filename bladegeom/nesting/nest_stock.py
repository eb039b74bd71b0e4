"""What is nested: blanks as they are cut, and the bar or sheet that they are cut from."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Final

import numpy as np
from shapely import Polygon

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve, FloatArray, rotation
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import loop_moments
from bladegeom.knife.stock import Stock
from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Above, AtMost, Between, InUnit, Like
from bladegeom.quantities.units import show_length

MOST_COPIES: Final = 100
"""Blanks in one nest; own choice: that many take some seconds, and one page can still list them."""

LONGEST_STOCK: Final = 20_000.0
"""Longest side of a bar or sheet, mm; own choice, longer than steel is sold."""


@declared("stock piece", example="StockPiece(length=1000.0, width=50.0)")
class StockPiece:
    """A bar or a sheet, lying along x with its lower left corner at the origin.

    Args:
        length: Along the rolling direction, mm.
        width: Across it, mm.

    Raises:
        ParameterError: A side that is not positive, or longer than 20 m.

    >>> StockPiece(length=1000.0, width=50.0).size
    '1000.00 mm (39.370 in) long, 50.00 mm (1.969 in) wide'
    """

    length: Annotated[float, Above(0), AtMost(LONGEST_STOCK), InUnit("mm")]
    width: Annotated[float, Above(0), AtMost(LONGEST_STOCK), InUnit("mm")]

    @property
    def area(self) -> float:
        """Of one face, mm2."""
        return self.length * self.width

    @property
    def size(self) -> str:
        """In words."""
        return f"{show_length(self.length)} long, {show_length(self.width)} wide"


@declared("blank", example="blank_of(knife, copies=4)")
class Blank:
    """What is cut for one knife.

    Args:
        name: Of the knife, with its revision.
        loop: Outline as it is cut, closed, in any frame, mm.
        stock: Steel and thickness.
        copies: How many are wanted.

    Raises:
        ParameterError: No copies, or more than a nest can hold.

    >>> from bladegeom import blank_of
    >>> blank = blank_of(knife, copies=2)
    >>> blank.name, blank.copies
    ('Rigging knife, rev. A', 2)
    """

    name: str
    loop: Annotated[Curve, Like("knife.outline.loop")]
    stock: Stock
    copies: Annotated[int, Between(1, MOST_COPIES)] = 1

    @cached_property
    def area(self) -> float:
        """Of the outline, mm2; exact. Holes are not taken off: their steel is gone too."""
        return abs(float(loop_moments(self.loop.pieces)[0]))


def turn(angle_deg: float, *, flipped: bool) -> FloatArray:
    """Matrix (2, 3) that turns a blank over about its long axis, if it is flipped, and then turns it."""
    matrix = rotation(angle_deg)
    return matrix * np.array([1.0, -1.0, 1.0]) if flipped else matrix


def laid(loop: Curve, matrix: FloatArray) -> tuple[Curve, FloatArray]:
    """A loop after a turn, its lower left corner at the origin, counter-clockwise or not; and the whole map (2, 3)."""
    turned = loop.transformed(matrix)
    x0, y0, _, _ = bounding_box(turned.pieces)
    whole = matrix - np.array([[0.0, 0.0, x0], [0.0, 0.0, y0]])
    return turned.moved(-x0, -y0), whole


def polygon_of(loop: Curve, tolerance: float) -> Polygon:
    """A loop as a polygon whose sides stay within a tolerance of the curve."""
    return Polygon(flatten(loop, tolerance))


def is_straight(loop: Curve) -> bool:
    """Whether all its pieces are straight lines evenly travelled, so that the polygon is the curve itself."""
    second = loop.pieces[:, 2:] - 2 * loop.pieces[:, 1:3] + loop.pieces[:, :2]
    return bool(np.abs(second).max() < _STILL)


_STILL = 1e-9
"""A second difference of control points below this bends nothing, mm."""
