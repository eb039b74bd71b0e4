"""Tongues of steel: a hook, a nose or a heel's spike that stands out narrow from the rest, and is not the tip."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import Polygon

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.quantities.units import show_length, show_place

SLENDER = 1.5
"""A tongue narrower than so many thicknesses of the stock and longer than that is slender; own choice."""

_SIMPLE = 0.02
"""Tongues are looked for on a polygon with this tolerance, mm: they are told to a tenth."""

_NEAR = 0.05
"""Steel nearer than this to the wide part touches it, mm; the arcs of a buffer are polygons."""


@rule(
    Code("slender", ("warning",), "a narrow tongue of steel stands out"),
)
def check_slender(knife: Knife) -> Iterator[Finding]:
    """A tongue is told; a narrow place between two wider ones is none, see ``check_outline``, nor is a stick tang."""
    steel = knife.outline.polygon.simplify(_SIMPLE)
    width = SLENDER * knife.stock.thickness
    wide = steel.buffer(-width / 2).buffer(width / 2)
    bodies = shapely.get_parts(wide)
    if not len(bodies):
        return
    tip, hidden = shapely.Point(knife.outline.tip), has_hidden_tang(knife.outline.profiles)
    for part in shapely.get_parts(shapely.difference(steel, wide)):
        if part.area < _NEAR * width or part.distance(tip) < _NEAR or (hidden and part.bounds[2] < 0):
            continue
        touched = shapely.distance(bodies, part) < _NEAR
        reach = float(shapely.hausdorff_distance(part, wide.intersection(part.buffer(_NEAR))))
        if touched.sum() < 2 and reach > width:
            yield _tongue(part, reach, width, hardens=knife.stock.hardens)


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
