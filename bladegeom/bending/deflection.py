"""How far a load at the butt bends the bare tang: a comparison between variants, never a promise of strength.

The tang is clamped at the handle front and loaded evenly on an upright line near the butt. It is reckoned with finite
elements: in its plane as plane stress, across it as a plate that shears through its thickness. So what steel does
between holes and beside slots is counted, which the beam formula misses. Scales and fasteners are not; load and elastic
modulus cancel in a comparison.

Against bricks through the thickness a comparison is true to 1.5 % sideways and 0.3 % edgewise on a tang with 16 holes
as the lightening comes, or with two staggered rows; between 27 square windows of 6 mm with webs of 3 mm it is 3.6 % low
sideways, which is the mesh: with half its side it is 1.2 %.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.bending.cantilever import Cantilever, Deflection
from bladegeom.bending.triangle_mesh import SNAP, triangulated
from bladegeom.holes.net_section import tang_front
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.units import show_mm

LOAD_AHEAD = 5.0
"""The load stands this far ahead of the butt's end, mm; own choice: an end that runs to a point bears nothing."""

_SIDE = 1.5
"""Sides of the triangles, mm; own choice: with half of it, eight patterns tried bend by up to 0.8 % more."""

_ROUND = 24
"""Corners of a round opening in the mesh, at least."""


@memo
def deflection(knife: Knife) -> Deflection:
    """Of the finished tang with all its holes.

    Raises:
        ParameterError: The tang is too short to take the load behind the handle front.
    """
    (bent,) = _bent(knife, [knife.openings])
    return bent


@memo
def lightening_deflection(knife: Knife) -> Deflection:
    """How many times as far the tang bends as without its lightening holes; 1 without any.

    Both are reckoned on one mesh, so that what it misses cancels.

    Raises:
        ParameterError: As of :func:`deflection`.
    """
    others = [opening for opening in knife.openings if opening.purpose != "lightening"]
    with_all, without = _bent(knife, [knife.openings, others])
    return with_all.over(without)


def _bent(knife: Knife, sets: Sequence[Sequence[Opening]], side: float = _SIDE) -> list[Deflection]:
    """Of the tang with each of some sets of its openings."""
    # On the grid of the mesh, so that its first and last corners lie exactly there.
    load, clamp = (SNAP * round(x / SNAP) for x in (knife.outline.bounds[0] + LOAD_AHEAD, tang_front(knife)))
    if not load < clamp:
        raise ParameterError(
            "tang: length", f"{show_mm(clamp - load + LOAD_AHEAD)} mm", f"be more than {LOAD_AHEAD:g} mm"
        )
    _, low, _, high = knife.outline.bounds
    tang = knife.outline.polygon.intersection(shapely.box(load, low - 1, clamp, high + 1)).simplify(SNAP)
    rims = {opening: _rim(opening, side) for opening in knife.openings}
    mesh = triangulated(tang, [rim.boundary for rim in rims.values()], side)
    held = Cantilever(mesh=mesh, thickness=lambda x: 2 * knife.stock.half_thickness(x))
    return [held.bent(tang.difference(shapely.union_all([rims[opening] for opening in some]))) for some in sets]


def _rim(opening: Opening, side: float) -> BaseGeometry:
    """Polygon that stands for an opening, with round ends of the same area."""
    quarter = max(_ROUND / 4, math.ceil(math.pi * opening.diameter / side / 4))
    turn = math.pi / (2 * quarter)
    radius = opening.diameter / 2 * math.sqrt(turn / math.sin(turn))
    start, end = opening.axis
    axis = shapely.Point(start) if np.array_equal(start, end) else shapely.LineString([start, end])
    return axis.buffer(radius, quad_segs=int(quarter))
