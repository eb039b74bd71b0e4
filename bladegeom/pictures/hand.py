"""A plain hand to see a handle's size by: open, its breadth along the handle."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.knife.knife import Knife

_PALM: Final = 116 / 88
"""Length of the palm by its breadth. Source: ANSUR II, men's medians, as in ``hand_measures.csv``."""

_FINGER: Final = (193 - 116) / 88
"""Length of the middle finger by the breadth: hand length less palm length, same source."""

_FINGERS: Final = ((0.105, 0.90, 3.0), (0.365, 1.0, 1.0), (0.625, 0.93, -2.0), (0.88, 0.72, -7.0))
"""Middle of each finger as a share of the breadth from the forefinger's side, its length by the middle finger's, and
its lean in degrees towards the thumb: common practice of drawing hands, no source."""

_WIDE: Final = 0.108
"""Half a finger's width by the breadth: likewise."""

_THUMB: Final = ((0.20, -0.92), (-0.14, -0.50), (-0.27, -0.10))
"""Through the middle of the thumb, from the forefinger's side and from the roots of the fingers, likewise."""

_SOFT: Final = 0.02
"""Radius of webs and corners by the breadth: likewise."""

_PINCH: Final = 0.06
"""The forefinger lies this far behind the handle front, in breadths: own choice."""


def hand_shape(knife: Knife, breadth: float) -> BaseGeometry:
    """Outline of an open hand behind the handle, mm, its forefinger at the handle front, wrist downwards.

    Args:
        knife: With the handle.
        breadth: Across the knuckles without the thumb, mm.
    """
    parts: list[BaseGeometry] = [_palm(), _thumb()]
    parts += [_finger(*finger) for finger in _FINGERS]
    soft = shapely.union_all(parts).buffer(_SOFT).buffer(-2 * _SOFT).buffer(_SOFT)
    (x0, y0), (x1, y1) = knife.handle_front.start, knife.handle_front.end
    front, middle = min(x0, x1) - _PINCH * breadth, _middle_height(knife, (x0 + x1) / 2 - breadth / 2, (y0 + y1) / 2)
    points = shapely.get_coordinates(soft) * (-breadth, breadth) + (front, middle + 0.30 * breadth)
    return shapely.set_coordinates(soft, points)


def _middle_height(knife: Knife, x: float, otherwise: float) -> float:
    """Of the handle at a station."""
    _, low, _, high = knife.outline.bounds
    # A front that leans over the shoulder of a stick tang makes a handle that meets itself.
    across = shapely.intersection(shapely.make_valid(knife.handle_region), shapely.LineString([(x, low), (x, high)]))
    return otherwise if across.is_empty else float(across.centroid.y)


def _palm() -> BaseGeometry:
    """From the wrist, which is narrower, up to the roots of the fingers at height 0; breadth 1."""
    return shapely.Polygon([(0.0, -0.12), (0.12, -_PALM), (0.80, -_PALM), (0.99, -0.22), (0.99, 0.0), (0.0, 0.02)])


def _finger(at: float, long: float, lean_deg: float) -> BaseGeometry:
    length, lean = long * _FINGER - _WIDE, math.radians(lean_deg)
    tip = (at - length * math.sin(lean), length * math.cos(lean))
    return shapely.LineString([(at, -0.2), tip]).buffer(_WIDE)


def _thumb() -> BaseGeometry:
    end = shapely.LineString(_THUMB[1:]).buffer(_WIDE)
    ball = shapely.convex_hull(
        shapely.union(shapely.Point(_THUMB[1]).buffer(_WIDE), shapely.box(0.12, -_PALM, 0.4, -0.3))
    )
    return shapely.union(end, ball)


def hand_corners(knife: Knife, breadth: float) -> np.ndarray:
    """Lower left and upper right corner of what holds it, in the plane z = 0, mm, shape (2, 3)."""
    x0, y0, x1, y1 = hand_shape(knife, breadth).bounds
    return np.array([[x0, y0, 0.0], [x1, y1, 0.0]])
