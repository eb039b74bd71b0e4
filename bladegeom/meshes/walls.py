"""Upright walls of a mesh: along its borders, and between neighbours of different heights."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Plan
from bladegeom.solids.mesh import Corners

_CORNER = np.cos(np.radians(30.0))
"""Where a border turns by more, two walls meet in a corner; chords of a small radius may turn by nearly as much."""


class Upright(NamedTuple):
    """Triangles, the smooth surface that each is of, (m,), and unit vectors out of it at their corners, (m, 3, 3)."""

    triangles: Corners
    patches: Corners
    normals: FloatArray

    def turned(self) -> Upright:
        """The same seen from the other side."""
        return Upright(self.triangles[:, ::-1], self.patches, -self.normals[:, ::-1])


class _Runs(NamedTuple):
    """Pieces of wall, each over one edge of the plan, the solid to its left: corners of the plan and of the mesh."""

    start: Corners
    end: Corners
    start_low: Corners
    start_high: Corners
    end_low: Corners
    end_high: Corners


def walls(plan: Plan, low: Corners, high: Corners) -> Upright:
    """All upright walls.

    Args:
        plan: The triangles.
        low: Vertices of the mesh at the lower ends of their corners, shape (m, 3); sorted up each column.
        high: At the upper ends.
    """
    parts = [_raised(plan, runs) for runs in _runs(plan, low, high)]
    first = np.cumsum([0, *(int(part.patches.max(initial=-1)) + 1 for part in parts)])
    return Upright(
        np.concatenate([part.triangles for part in parts]),
        np.concatenate([part.patches + start for part, start in zip(parts, first, strict=False)]),
        np.concatenate([part.normals for part in parts]),
    )


def _runs(plan: Plan, low: Corners, high: Corners) -> list[_Runs]:
    order = np.argsort(plan.sides.ravel(), kind="stable")
    side = plan.sides.ravel()[order]
    again = np.zeros(len(side) + 1, dtype=bool)
    again[1:-1] = side[1:] == side[:-1]
    triangle, opposite = np.divmod(order, 3)
    alone = ~again[:-1] & ~again[1:]
    (t, a, b) = triangle[alone], (opposite[alone] + 1) % 3, (opposite[alone] + 2) % 3
    ends = plan.triangles
    out = [_Runs(ends[t, a], ends[t, b], low[t, a], high[t, a], low[t, b], high[t, b])]
    second = np.flatnonzero(again[:-1])
    first, other = np.stack([triangle, opposite])[:, np.stack([second - 1, second])].transpose(1, 0, 2)
    differ = plan.block[first[0]] != plan.block[other[0]]
    (t, o), (u, p) = first[:, differ], other[:, differ]
    a, b, d, c = (o + 1) % 3, (o + 2) % 3, (p + 1) % 3, (p + 2) % 3
    start, end = ends[t, a], ends[t, b]
    out += [
        _Runs(start, end, high[u, c], high[t, a], high[u, d], high[t, b]),
        _Runs(end, start, high[t, b], high[u, d], high[t, a], high[u, c]),
        _Runs(start, end, low[t, a], low[u, c], low[t, b], low[u, d]),
        _Runs(end, start, low[u, d], low[t, b], low[u, c], low[t, a]),
    ]
    return [_standing(runs) for runs in out]


def _standing(runs: _Runs) -> _Runs:
    """Those that have a height."""
    up = (runs.start_high >= runs.start_low) & (runs.end_high >= runs.end_low)
    up &= (runs.start_high > runs.start_low) | (runs.end_high > runs.end_low)
    return _Runs(*(values[up] for values in runs))


def _raised(plan: Plan, runs: _Runs) -> Upright:
    """Triangles over each run; every vertex of its two columns is a corner of them, so that walls meet without gaps."""
    patch, normal = _patches(plan, runs)
    i, k = _counted(runs.start_high - runs.start_low)
    j, m = _counted(runs.end_high - runs.end_low)
    up_start = np.stack([runs.start_low[i] + k, runs.end_low[i], runs.start_low[i] + k + 1], axis=1)
    up_end = np.stack([runs.start_high[j], runs.end_low[j] + m, runs.end_low[j] + m + 1], axis=1)
    return Upright(
        np.concatenate([up_start, up_end]),
        patch[np.concatenate([i, j])],
        np.concatenate([normal[i][:, [0, 1, 0]], normal[j][:, [0, 1, 1]]]),
    )


def _counted(n: Corners) -> tuple[Corners, Corners]:
    """Each index as often as it counts, and which time it is."""
    which = np.repeat(np.arange(len(n)), n)
    return which, np.arange(len(which)) - np.repeat(np.cumsum(n) - n, n)


def _patches(plan: Plan, runs: _Runs) -> tuple[Corners, FloatArray]:
    """Number of the smooth wall that each run is of, (n,), and unit vectors out of it at both ends, (n, 2, 3)."""
    way = plan.xy[runs.end] - plan.xy[runs.start]
    length = np.hypot(way[:, 0], way[:, 1])[:, None]
    out = way[:, ::-1] * (1.0, -1.0) / length
    before, after = _followers(plan, runs, out)
    # On a circle through three places this is its own direction at the middle one.
    at_end = out[before] * length[after] + out[after] * length[before]
    at_end /= np.hypot(at_end[:, 0], at_end[:, 1])[:, None]
    normal = np.zeros((len(out), 2, 3))
    normal[:, :, :2] = out[:, None]
    normal[before, 1, :2] = normal[after, 0, :2] = at_end
    return _hanging_together(len(out), before, after), normal


def _followers(plan: Plan, runs: _Runs, out: FloatArray) -> tuple[Corners, Corners]:
    """Pairs of runs that follow each other without a corner."""
    n = len(plan.xy)
    starts, ends = np.bincount(runs.start, minlength=n), np.bincount(runs.end, minlength=n)
    starting = np.full(n, -1)
    starting[runs.start] = np.arange(len(runs.start))
    before = np.flatnonzero((starts[runs.end] == 1) & (ends[runs.end] == 1))
    after = starting[runs.end[before]]
    smooth = (out[before] * out[after]).sum(axis=1) > _CORNER
    return before[smooth], after[smooth]


def _hanging_together(count: int, before: Corners, after: Corners) -> Corners:
    """Number of the chain that each run is of, from 0, shape (count,)."""
    least, ahead = np.arange(count), np.arange(count)
    ahead[before] = after
    for _ in range(count.bit_length()):
        # Both look ever twice as far ahead: an open chain ends at its last run, a ring has a least number.
        least, ahead = np.minimum(least, least[ahead]), ahead[ahead]
    last = np.setdiff1d(np.arange(count), before)
    key = np.where(np.isin(ahead, last), ahead + count, least)
    return np.unique(key, return_inverse=True)[1].reshape(-1)
