"""The side view of the steel, cut into regions in each of which the same is done to all of a side."""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.flatten import flatten, flatten_pieces
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.side import Side
from bladegeom.knife.stations import Stations
from bladegeom.knife.zone import TextureZone
from bladegeom.meshes.plunge import ahead_of, hollow
from bladegeom.quantities.solid_errors import MeshError
from bladegeom.quantities.units import show_length


class SteelRegion(NamedTuple):
    """A part of the side view."""

    shape: BaseGeometry
    ground: bool = False
    """Whether it lies ahead of the plunge line."""
    in_hollow: bool = False
    """Whether it lies in the hollow along that line, on either side."""
    rows: tuple[BaseGeometry, ...] = ()
    """Lines along that hollow."""
    sunk: tuple[float, float] = (0.0, 0.0)
    """How deep a texture is sunk in the right and in the left side, mm."""
    number: int = 0
    """Of the stretch between two stations of the taper."""


def steel_regions(
    knife: Knife, sides: tuple[Side, Side], chord: float, tolerance: float, *, textured: bool
) -> list[SteelRegion]:
    """All of a knife.

    Args:
        knife: The knife.
        sides: The right and the left side of its steel.
        chord: Greatest distance of borders from their curves, mm.
        tolerance: Of a mesh, mm.
        textured: Whether textures are sunk.

    Raises:
        MeshError: Its holes leave nothing of it, or a texture nothing under it.
    """
    plate = Polygon(flatten_pieces(knife.outline.loop.pieces, chord)[0])
    steel = shapely.difference(plate, shapely.union_all([_opening(hole, chord) for hole in knife.openings]))
    if steel.is_empty:
        raise MeshError("blade: its holes leave nothing of it; make them narrower, or fewer")
    half_plane = ahead_of(sides[0], plate.bounds)
    ahead, behind = shapely.intersection(steel, half_plane), shapely.difference(steel, half_plane)
    hollows = [hollow(side, plate.bounds, tolerance) for side in sides]
    near = shapely.union_all([each.region for each in hollows])
    rows = tuple(row for each in hollows for row in each.rows)
    regions = [
        SteelRegion(behind),
        SteelRegion(shapely.difference(ahead, near), ground=True),
        SteelRegion(shapely.intersection(ahead, near), ground=True, in_hollow=True, rows=rows),
    ]
    if textured:
        regions = _with_textures(knife, regions, chord)
    regions = _between_stations(regions, sides[0].stock.taper)
    for region in regions:
        _require_steel_under(region, sides)
    return regions


def _require_steel_under(region: SteelRegion, sides: tuple[Side, Side]) -> None:
    """That textures leave some; they lie on flats, which are thinnest on the border of a region, between stations."""
    deep = sum(region.sunk)
    if not deep or region.shape.is_empty:
        return
    places = shapely.get_coordinates(region.shape)
    thick = sides[0].height(*places.T) + sides[1].height(*places.T)
    least = int(np.argmin(thick))
    if thick[least] <= deep:
        message = (
            f"blade: its textures take {show_length(deep)} off, both faces together and at their mean depth, where it "
            f"is {show_length(float(thick[least]))} thick{{at}}; make them less deep"
        )
        raise MeshError(message, (float(places[least, 0]), float(places[least, 1])))


def _opening(opening: Opening, chord: float) -> BaseGeometry:
    """A hole as a polygon of its own area."""
    inside = Polygon(flatten(opening.outline, chord))
    lacking = float(opening.moments[0]) - inside.area
    return shapely.buffer(inside, lacking / inside.length, join_style="mitre")


def _with_textures(knife: Knife, regions: list[SteelRegion], chord: float) -> list[SteelRegion]:
    for placed in placed_zones(knife):
        zone = placed.zone
        if not isinstance(zone, TextureZone) or placed.region.is_empty:
            continue
        shape = shapely.simplify(placed.region, chord)
        depth = zone.depth * zone.share * zone.mean_depth * placed.area / shape.area
        deeper = np.array([depth * (flank in zone.flanks) for flank in ("right", "left")])
        regions = [
            part
            for region in regions
            for part in (
                region._replace(shape=shapely.difference(region.shape, shape)),
                region._replace(
                    shape=shapely.intersection(region.shape, shape), sunk=tuple((region.sunk + deeper).tolist())
                ),
            )
            if part.shape.area > 0
        ]
    return regions


def _between_stations(regions: list[SteelRegion], taper: Stations) -> list[SteelRegion]:
    """Each region cut at the stations of the taper, where another slope begins."""
    x0, y0, x1, y1 = shapely.total_bounds([region.shape for region in regions]).tolist()
    stations = [x for x, _ in taper if x0 < x < x1]
    if not stations:
        return regions
    strips = itertools.pairwise([x0 - 1.0, *stations, x1 + 1.0])
    boxes = [shapely.box(low, y0 - 1.0, high, y1 + 1.0) for low, high in strips]
    return [
        region._replace(shape=shapely.intersection(region.shape, box), number=number)
        for region in regions
        for number, box in enumerate(boxes)
    ]
