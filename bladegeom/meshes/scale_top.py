"""The outside of a scale in triangles, with the directions of its surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.loop_plan import filled
from bladegeom.meshes.plan import Plan, twice_area
from bladegeom.meshes.ridges import refined
from bladegeom.meshes.scale_loop import ScaleLoop, steepness
from bladegeom.meshes.scale_rows import Rows, rows_of
from bladegeom.solids.mesh import Corners

_INWARDS = 0.3
"""By so much of the way to the middle of its triangle a corner is moved to see on which side of a crease it is."""

_GAUSS = np.polynomial.legendre.leggauss(6)
_WAY, _WEIGHT = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
"""Places between two rows, as parts of the way, and their weights."""

_STEP = 1e-3
"""For slopes along x, mm."""

_UPRIGHT = 1e-9

_TABLE = 40_000
"""Cells of a table of places by chords at a time: so few stay in the processor's cache."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ScaleTop:
    """Triangles over the border's region.

    Args:
        plan: They, seen from above.
        z: Height of each place, shape (n,), mm.
        normals: At the corners of each triangle, shape (m, 3, 3).
        rim: Places along the border, in the order of the loop.
    """

    plan: Plan
    z: FloatArray
    normals: FloatArray
    rim: Corners


def scale_top(loop: ScaleLoop, tolerance: float) -> ScaleTop:
    """The outside of a scale.

    Args:
        loop: Its border.
        tolerance: Greatest distance from the face, mm.
    """
    rows = rows_of(loop)
    inner = refined(filled(rows.xy[rows.left]), loop.face.height, tolerance / 6, border=loop.sag)
    plan, chord, number = _stitched(rows, inner)
    away = _away(loop, plan)
    z = loop.face.height(*plan.xy.T) + _surplus(loop, away)
    z += _bulge(loop, plan, z, plan.triangles[chord < 0], np.unique(plan.triangles[chord >= 0]))
    return ScaleTop(plan=plan, z=z, normals=_directions(loop, plan, chord, away), rim=number[: len(loop.xy)])


def face_normals(loop: ScaleLoop, plan: Plan) -> FloatArray:
    """Directions of the scale's face at the corners of any triangles over it, shape (m, 3, 3)."""
    return _directions(loop, plan, np.full(len(plan.triangles), -1), _away(loop, plan))


def _away(loop: ScaleLoop, plan: Plan) -> tuple[FloatArray, FloatArray]:
    """Distances of a plan's places to the border and to the front, shape (n,) each, mm."""
    return loop.face.border.distances(*plan.xy.T), loop.face.front.distances(*plan.xy.T)


def _surplus(loop: ScaleLoop, away: tuple[FloatArray, FloatArray]) -> FloatArray:
    """What places between the border and the flat lie over the face, so that the chords of its arcs hold as much."""
    scales, out = loop.face.scales, np.zeros(len(away[0]))
    for distances, roundings, levels in zip(
        away, (scales.roundings, scales.front_roundings), (loop.levels, loop.front_levels), strict=True
    ):
        if roundings:
            first, step = levels[:-1, None], np.diff(levels)[:, None]
            within, ends = (
                np.sum([np.maximum(rounding.drop(at), 0.0) for rounding in roundings], axis=0)
                for at in (first + _WAY * step, levels)
            )
            lacking = (ends[:-1] + ends[1:]) / 2 - within @ _WEIGHT
            # The border itself and the flat stay where they are.
            over = np.concatenate([[0.0], (lacking[:-1] + lacking[1:]) / 2, [0.0]])
            out += np.interp(distances, levels, over)
    return out


def _bulge(loop: ScaleLoop, plan: Plan, z: FloatArray, triangles: Corners, fixed: Corners) -> FloatArray:
    """By how much places between triangles must rise so that these hold as much as the face over them.

    Args:
        loop: With the face.
        plan: All triangles.
        z: Heights of the places, shape (n,), mm.
        triangles: Those that are looked at.
        fixed: Places that stay.
    """
    a, b, c = plan.xy[triangles].transpose(1, 0, 2)
    area = twice_area(a, b, c)
    # Where a face is bent evenly, three quarters of what lies over the middle of a triangle lie over all of it.
    over = 0.75 * (loop.face.height(*((a + b + c) / 3).T) - z[triangles].mean(axis=1))
    weight = np.bincount(triangles.ravel(), np.repeat(area, 3), len(z))
    out = np.bincount(triangles.ravel(), np.repeat(area * over, 3), len(z)) / np.maximum(weight, _UPRIGHT)
    out[fixed] = 0.0
    return out


