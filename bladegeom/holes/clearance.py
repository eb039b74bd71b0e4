"""Steel round each hole: to the outline, to the other holes, to the handle front."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.curves.build import direction
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.meet import nearest
from bladegeom.knife.hole import Hole, Opening, axis_points
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.tolerances import CHORD, POINT

_STEPS = 500
"""At the steepest lean of a front, 45 degrees, each step leaves a third of what was missing; arcs fall off slower."""


@dataclass(frozen=True, kw_only=True)
class Clearance:
    """Distances of one hole, mm.

    Args:
        edge_distance: Centre line to the nearest point of the outline; negative outside the steel.
        rim: The same from the hole's rim.
        web: Rim to rim of the nearest hole; None where there is no other.
        web_to: Id of that hole.
        behind_front: Rim to the line of the handle front, + towards the butt.
    """

    edge_distance: float
    rim: float
    web: float | None
    web_to: str | None
    behind_front: float


@memo
def clearances(knife: Knife) -> tuple[Clearance, ...]:
    """Distances of every hole of a knife, in the order declared.

    Exact for round holes. For slots the outline is a polygon within 0.005 mm.
    """
    if not knife.openings:
        return ()
    radius = np.array([hole.diameter for hole in knife.openings]) / 2
    edge = _edge_distances(knife)
    web, to = _nearest_webs(knife.openings)
    front = behind_front(knife, axis_points(knife.openings)).min(axis=1) - radius
    return tuple(
        Clearance(
            edge_distance=float(edge[i]),
            rim=float(edge[i] - radius[i]),
            web=float(web[i]) if np.isfinite(web[i]) else None,
            web_to=knife.hole_ids[to[i]] if np.isfinite(web[i]) else None,
            behind_front=float(front[i]),
        )
        for i in range(len(knife.openings))
    )


def behind_front(knife: Knife, xy: FloatArray) -> FloatArray:
    """Distance of points (..., 2) from the handle front, + towards the butt, mm; straight fronts have no ends."""
    dx, dy = direction(-90.0 - knife.front_lean_deg)
    behind_chord = xy[..., 0] * dy - xy[..., 1] * dx
    if knife.front_bow == 0:
        return np.asarray(behind_chord)
    away = knife.front_line.distances(xy[..., 0].ravel(), xy[..., 1].ravel()).reshape(behind_chord.shape)
    along = xy[..., 0] * dx + xy[..., 1] * dy
    front = knife.front_line.vertices
    bulge = np.interp(along, front[:, 0] * dx + front[:, 1] * dy, front[:, 0] * dy - front[:, 1] * dx)
    return np.asarray(np.where(behind_chord > bulge, away, -away))


def along_x(knife: Knife, distance: float) -> float:
    """How far to move along x to gain a distance from the line of a straight handle front, mm."""
    return distance / math.cos(math.radians(knife.front_lean_deg))


def towards_butt(knife: Knife, hole: Opening, wanted: float) -> float:
    """How far to move an opening along x until its rim is so far behind the line of the handle front, mm.

    A place comes no faster from the line than it moves, so that steps by what is missing never overshoot.
    """
    axis, moved = axis_points((hole,)), 0.0
    for _ in range(_STEPS):
        missing = wanted + hole.diameter / 2 - float(behind_front(knife, axis - (moved, 0.0)).min())
        if missing <= POINT:
            break
        moved += missing
    return moved


def _edge_distances(knife: Knife) -> FloatArray:
    out = np.empty(len(knife.openings))
    round_holes = [i for i, hole in enumerate(knife.openings) if isinstance(hole, Hole)]
    if round_holes:
        centres = np.array([[knife.openings[i].x, knife.openings[i].y] for i in round_holes])
        out[round_holes] = nearest(knife.outline.loop, centres).distance
    border = knife.outline.polygon.exterior
    for i, hole in enumerate(knife.openings):
        if not isinstance(hole, Hole):
            out[i] = shapely.LineString(hole.axis).distance(border)
    axes = axis_points(knife.openings)
    inside = shapely.contains_xy(knife.outline.polygon, axes[..., 0], axes[..., 1]).all(axis=1)
    # Within the polygon's tolerance of the border the sign makes no difference that could be measured.
    return np.where(inside | (out < CHORD), out, -out)


def webs(holes: tuple[Opening, ...]) -> FloatArray:
    """Rim-to-rim distances of holes, shape (n, n), mm; infinite of a hole to itself."""
    radius = np.array([hole.diameter for hole in holes]) / 2
    axes = np.asarray(shapely.linestrings(axis_points(holes)))
    apart = np.asarray(shapely.distance(axes[:, None], axes[None, :]) - radius[:, None] - radius[None, :])
    np.fill_diagonal(apart, np.inf)
    return apart


def _nearest_webs(holes: tuple[Opening, ...]) -> tuple[FloatArray, FloatArray]:
    """Least rim-to-rim distance of each hole (n,), inf for a single one, and the index of the other."""
    apart = webs(holes)
    return apart.min(axis=1), apart.argmin(axis=1)
