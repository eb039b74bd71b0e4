"""Dowels that hold pieces in line: square to the middle plane between halves, along the knife in a cut across."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Literal, NamedTuple

import numpy as np
import shapely
from manifold3d import Manifold
from shapely.geometry.base import BaseGeometry

from bladegeom.mockups.body import QUARTER, Body
from bladegeom.mockups.printing import Printing
from bladegeom.mockups.room import Inside

_FAR: Final = 80.0
"""Dowels farther apart than this have another between them, mm: own choice."""

_SHORTER: Final = 0.5
"""By how much a dowel is shorter than its two holes together, mm, for glue and for what a printer leaves in them."""

_STRIP: Final = 0.5
"""Width of the strip at each end in which a dowel is set, mm."""


class Dowel(NamedTuple):
    """A dowel, half in each of two pieces.

    >>> from bladegeom import mockup
    >>> [(dowel.along, round(dowel.z)) for dowel in mockup(design).dowels]
    [('z', 0), ('z', 0), ('z', 0)]
    """

    x: float
    y: float
    z: float
    along: Literal["x", "z"]


def dowel_length(printing: Printing) -> float:
    """Of each dowel, mm."""
    return 2 * printing.dowel_depth - _SHORTER


def between_halves(room: Inside, printing: Printing, parts: Sequence[tuple[float, float]]) -> tuple[Dowel, ...]:
    """Dowels square to the middle plane, two or three in each part where there is room.

    Args:
        room: Within the body, less what stands there already.
        printing: How it is printed.
        parts: Each from one x to another, mm.
    """
    radius = _hole(printing) / 2
    legal = room.at(printing.dowel_depth + printing.least).buffer(-radius - printing.least, quad_segs=QUARTER)
    out: list[Dowel] = []
    for low, high in parts:
        inside = shapely.box(low + radius + printing.least, -1e3, high - radius - printing.least, 1e3)
        out += _spread(legal.intersection(inside), 2 * radius + printing.least)
    return tuple(out)


def across_cut(room: Inside, x: float, printing: Printing, *, halves: bool) -> tuple[Dowel, ...]:
    """Dowels along the knife where it is cut across: up to two in each half, or in the whole; none without room."""
    radius = _hole(printing) / 2 + printing.least
    height = radius if halves else 0.0
    line = shapely.LineString([(x, -1e3), (x, 1e3)])
    upright = shapely.intersection(room.ground, line)
    if upright.is_empty:
        return ()
    _, low, _, high = upright.bounds
    y = np.arange(low + radius, high - radius, 0.5)
    held = y[
        room.holds_round(
            np.column_stack([np.full(len(y), x), y]),
            length=2 * (printing.dowel_depth + printing.least),
            radius=radius,
            height=height,
        )
    ]
    if not len(held):
        return ()
    chosen = (held[0], held[-1]) if held[-1] - held[0] >= 2 * radius else (held[len(held) // 2],)
    sides = (height, -height) if halves else (0.0,)
    return tuple(Dowel(x, float(each), side, "x") for side in sides for each in chosen)


def hole_of(dowel: Dowel, printing: Printing) -> Body:
    """Its two holes, as one solid."""
    return _cylinder(dowel, _hole(printing), 2 * printing.dowel_depth)


def pin_of(dowel: Dowel, printing: Printing) -> Body:
    """The dowel itself, in its place."""
    return _cylinder(dowel, printing.dowel_diameter, dowel_length(printing))


def footprint_of(dowel: Dowel, printing: Printing) -> BaseGeometry:
    """What a dowel square to the middle plane takes of the side view with the walls about its holes."""
    return shapely.Point(dowel.x, dowel.y).buffer(_hole(printing) / 2 + printing.least, quad_segs=QUARTER)


def round_bar(diameter: float, length: float) -> Body:
    """A bar along z about the origin; its polygon has the circle's area."""
    sides = 4 * QUARTER
    wider = math.sqrt(2 * math.pi / (sides * math.sin(2 * math.pi / sides)))
    return Manifold.cylinder(length, diameter / 2 * wider, circular_segments=sides, center=True)


def _cylinder(dowel: Dowel, diameter: float, length: float) -> Body:
    bar = round_bar(diameter, length)
    turned = bar.rotate([0.0, 90.0, 0.0]) if dowel.along == "x" else bar
    return turned.translate([dowel.x, dowel.y, dowel.z])


def _hole(printing: Printing) -> float:
    return printing.dowel_diameter + printing.play


def _spread(legal: BaseGeometry, apart: float) -> list[Dowel]:
    """At both ends of a region, and in its middle where these are far from each other."""
    if legal.is_empty:
        return []
    low, _, high, _ = legal.bounds
    if high - low < apart:
        return [_within(legal, (low + high) / 2)]
    out = [_within(legal, low + _STRIP / 2), _within(legal, high - _STRIP / 2)]
    if high - low > _FAR:
        x = (low + high) / 2
        between = legal.intersection(shapely.box(low + apart, -1e3, high - apart, 1e3))
        if not between.is_empty:
            nearest = shapely.shortest_line(between, shapely.LineString([(x, -1e3), (x, 1e3)])).coords[0]
            out.insert(1, _within(between, nearest[0]))
    return out


def _within(legal: BaseGeometry, x: float) -> Dowel:
    """In the middle of the largest part of a strip of the region."""
    strip = legal.intersection(shapely.box(x - _STRIP / 2, -1e3, x + _STRIP / 2, 1e3))
    widest = max(shapely.get_parts(strip), key=lambda part: part.bounds[3] - part.bounds[1])
    point = widest.representative_point()
    return Dowel(float(point.x), float(point.y), 0.0, "z")
