"""What a mark covers: letters or a drawing, as large as the field lets them be."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from bladegeom.grinding.zones import TEXT_FILLS
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.islands import bridged
from bladegeom.outline.artwork import Artwork
from bladegeom.outline.filled import filled_region
from bladegeom.quantities.letter_outlines import text_outlines
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.tolerances import JOINED

_STEPS = 16
"""Chords to each curve of a letter: on letters 20 mm high they are 8 micrometres off at most."""

_EVEN = 0.0005
"""Corners that lie so near to a straight line are left out, mm: small letters need fewer chords."""


def mark_region(zone: MarkZone) -> BaseGeometry:
    """What a mark covers on the knife, mm, in the design's frame; bridges of a stencil are left out.

    On the left face it is turned over, so that it reads rightly there.
    """
    shape = shape_of(zone)
    turned = affinity.scale(shape, -1.0, 1.0, origin=(0.0, 0.0)) if zone.side == "left" else shape
    return affinity.translate(turned, zone.x, zone.y)


@lru_cache(maxsize=64)
def shape_of(zone: MarkZone) -> BaseGeometry:
    """The same as one reads it, round the middle of its field."""
    shape = _text(zone) if zone.artwork is None else _drawn(zone.artwork, zone)
    shape = bridged(shape, zone.bridge) if zone.bridge else shape
    return shapely.remove_repeated_points(shapely.simplify(shape, _EVEN), 2 * JOINED)


def _text(zone: MarkZone) -> BaseGeometry:
    wide, high = TEXT_FILLS
    unit = text_width(zone.text, 1.0, bold=zone.bold)
    height = min(high * zone.height, wide * zone.width / max(unit, 1e-9))
    rings = [np.array(ring) for ring in text_outlines(zone.text, height, bold=zone.bold, steps=_STEPS)]
    shape = affinity.translate(filled_region(rings), -unit * height / 2, -height / 2)
    if shape.is_empty:
        return shape
    _, low, _, top = shape.bounds
    # Letters that hang below their line, or bear an accent, are put in the middle where they would leave the field.
    off = -(low + top) / 2 if max(-low, top) > zone.height / 2 else 0.0
    return affinity.translate(shape, 0.0, off)


def _drawn(artwork: Artwork, zone: MarkZone) -> BaseGeometry:
    x0, y0, x1, y1 = artwork.region.bounds
    scale = min(zone.width / (x1 - x0), zone.height / (y1 - y0))
    middle = affinity.translate(artwork.region, -(x0 + x1) / 2, -(y0 + y1) / 2)
    return affinity.scale(middle, scale, scale, origin=(0.0, 0.0))
