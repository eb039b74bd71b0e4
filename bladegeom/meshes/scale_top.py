"""The outside of a scale in triangles, with the directions of its surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.scales import Rounding
from bladegeom.meshes.loop_plan import filled
from bladegeom.meshes.plan import Plan
from bladegeom.meshes.ridges import refined
from bladegeom.meshes.scale_loop import ScaleLoop
from bladegeom.meshes.scale_rows import Rows, rows_of
from bladegeom.solids.mesh import Corners

_INWARDS = 0.01
"""By so much of the way to the middle of its triangle a corner is moved to see on which side of a crease it is."""

_STEP = 1e-3
"""For slopes along x, mm."""

_UPRIGHT = 1e-9


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
    inner = refined(filled(rows.xy[rows.left]), loop.face.height, tolerance / 6)
    plan, chord, number = _stitched(rows, inner)
    z = loop.face.height(*plan.xy.T)
    return ScaleTop(plan=plan, z=z, normals=_Directions(loop).normals(plan, chord), rim=number[: len(loop.xy)])


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


@dataclass(frozen=True, eq=False)
class _Directions:
    """Slopes of the face, with chords smoothed where they stand for a curve."""

    loop: ScaleLoop

    def normals(self, plan: Plan, chord: Corners) -> FloatArray:
        """At the corners of each triangle, shape (m, 3, 3)."""
        face, front = self.loop.face, self.loop.front
        corners = plan.xy[plan.triangles]
        seen = corners + _INWARDS * (corners.mean(axis=1, keepdims=True) - corners)
        x = seen[..., 0].ravel()
        high, low = (face.inside(x + s) + face.scales.flat(x + s) for s in (_STEP, -_STEP))
        slope = np.zeros((len(x), 2))
        slope[:, 0] = (high - low) / (2 * _STEP)
        own, seen = np.repeat(chord, 3), seen.reshape(-1, 2)
        lines = (
            (face.border, face.scales.roundings, np.arange(front, len(self.loop.xy))),
            (face.front, face.scales.front_roundings, np.arange(front)),
        )
        for line, roundings, chords in lines:
            away = line.distances(*plan.xy.T)[plan.triangles].ravel()
            near = np.flatnonzero(away < max((rounding.width for rounding in roundings), default=0.0))
            along = np.where(np.isin(own[near], chords), own[near], -1)
            slope[near] += self._inwards(seen[near], along, chords) * _steepness(away[near], roundings)[:, None]
        normal = np.column_stack([-slope, np.ones(len(x))])
        return np.asarray((normal / np.linalg.norm(normal, axis=1)[:, None]).reshape(-1, 3, 3))

    def _inwards(self, xy: FloatArray, along: Corners, chords: Corners) -> FloatArray:
        """Direction square to a line's curve at its place nearest to each, shape (n, 2).

        Args:
            xy: The places.
            along: Chord that is nearest to each; -1 where that is not known.
            chords: Of the line.
        """
        along = along.copy()
        unknown = np.flatnonzero(along < 0)
        along[unknown] = chords[self._nearest(xy[unknown], chords)]
        start = self.loop.xy[along]
        step = self.loop.xy[(along + 1) % len(self.loop.xy)] - start
        part = np.clip(((xy - start) * step).sum(axis=1) / (step * step).sum(axis=1), 0.0, 1.0)[:, None]
        ends = self.loop.inwards[along]
        found = (1 - part) * ends[:, 0] + part * ends[:, 1]
        return np.asarray(found / np.hypot(*found.T)[:, None])

    def _nearest(self, xy: FloatArray, chords: Corners) -> Corners:
        start = self.loop.xy[chords]
        step = self.loop.xy[(chords + 1) % len(self.loop.xy)] - start
        t = np.clip((xy @ step.T - (start * step).sum(axis=1)) / (step * step).sum(axis=1), 0.0, 1.0)
        off = [(xy[:, i, None] - start[:, i] - t * step[:, i]) ** 2 for i in (0, 1)]
        return np.asarray((off[0] + off[1]).argmin(axis=1))


def _steepness(away: FloatArray, roundings: tuple[Rounding, ...]) -> FloatArray:
    """By how much the face rises per mm away from the border."""
    out = np.zeros(len(away))
    for rounding in roundings:
        left = np.clip(rounding.width - away, 0.0, rounding.width)
        out += left / np.sqrt(np.maximum(rounding.radius**2 - left**2, _UPRIGHT))
    return out
