"""What the openings of the steel take out of it: each by itself where they stand apart, else together and once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import loop_moments
from bladegeom.holes.clearance import webs
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife

_CHORD = 0.0005
"""Chord tolerance of an opening where its exact shape does not count alone, mm."""


def stand_apart(knife: Knife) -> bool:
    """Whether no opening of the steel runs into another or out of the outline."""
    openings, plate = knife.openings, knife.outline.polygon
    if not openings:
        return True
    axes = shapely.linestrings([opening.axis for opening in openings])
    radius = np.array([opening.diameter for opening in openings]) / 2
    rims = shapely.distance(axes, plate.exterior) - radius
    return bool(webs(openings).min() > 0 and rims.min() > 0 and shapely.intersects(axes, plate).all())


def area_within(openings: Sequence[Opening]) -> FloatArray:
    """Integrals of 1, x, y, x^2, x y, y^2 over openings that stand apart, shape (6,), mm; exact."""
    return np.sum([o.moments for o in openings], axis=0) if openings else np.zeros(6)


def area_together(knife: Knife, openings: Sequence[Opening]) -> FloatArray:
    """The same over what openings take out of the plate, each place once; all of the plate where they leave nothing."""
    plate, taken = knife.outline.polygon, _together(openings)
    if shapely.difference(plate, taken).is_empty:
        return knife.outline.moments
    return np.asarray(np.sum([np.zeros(6), *(_area(part) for part in parts_together(plate, openings))], axis=0))


def parts_together(region: BaseGeometry, openings: Sequence[Opening]) -> list[shapely.Polygon]:
    """What openings take out of a region of the side view, each place once."""
    parts = shapely.get_parts(shapely.intersection(region, _together(openings))).tolist()
    return [part for part in parts if isinstance(part, shapely.Polygon) and not part.is_empty]


def opening_polygon(opening: Opening) -> shapely.Polygon:
    """An opening in chords."""
    return shapely.Polygon(flatten(opening.outline, _CHORD))


def _together(openings: Sequence[Opening]) -> BaseGeometry:
    return shapely.union_all([opening_polygon(opening) for opening in openings])


def _area(polygon: shapely.Polygon) -> FloatArray:
    turned = orient(polygon)
    rings = (shapely.get_coordinates(ring) for ring in (turned.exterior, *turned.interiors))
    thirds = np.linspace(0.0, 1.0, 4)[:, None]
    sides = [ring[:-1, None] + np.diff(ring, axis=0)[:, None] * thirds for ring in rings]
    return loop_moments(np.concatenate(sides))
