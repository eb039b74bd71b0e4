"""Round holes and slots: where they are, how wide, what for, and when they are made."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, FloatArray, join
from bladegeom.curves.measure import loop_moments
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Coordinate, Length, Point
from bladegeom.quantities.told import told

Purpose = Literal["fastener", "lightening", "lanyard"]
Made = Literal["cut", "drilled", "reamed"]


@declared("hole", example="Hole(x=-30.0, y=-12.0, diameter=6.0, purpose='lightening')")
class Hole:
    """A round hole through the steel.

    Args:
        x: Centre, mm.
        y: Centre, mm.
        diameter: More than 0 mm.
        purpose: What it is for. Fastener and lanyard holes go through the scales too.
        made: By the cutting shop with the outline, or later by the maker: drilled, or drilled and reamed.

    >>> Hole(x=-30.0, y=-12.0, diameter=6.5, purpose="fastener").diameter
    6.5
    """

    x: Coordinate
    y: Coordinate
    diameter: Length
    purpose: Purpose
    made: Made = "cut"

    @property
    def axis(self) -> FloatArray:
        """First and last place of the tool's centre, shape (2, 2), mm: here both the centre."""
        return np.array([[self.x, self.y], [self.x, self.y]])

    @property
    def outline(self) -> Curve:
        """The rim, counter-clockwise."""
        return arc((self.x, self.y), self.diameter / 2, 0.0, 360.0)

    @property
    def moments(self) -> FloatArray:
        """Integrals of 1, x, y, x^2, x y, y^2 over the opening, shape (6,), mm; exact."""
        x, y, r = self.x, self.y, self.diameter / 2
        own = r * r / 4
        return np.pi * r * r * np.array([1.0, x, y, x * x + own, x * y, y * y + own])


@declared("slot", example="Slot(start=(-60.0, -12.0), end=(-40.0, -12.0), diameter=6.0, purpose='lightening')")
class Slot:
    """A slot with round ends: the way of a tool of some diameter from one place to another.

    Args:
        start: First place of the tool's centre (x, y), mm.
        end: Last place, another than the first.
        diameter: Of the tool, the slot's width, > 0 mm.
        purpose: As of a hole.
        made: As of a hole.

    >>> Slot(start=(-40.0, -13.0), end=(-60.0, -13.0), diameter=8.0, purpose="lightening").diameter
    8.0
    """

    start: Point
    end: Point
    diameter: Length
    purpose: Purpose
    made: Made = "cut"

    def __post_init__(self) -> None:
        if not math.dist(self.start, self.end) > 0:
            raise ParameterError("slot: end", told(self.end), "be another place than the start")

    @property
    def x(self) -> float:
        """Middle, mm."""
        return (self.start[0] + self.end[0]) / 2

    @property
    def y(self) -> float:
        """Middle, mm."""
        return (self.start[1] + self.end[1]) / 2

    @property
    def axis(self) -> FloatArray:
        """First and last place of the tool's centre, shape (2, 2), mm."""
        return np.array([self.start, self.end])

    @property
    def outline(self) -> Curve:
        """The rim, counter-clockwise."""
        (x0, y0), (x1, y1) = self.start, self.end
        r, angle = self.diameter / 2, math.degrees(math.atan2(y1 - y0, x1 - x0))
        far, near = arc(self.end, r, angle - 90, 180), arc(self.start, r, angle + 90, 180)
        return join(line(near.end, far.start), far, line(far.end, near.start), near)

    @property
    def moments(self) -> FloatArray:
        """Integrals of 1, x, y, x^2, x y, y^2 over the opening, shape (6,), mm; true to 1e-6."""
        return loop_moments(self.outline.pieces)


Opening = Hole | Slot
"""What goes through the steel. Its ``axis`` and ``diameter`` say all about its shape."""


def axis_points(openings: Sequence[Opening]) -> FloatArray:
    """Axes of openings, shape (n, 2, 2), mm."""
    return np.array([o.axis for o in openings]).reshape(-1, 2, 2)
