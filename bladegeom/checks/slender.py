"""Tongues of steel: a hook, a nose or a heel's spike that stands out narrow from the rest, and is not the tip."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.quantities.units import show_length, show_place

SLENDER = 1.5
"""A tongue narrower than so many thicknesses of the stock and longer than that is slender; own choice."""

_NEAR = 0.05
"""Steel nearer than this to the wide part touches it, mm; the arcs of a buffer are polygons."""


@rule(
    Code("slender", ("warning",), "a narrow tongue of steel stands out"),
)
def check_slender(knife: Knife) -> Iterator[Finding]:
    """A tongue is told; a narrow place between two wider ones is none, see ``check_outline``, nor is a stick tang."""
    steel, width = knife.outline.coarse_polygon, SLENDER * knife.stock.thickness
    shrunk, tip = steel.buffer(-width / 2), shapely.Point(knife.outline.tip)
    if shrunk.is_empty or not _may_stand_out(steel, shrunk, width, tip):
        return
    wide = shrunk.buffer(width / 2)
    bodies = shapely.get_parts(wide)
    hidden = has_hidden_tang(knife.outline.profiles)
    for part in shapely.get_parts(shapely.difference(steel, wide)):
        if part.area < _NEAR * width or part.distance(tip) < _NEAR or (hidden and part.bounds[2] < 0):
            continue
        touched = shapely.distance(bodies, part) < _NEAR
        reach = float(shapely.hausdorff_distance(part, wide.intersection(part.buffer(_NEAR))))
        if touched.sum() < 2 and reach > width:
            yield _tongue(part, reach, width, hardens=knife.stock.hardens)


def _may_stand_out(steel: BaseGeometry, shrunk: BaseGeometry, width: float, tip: shapely.Point) -> bool:
    """Whether there can be a tongue at all, at a fifth of the time that it takes to know.

    The wide part is swollen by a hair more. Its border then runs beside that of the steel, not along it, where the two
    would cut each other into a hundred slivers. A tongue that reaches farther than a width still stands out of it, in
    one piece as long as that but for hairs.
    """
    left = shapely.get_parts(shapely.difference(steel, shrunk.buffer(width / 2 + _NEAR)))
    low_x, low_y, high_x, high_y = shapely.bounds(left).T
    long = np.hypot(high_x - low_x, high_y - low_y) > width - 4 * _NEAR
    return bool((long & (shapely.distance(left, tip) >= _NEAR)).any())


_HARDENED = {True: "overheats and warps in the hardening, and ", False: ""}
"""What a tongue does besides, of a metal that is hardened, and of one that is not."""


def _tongue(part: Polygon, reach: float, width: float, *, hardens: bool) -> Finding:
    x, y = shapely.get_coordinates(part.representative_point())[0]
    return Finding(
        code="slender",
        severity="warning",
        part="blade",
        message=(
            f"a tongue of steel at {show_place(x, y)} stands out {show_length(reach)} and is narrower than "
            f"{show_length(width)}, {SLENDER:g} times the stock's thickness: it {_HARDENED[hardens]}"
            f"breaks off in a fall; shorten it by {show_length(reach - width)}, or make it wider at its root"
        ),
        measured=reach,
        limit=width,
        source="own choice",
        x=float(x),
        y=float(y),
    )
