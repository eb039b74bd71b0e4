"""One place along the edge, and what is ground on the line square to the edge there."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray, Vector, directions
from bladegeom.curves.meet import nearest
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.grind import Flank, Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.side import Side
from bladegeom.quantities.tolerances import FINE_CHORD

TILT_DEG = 0.5
"""The sheet says what a jig set wrong by this much does to the grind line."""

DEPTH_STEP = 0.05
"""Places along a station's line are this far apart when its crossing with the grind line is sought, mm."""

_CHORDS = 3
"""Steps of the search for that crossing, between two such places, by regula falsi."""

_FORWARD = 0.5
"""A station that reaches behind the plunge line is moved on by at least this, mm; own choice."""

_NO_ANGLE = 1e-6
"""A face that is flatter than this never comes to an end, rad."""


@dataclass(frozen=True, kw_only=True)
class Station:
    """One place along the edge, and the steel on the line square to the edge there, at one stage of the work.

    Args:
        x: Of the edge there, mm.
        foot: That place of the edge, mm.
        inward: Unit vector square to the edge into the steel.
        reach: Length of that line inside the steel, mm.
        stock: Thickness of the tapered bar at the edge, mm.
        grind_line: Distance of the grind line from the edge along it, mm; None where the face runs out at the spine.
        face: Index of the uppermost face there, which meets the stock or the spine.
        angle_deg: Between middle plane and chord of that face, from the edge to grind line or spine.
        tilted: Where the grind line comes to lie with the angle 0.5 degrees less and more, mm; None likewise, and for
            the lesser angle where that brings it over the spine.
        wall: Least thickness of the steel between edge and grind line, mm, and its distance from the edge.
    """

    x: float
    foot: Vector
    inward: Vector
    reach: float
    stock: float
    grind_line: float | None
    face: int
    angle_deg: float
    tilted: tuple[float | None, float] | None
    wall: tuple[float, float]

    @property
    def top(self) -> Vector:
        """Where that line leaves the steel, mm."""
        return self.foot[0] + self.reach * self.inward[0], self.foot[1] + self.reach * self.inward[1]

    def place(self, from_edge: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Places x and y at distances from the edge along the station's line, mm."""
        return self.foot[0] + from_edge * self.inward[0], self.foot[1] + from_edge * self.inward[1]


def station_at(knife: Knife, flank: Flank, x: float, stage: Stage = "finished") -> Station:
    """The station at an x, told of one side as it is ground at a stage."""
    foot, inward = square_to_edge(knife, x)
    reach = _reach(knife, foot, inward)
    d = np.arange(0.0, reach, DEPTH_STEP)
    side = knife.side(stage, flank, chord=FINE_CHORD)
    px, py = foot[0] + d * inward[0], foot[1] + d * inward[1]
    half = side.stock.half_thickness(px)
    laws = side.laws(px, py)
    stock_again = np.flatnonzero(_lead(laws) >= 0)
    line = _crossing(side, foot, inward, d, int(stock_again[0])) if len(stock_again) else None
    top = line if line is not None else float(d[-1])
    ends = side.laws(*(foot[axis] + np.array([0.0, top]) * inward[axis] for axis in (0, 1)))[1:]
    told = int(ends[:, 1].argmin())
    face = ends[told]
    rise = float(face[1] - face[0])
    angle = math.atan2(rise, top)
    if knife.grind.only is None:
        steel = 2 * side.height_by(laws, px, py)
    else:
        steel = thickness(knife, stage, px, py, chord=FINE_CHORD)
    ground = d <= top
    thinnest = int(np.where(ground, steel, np.inf).argmin())
    tilt = math.radians(TILT_DEG)
    tilted = None
    if line is not None and angle > tilt + _NO_ANGLE:
        higher = rise / math.tan(angle - tilt)
        tilted = higher if higher < reach else None, rise / math.tan(angle + tilt)
    return Station(
        x=x,
        foot=foot,
        inward=inward,
        reach=reach,
        stock=float(2 * half[0]),
        grind_line=line,
        face=told,
        angle_deg=math.degrees(angle),
        tilted=tilted,
        wall=(float(steel[thinnest]), float(d[thinnest])),
    )


def ahead_of_plunge(knife: Knife, flank: Flank, x: float) -> float:
    """The first x from one on whose station runs ahead of the plunge line and its hollow as far up as it is ground.

    Where the edge falls towards the tip, as on a recurve, the line square to it leans back.
    """
    line, hollow = knife.plunge_line, knife.grind.plunge.radius
    (low, near), (high, far) = sorted((y, x) for x, y in (line.start, line.end))
    while x < knife.outline.tip[0]:
        station = station_at(knife, flank, x)
        up = station.reach if station.grind_line is None else station.grind_line
        end_x, end_y = (foot + up * way for foot, way in zip(station.foot, station.inward, strict=True))
        behind = float(np.interp(end_y, (low, high), (near, far))) + hollow - end_x
        if behind <= 0:
            return x
        x += max(behind, _FORWARD)
    return x


def _crossing(side: Side, foot: Vector, inward: Vector, d: FloatArray, i: int) -> float:
    """Distance from the edge at which the face meets the stock, between two places of the search."""

    def lead(at: float) -> float:
        x, y = np.array([foot[0] + at * inward[0]]), np.array([foot[1] + at * inward[1]])
        return float(_lead(side.laws(x, y))[0])

    low, high = float(d[max(i - 1, 0)]), float(d[i])
    at_low, at_high = lead(low), lead(high)
    for _ in range(_CHORDS):
        if not at_low < 0 < at_high:
            break
        middle = low + (high - low) * at_low / (at_low - at_high)
        at = lead(middle)
        if at < 0:
            low, at_low = middle, at
        else:
            high, at_high = middle, at
    if at_low >= 0:
        return low
    return high if at_high <= 0 else low + (high - low) * at_low / (at_low - at_high)


def _lead(laws: FloatArray) -> FloatArray:
    """How far the lowest face would rise above the stock, shape (n,), mm; negative where it is ground."""
    return np.asarray(laws[1:].min(axis=0) - laws[0])


def square_to_edge(knife: Knife, x: float) -> tuple[Vector, Vector]:
    """The place of the edge at an x, and the unit vector square to it into the steel."""
    points = knife.outline.edge_points
    guess = (x, float(np.interp(x, points[:, 0], points[:, 1])))
    found = nearest(knife.outline.edge, [guess])
    (dx, dy) = directions(knife.outline.edge, found.t)[0]
    # On the chords that heights are measured from: beside them one edge would read 0.031 in here and 0.032 in there.
    chords = shapely.LineString(knife.outline.edge_line(FINE_CHORD).vertices)
    foot = chords.interpolate(chords.project(shapely.Point(found.xy[0])))
    return (foot.x, foot.y), (float(-dy), float(dx))


def _reach(knife: Knife, foot: Vector, inward: Vector) -> float:
    """Length of a line from the edge into the steel until it leaves the ground region."""
    far = max(knife.outline.bounds[3] - knife.outline.bounds[1], 1.0) * 3
    ray = shapely.LineString([foot, (foot[0] + far * inward[0], foot[1] + far * inward[1])])
    inside = shapely.get_parts(shapely.intersection(ray, knife.outline.polygon))
    first = min(inside, key=lambda part: part.distance(shapely.Point(foot)))
    return float(first.length)
