"""What a stencil cannot hold: pieces of film that a line closes round, and bridges that hold them."""

from __future__ import annotations

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry


def islands(region: BaseGeometry) -> tuple[Polygon, ...]:
    """Pieces that fall out where a region is cut through, such as the middle of an O, from left to right, mm.

    A letter within a closed border goes with the piece that it stands on.
    """
    around = shapely.box(*region.bounds).buffer(1.0)
    x0, _, _, _ = around.bounds
    left = shapely.get_parts(shapely.difference(around, region))
    free = [piece for piece in left if piece.bounds[0] > x0]
    return tuple(sorted(free, key=lambda piece: (piece.bounds[0], piece.bounds[1])))


def bridged(region: BaseGeometry, width: float) -> BaseGeometry:
    """A region with its lines broken above and below the middle of each island, straight up and down.

    Args:
        region: Of what is cut through, mm.
        width: Of the bridges, > 0 mm.
    """
    _, y0, _, y1 = region.bounds
    for island in islands(region):
        x = _widest(island)
        region = shapely.difference(region, shapely.box(x - width / 2, y0 - 1.0, x + width / 2, y1 + 1.0))
    return region


def _widest(island: Polygon) -> float:
    """Where a bridge goes through its middle, or through a middle of what is left of it."""
    if island.covers(island.centroid):
        return float(island.centroid.x)
    return float(island.representative_point().x)
