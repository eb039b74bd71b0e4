"""Zones for texture and marks as they stand on the template."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import SMALL_TEXT, Item, Label, Path, Pen
from bladegeom.grinding.zones import LEAST_TEXT, TEXT_FILLS, PlacedZone, placed_zones
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.mark_region import mark_region
from bladegeom.outline.filled import rings_of_region
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.tolerances import JOINED
from bladegeom.quantities.units import show_length

ZONE_PEN = Pen(width=0.13, dashes=(0.8, 0.8))
_MARK_PEN = Pen(width=0.05)


def zone_marks(knife: Knife, flank: Flank | None = None) -> Iterator[Item]:
    """Borders of the zones of both faces or of one, and for textures the depth of the grooves.

    Marks have their text, or their own lines where they are drawn or it is told how they are made.
    """
    for placed in placed_zones(knife):
        if flank and flank not in placed.zone.flanks:
            continue
        # Where borders meet at a corner, two of its places may be the same but for rounding.
        region = shapely.remove_repeated_points(placed.region, 2 * JOINED)
        for ring in shapely.get_rings(shapely.get_parts(region)):
            points = [(float(x), float(y)) for x, y in shapely.get_coordinates(ring)]
            yield Path(layer="MARK", curve=line(*points), closed=True, pen=ZONE_PEN)
        if isinstance(placed.zone, MarkZone) and (placed.zone.made or placed.zone.artwork):
            for places in rings_of_region(mark_region(placed.zone)):
                yield Path(layer="MARK", curve=line(*places), closed=True, pen=_MARK_PEN)
        else:
            yield from _words(placed)


def _words(placed: PlacedZone) -> Iterator[Item]:
    if placed.region.is_empty:
        return
    zone = placed.zone
    if isinstance(zone, MarkZone):
        text, width, height = zone.text, zone.width, zone.height
        x, y = zone.x, zone.y
    else:
        text = f"texture to {show_length(zone.depth)}"
        inner = max(shapely.get_parts(placed.region), key=lambda part: part.area)
        centre = inner.representative_point()
        x, y = float(centre.x), float(centre.y)
        width, height = _room(inner, y)
    wide, high = TEXT_FILLS
    # The face is told where there is room for it; the text itself is worth more.
    for words in (f"{text} (left face)", text) if zone.side == "left" else (text,):
        size = min(SMALL_TEXT, high * height, SMALL_TEXT * wide * width / text_width(words, SMALL_TEXT))
        if size >= LEAST_TEXT:
            yield Label(layer="NOTE", x=x, y=y - size / 2, text=words, height=size, anchor="middle")
            return


def _room(region: BaseGeometry, y: float) -> tuple[float, float]:
    """Width of a region at a height, and its height, mm."""
    x0, y0, x1, y1 = region.bounds
    across = shapely.intersection(region, shapely.LineString([(x0, y), (x1, y)]))
    return float(across.length), float(y1 - y0)
