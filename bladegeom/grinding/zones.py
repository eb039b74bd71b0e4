"""Where zones lie on the steel, how deep they may go, and what they take out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import direction
from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.grind_line import alike, grind_line
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.zone import MarkZone, TextureZone, Zone
from bladegeom.solids.panels import columns_of
from bladegeom.solids.part import G_PER_MM3

_PANEL = 3.0
_PROBES = 9
_CRUMB = 4.0
"""Pieces of a textured region smaller than this are not worth carving, mm2; own choice."""

TEXT_FILLS = (0.9, 0.7)
"""Parts of a field's width and height that its text may fill on the template; own choice."""

LEAST_TEXT = 1.2
"""Smaller text is not worth printing, mm; own choice."""


@dataclass(frozen=True, kw_only=True)
class PlacedZone:
    """A zone on the steel.

    Args:
        zone: As declared.
        region: What it covers on one face, mm.
        deepest: The deepest groove that leaves the stated thickness at every point of the region, mm; None for a mark.
        deepest_at: Where that limit is met, mm.
        area: Of one face, mm2.
        mass: Of the steel that a texture takes out, all faces, g.
    """

    zone: Zone
    region: BaseGeometry
    deepest: float | None
    deepest_at: tuple[float, float] | None
    area: float
    mass: float


@memo
def placed_zones(knife: Knife) -> tuple[PlacedZone, ...]:
    """Every zone of a knife, in the order declared."""
    return tuple(_placed(knife, zone) for zone in knife.zones)


def flat_region(knife: Knife, flank: Flank) -> BaseGeometry:
    """The steel ahead of the handle front that no face touches on one side, mm."""
    ahead = shapely.intersection(knife.outline.polygon, _ahead_of_front(knife, 0.0))
    return shapely.difference(ahead, _ground_region(knife, flank))


def box_of(mark: MarkZone) -> Polygon:
    """The field of a mark."""
    w, h = mark.width / 2, mark.height / 2
    return shapely.box(mark.x - w, mark.y - h, mark.x + w, mark.y + h)


def _placed(knife: Knife, zone: Zone) -> PlacedZone:
    if isinstance(zone, MarkZone):
        box = box_of(zone)
        return PlacedZone(zone=zone, region=box, deepest=None, deepest_at=None, area=box.area, mass=0.0)
    region = _texture_region(knife, zone)
    if region.is_empty:
        return PlacedZone(zone=zone, region=region, deepest=None, deepest_at=None, area=0.0, mass=0.0)
    faces = len(zone.flanks)
    xy, left = _left(knife, zone, region)
    i = int(left.argmin())
    volume = region.area * faces * zone.depth * zone.share * zone.mean_depth
    return PlacedZone(
        zone=zone,
        region=region,
        deepest=float((left[i] - zone.least_thickness) / faces),
        deepest_at=(float(xy[i, 0]), float(xy[i, 1])),
        area=float(region.area),
        mass=volume * knife.stock.material.density_g_cm3 * G_PER_MM3,
    )


def _left(knife: Knife, zone: TextureZone, region: BaseGeometry) -> tuple[FloatArray, FloatArray]:
    """Places all over a region, shape (n, 2), and what other textures on the face behind leave there, (n,), mm."""
    behind = [
        (other.depth, _texture_region(knife, other))
        for other in knife.zones
        if isinstance(other, TextureZone) and not set(other.flanks) & set(zone.flanks)
    ]
    parts = [region, *(shapely.intersection(region, other) for _, other in behind)]
    xy = np.concatenate([_sample(part) for part in parts if part.area > 0])
    left = thickness(knife, "finished", xy[:, 0], xy[:, 1])
    for depth, other in behind:
        left = left - depth * shapely.intersects_xy(other, xy[:, 0], xy[:, 1])
    return xy, left


def _texture_region(knife: Knife, zone: TextureZone) -> BaseGeometry:
    """Between the ground faces and the spine, within the zone's ends, less all margins; crumbs left out."""
    x0, y0, x1, y1 = knife.outline.bounds
    region = shapely.intersection(
        shapely.intersection(knife.outline.polygon.buffer(-zone.margin), _ahead_of_front(knife, zone.front_margin)),
        shapely.box(max(zone.start, x0), y0, min(zone.end, x1), y1),
    )
    for flank in zone.flanks:
        region = shapely.difference(region, _ground_region(knife, flank).buffer(zone.margin))
        for mark in knife.zones:
            if isinstance(mark, MarkZone) and mark.side == flank:
                region = shapely.difference(region, box_of(mark).buffer(zone.margin))
    line = shapely.LineString(shapely.get_coordinates(_plunge(knife))).buffer(zone.margin)
    parts = shapely.get_parts(shapely.difference(region, line))
    return shapely.union_all([part for part in parts if part.area > _CRUMB])


def _plunge(knife: Knife) -> BaseGeometry:
    return shapely.LineString([knife.plunge_line.start, knife.plunge_line.end])


def _ground_region(knife: Knife, flank: Flank) -> BaseGeometry:
    """The steel under the faces of one side."""
    return _under_faces(knife, alike(knife, flank))


@memo
def _under_faces(knife: Knife, flank: Flank) -> BaseGeometry:
    if not knife.grind.faces_at("finished", flank):
        return Polygon()
    top = knife.outline.bounds[3] + 1.0
    above = [
        Polygon([(row[0, 0], top), *row.tolist(), (row[-1, 0], top)]) for row in grind_line(knife, "finished", flank)
    ]
    # A grind line may cross itself where a law ends, and then bounds more than one region.
    sound = [part if part.is_valid else shapely.make_valid(part) for part in above]
    return shapely.difference(knife.bevel_region, shapely.union_all(sound))


def _ahead_of_front(knife: Knife, margin: float) -> BaseGeometry:
    dx, dy = direction(90.0 - knife.front_lean_deg)
    x0, y0, x1, y1 = knife.outline.bounds
    far = 4 * (x1 - x0 + y1 - y0)
    up, ahead = far * np.array([dx, dy]), np.array([dy, -dx])
    foot = (margin - abs(knife.front_bow)) * ahead
    half_plane = Polygon([foot - up, foot - up + far * ahead, foot + up + far * ahead, foot + up])
    if knife.front_bow == 0:
        return half_plane
    return shapely.difference(half_plane, shapely.buffer(knife.handle_region, margin))


def _sample(region: BaseGeometry) -> FloatArray:
    """Places all over a region, its border included, shape (n, 2), mm."""
    columns = columns_of(region, (), _PANEL)
    share = np.linspace(0.0, 1.0, _PROBES)
    y = columns.low[:, None] + (columns.high - columns.low)[:, None] * share
    inside = np.stack([np.repeat(columns.x, _PROBES), y.ravel()], axis=1)
    return np.concatenate([inside, shapely.get_coordinates(region)])