def _stitched(rows: Rows, inner: Plan) -> tuple[Plan, Corners, Corners]:
    """Rows and what lies inside them as one.

    Returns:
        The plan; the chord along which each triangle lies, -1 where none is known; the new number of each place.
    """
    # What is left comes first in the inner plan, in the order of its border.
    number = np.concatenate([rows.left, len(rows.xy) + np.arange(len(inner.xy) - len(rows.left))])
    triangles = np.concatenate([rows.triangles, number[inner.triangles]])
    xy = np.concatenate([rows.xy, inner.xy[len(rows.left) :]])
    used = np.zeros(len(xy), dtype=bool)
    used[triangles] = True
    new = np.cumsum(used) - 1
    chord = np.concatenate([rows.chord, np.full(len(inner.triangles), -1)])
    plan = Plan(xy=xy[used], triangles=new[triangles], block=np.zeros(len(triangles), dtype=np.int64))
    return plan, chord, new


def _directions(loop: ScaleLoop, plan: Plan, chord: Corners, away: tuple[FloatArray, FloatArray]) -> FloatArray:
    """Of the face at the corners of triangles, shape (m, 3, 3).

    Args:
        loop: With the face.
        plan: The triangles.
        chord: Along which each of them lies, -1 where none is known.
        away: Distances of the places to the border and to the front.
    """
    face, front = loop.face, loop.front
    corners = plan.xy[plan.triangles]
    seen = corners + _INWARDS * (corners.mean(axis=1, keepdims=True) - corners)
    x = seen[..., 0].ravel()
    high, low = (face.inside(x + s) + face.scales.flat(x + s) for s in (_STEP, -_STEP))
    slope = np.zeros((len(x), 2))
    slope[:, 0] = (high - low) / (2 * _STEP)
    own, seen = np.repeat(chord, 3), seen.reshape(-1, 2)
    lines = (
        (away[0], face.scales.roundings, np.arange(front, len(loop.xy))),
        (away[1], face.scales.front_roundings, np.arange(front)),
    )
    for distances, roundings, chords in lines:
        far = distances[plan.triangles].ravel()
        near = np.flatnonzero(far < max((rounding.width for rounding in roundings), default=0.0))
        along = np.where(np.isin(own[near], chords), own[near], -1)
        slope[near] += (
            _inwards(loop, (corners.reshape(-1, 2)[near], seen[near]), along, chords)
            * steepness(far[near], roundings)[:, None]
        )
    normal = np.column_stack([-slope, np.ones(len(x))])
    return np.asarray((normal / np.linalg.norm(normal, axis=1)[:, None]).reshape(-1, 3, 3))


def _inwards(loop: ScaleLoop, places: tuple[FloatArray, FloatArray], along: Corners, chords: Corners) -> FloatArray:
    """Direction square to a line's curve at its place nearest to each, shape (n, 2).

    Args:
        loop: With the line.
        places: They, and the same moved to where their triangle lies.
        along: Chord that is nearest to each; -1 where that is not known.
        chords: Of the line.
    """
    xy, seen = places
    along = along.copy()
    unknown = np.flatnonzero(along < 0)
    along[unknown] = chords[_nearest(loop, seen[unknown], chords)]
    start, corner = loop.xy[along], (along + 1) % len(loop.xy)
    step = loop.xy[corner] - start
    part = ((xy - start) * step).sum(axis=1) / (step * step).sum(axis=1)
    ends, within = loop.inwards[along], np.clip(part, 0.0, 1.0)[:, None]
    found = (1 - within) * ends[:, 0] + within * ends[:, 1]
    # Round a corner that stands out into the handle, and round the line's ends, distances are from the corner.
    sharp = np.flatnonzero(((part < 0) & ~loop.smooth[along]) | ((part > 1) & ~loop.smooth[corner]))
    off = xy[sharp] - np.where(part[sharp, None] < 0, start[sharp], loop.xy[corner[sharp]])
    found[sharp] = np.where(np.hypot(*off.T)[:, None] > _STEP, off, found[sharp])
    return np.asarray(found / np.hypot(*found.T)[:, None])


def _nearest(loop: ScaleLoop, xy: FloatArray, chords: Corners) -> Corners:
    """Which of some chords is nearest to each place."""
    count = max(1, -(-len(xy) * len(chords) // _TABLE))
    return np.concatenate([_nearest_of_all(loop, part, chords) for part in np.array_split(xy, count)])


def _nearest_of_all(loop: ScaleLoop, xy: FloatArray, chords: Corners) -> Corners:
    start = loop.xy[chords]
    across = loop.across[chords]
    along = np.stack([across[:, 1], -across[:, 0]], axis=1)
    long = np.hypot(*(loop.xy[(chords + 1) % len(loop.xy)] - start).T)
    past = xy @ along.T - (start * along).sum(axis=1)
    past -= np.clip(past, 0.0, long)
    beside = xy @ across.T - (start * across).sum(axis=1)
    return np.asarray((past * past + beside * beside).argmin(axis=1))
