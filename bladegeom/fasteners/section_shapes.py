"""Shapes of which sections through fasteners are made, mm: x out of the right face, y up across the handle."""

from __future__ import annotations

import shapely
from shapely import Polygon
from shapely.affinity import scale as scaled
from shapely.geometry.base import BaseGeometry

from bladegeom.drawing.dimension import Dimension
from bladegeom.fasteners.stack_words import Key, number_words
from bladegeom.solids.revolve import Ring, Slope

FAR = 1000.0
"""Beyond any handle, mm."""


def region_of(ring: Ring, inside: float = 0.0) -> BaseGeometry:
    """A ring as it is cut: two quadrangles, open ends far off.

    Args:
        ring: Round the fastener's axis.
        inside: Height where a ring begins that goes down to the layer's inside, mm.
    """
    low: Slope = (inside, inside) if ring.low is None else ring.low
    high: Slope = (FAR, FAR) if ring.high is None else ring.high
    corners = [(low[0], ring.inner), (low[1], ring.outer), (high[1], ring.outer), (high[0], ring.inner)]
    return shapely.union_all([Polygon(corners), Polygon([(x, -y) for x, y in corners])])


def mirrored(region: BaseGeometry) -> BaseGeometry:
    """The same on the left side."""
    return scaled(region, -1.0, 1.0, origin=(0.0, 0.0))


def both(right: BaseGeometry) -> tuple[BaseGeometry, BaseGeometry]:
    """On the right side and on the left."""
    return right, mirrored(right)


def dimension_of(name: Key, low: float, high: float, start: float) -> Dimension:
    """One of a stack's numbers as a distance along the axis.

    Args:
        name: Of the number.
        low: Where it begins, mm.
        high: Where it ends, mm.
        start: Height over the axis at which its extension lines begin, mm.
    """
    return Dimension(name=name, words=number_words(name), low=low, high=high, start=start)
