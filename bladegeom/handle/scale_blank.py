"""What a scale is cut out of: its outline with what is ground off after gluing, and the piece to buy."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.ops import substring

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray, Vector, join
from bladegeom.curves.flatten import flatten
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.scales import Scales
from bladegeom.quantities.materials import Material
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_length

_ROUND = 32
"""Chords to a quarter circle where the outline is grown round a corner: true to 0.0015 mm at an overhang of 5 mm."""


_STRAIGHT = 1e-4
"""Corners that a straight line passes nearer than this are left out, mm; some double the ends of the front."""


@dataclass(frozen=True, kw_only=True, eq=False)
class SlabBlank:
    """A piece of slab or sheet to buy, the grain along its length.

    Args:
        part: "scales", "liners"; of several sheets "liners 1", counted from the tang.
        material: What it is made of.
        length: The longer side, mm.
        width: The shorter side, mm.
        thickness: Of a slab the least to buy and what it is brought to before drilling, of a sheet its own, mm.
        corners: On the design, round the right side's cut-out with its margin, shape (4, 2), mm.
        pieces: For one knife.
    """

    part: str
    material: Material
    length: float
    width: float
    thickness: float
    corners: FloatArray
    pieces: int = 2

    @property
    def grain_deg(self) -> float:
        """Direction of the long side on the design, from +x, in degrees from -90 to 90."""
        sides = np.diff(self.corners[:3], axis=0)
        dx, dy = sides[int(np.hypot(*sides.T).argmax())].tolist()
        return math.degrees(math.atan(dy / dx)) if dx else 90.0

    @property
    def words(self) -> str:
        """What to ask for."""
        slab = self.part == "scales"
        return (
            f"{self.part.capitalize()}: {self.pieces} pieces of {self.material.name}, each "
            f"{room_to_buy(self.length)} long, {room_to_buy(self.width)} wide and {'at least ' if slab else ''}"
            f"{show_length(self.thickness)} thick, grain along the length"
            f"{'; brought to that thickness before drilling' if slab else ''}"
        )


def cut_out(knife: Knife, scales: Scales) -> Curve:
    """The outline on which a right scale, or a liner, is sawn out: closed, counter-clockwise, in the design frame.

    It lies the overhang outside the handle along top, butt and underside. The front is finished before gluing, so it
    is the handle front itself, carried on straight at both ends until it leaves the overhang.
    """
    front, over = knife.handle_front, scales.overhang
    if over == 0:
        return knife.handle_loop
    with_overhang = shapely.orient_polygons(shapely.buffer(knife.handle_region, over, quad_segs=_ROUND))
    up, down = (-front.start_direction[0], -front.start_direction[1]), front.end_direction
    upper, lower = _leaves(with_overhang, front.start, up), _leaves(with_overhang, front.end, down)
    ring = shapely.LineString(with_overhang.exterior.coords)
    start, end = ring.project(shapely.Point(upper)), ring.project(shapely.Point(lower))
    twice = shapely.LineString(np.concatenate([shapely.get_coordinates(ring), shapely.get_coordinates(ring)[1:]]))
    around = substring(twice, start, end if end > start else end + ring.length)
    border = vectors(shapely.get_coordinates(shapely.simplify(around, _STRAIGHT)))
    return join(line(border[-1], front.end), front.reversed(), line(front.start, *border))


def _leaves(region: Polygon, start: Vector, way: Vector) -> Vector:
    """Where a straight way from inside a region first leaves it."""
    x0, y0, x1, y1 = region.bounds
    far = (x1 - x0) + (y1 - y0)
    ray = shapely.LineString([start, (start[0] + far * way[0], start[1] + far * way[1])])
    parts = shapely.get_parts(shapely.intersection(ray, region))
    first = min(parts, key=lambda part: part.distance(shapely.Point(start)))
    return max(vectors(shapely.get_coordinates(first)), key=lambda end: math.dist(end, start))


@memo
def blanks(knife: Knife) -> tuple[SlabBlank, ...]:
    """The pieces to buy for both sides; none without scales.

    The smallest rectangle round the cut-out and its margin, turned as it may. No bandsaw waste is counted.
    """
    if knife.scales is None:
        return ()
    return tuple(_blanks(knife.scales, flatten(cut_out(knife, knife.scales), CHORD)))


def _blanks(scales: Scales, outline: FloatArray) -> Iterator[SlabBlank]:
    corners = smallest_box(outline, scales.margin)
    sides = np.hypot(*np.diff(corners[:3], axis=0).T)
    names = ["liners"] if len(scales.liners) == 1 else [f"liners {i}" for i in range(1, len(scales.liners) + 1)]
    for part, material, thickness in (
        ("scales", scales.material, scales.slab_thickness),
        *((name, liner.material, liner.thickness) for name, liner in zip(names, scales.liners, strict=True)),
    ):
        yield SlabBlank(
            part=part,
            material=material,
            length=float(sides.max()),
            width=float(sides.min()),
            thickness=thickness,
            corners=corners,
        )


def smallest_box(outline: FloatArray, margin: float) -> FloatArray:
    """Corners (4, 2) of the rectangle of least area that keeps a margin round points (n, 2), mm.

    Every side of the points' hull is tried as a side of it.

    Source:
        Freeman and Shapira 1975: a rectangle of least area has a side of the hull on one of its own.
    """
    hull = shapely.get_coordinates(shapely.MultiPoint(outline).convex_hull)
    steps = np.diff(hull, axis=0)
    along = steps / np.hypot(*steps.T)[:, None]
    across = along[:, ::-1] * (-1.0, 1.0)
    spans = []
    for unit in (along, across):
        ways = hull @ unit.T
        spans.append((ways.min(axis=0) - margin, ways.max(axis=0) + margin))
    (u0, u1), (v0, v1) = spans
    best = int(((u1 - u0) * (v1 - v0)).argmin())
    u, v = np.array([u0, u1, u1, u0])[:, best], np.array([v0, v0, v1, v1])[:, best]
    return np.asarray(u[:, None] * along[best] + v[:, None] * across[best])


def vectors(rows: FloatArray) -> list[Vector]:
    """Places of shape (n, 2) one by one."""
    return [(float(x), float(y)) for x, y in rows]
