"""A plan made finer until flat triangles over it follow the heights: along creases first, then where they bend."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Block, Field, Plan
from bladegeom.solids.mesh import Corners

_PROBES = np.array([0.0, 1 / 16, 1 / 4, 1 / 2, 3 / 4, 15 / 16, 1.0])
"""Where an edge is probed, as parts of its length."""

_HALVINGS = 18
_SNAP = 0.1
"""A crease so near to a corner, in tolerances, runs through the corner."""

_KINK = 0.25
"""What bends by less is no crease, in tolerances."""

_BENT = 0.6
"""Farther from the heights no triangle may lie at any probe, in tolerances; the rest is for places between them."""

_ROUNDS = 40


class _Judged(NamedTuple):
    """Edges of blocks, sorted by key, and what each still needs."""

    key: Corners
    crease: FloatArray
    """Way along the edge to the first crease over it; NaN without, shape (n,)."""
    kind: Corners
    """Which two surfaces meet there, as a number, shape (n,)."""
    bent: FloatArray
    """Greatest distance of the heights from the edge, shape (n,), mm."""

    def and_(self, more: _Judged) -> _Judged:
        key = np.concatenate([self.key, more.key])
        order = np.argsort(key, kind="stable")
        return _Judged(key[order], *(np.concatenate(pair)[order] for pair in zip(self[1:], more[1:], strict=True)))


_NONE = _Judged(np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0, dtype=np.int64), np.zeros(0))


def refined(plan: Plan, blocks: Sequence[Block], tolerance: float) -> Plan:
    """The plan with corners enough that flat triangles stay within a tolerance of the heights.

    Where another surface takes over, edges are split at that very place, one pair of surfaces after the other, so that
    the places are joined along the crease.
    """
    judged = _NONE
    for _ in range(_ROUNDS):
        keys, number = _keys(plan)
        new = ~np.isin(keys, judged.key, assume_unique=True)
        judged = judged.and_(_judge(plan, blocks, keys[new], tolerance))
        at = np.searchsorted(judged.key, keys)
        where = _marks(_Judged(keys, *(values[at] for values in judged[1:])), number, plan, tolerance)
        if not np.isfinite(where).any():
            where = _over_middles(plan, blocks, tolerance)
            if not np.isfinite(where).any():
                break
        plan = plan.split(where)
    return plan


def _keys(plan: Plan) -> tuple[Corners, Corners]:
    """One number for each edge in each block that it is a side of, sorted, and the edge's own number."""
    ends = plan.edges[plan.sides]
    keys = (ends[..., 0] << 40) | (ends[..., 1] << 12) | plan.block[:, None]
    found, at = np.unique(keys, return_index=True)
    return found, plan.sides.ravel()[at]


def _marks(judged: _Judged, number: Corners, plan: Plan, tolerance: float) -> FloatArray:
    """Where edges are split in this round, shape (edges,)."""
    where, crossed = np.full(len(plan.edges), np.nan), np.zeros(len(plan.edges), dtype=bool)
    creases = np.isfinite(judged.crease)
    crossed[number[creases]] = True
    beside = plan.sides[crossed[plan.sides].any(axis=1)]
    where[number[judged.bent > _BENT * tolerance]] = 0.5
    where[beside] = np.nan
    if creases.any():
        kinds, count = np.unique(judged.kind[creases], return_counts=True)
        chosen = creases & (judged.kind == kinds[count.argmax()])
        where[number[chosen]] = judged.crease[chosen]
    return where


def _judge(plan: Plan, blocks: Sequence[Block], keys: Corners, tolerance: float) -> _Judged:
    ends = np.stack([keys >> 40, (keys >> 12) & ((1 << 28) - 1)], axis=1)
    which = keys & ((1 << 12) - 1)
    crease, kind, bent = np.full(len(keys), np.nan), np.zeros(len(keys), dtype=np.int64), np.zeros(len(keys))
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(which == number)
        if not len(mine):
            continue
        for side, field in enumerate((block.upper, block.lower)):
            if field is not None:
                found = _probed(field, plan.xy[ends[mine]], tolerance)
                first = np.isnan(crease[mine]) & np.isfinite(found[0])
                crease[mine[first]] = found[0][first]
                kind[mine[first]] = 2 * found[1][first] + side
                bent[mine] = np.maximum(bent[mine], found[2])
    return _Judged(keys, crease, kind, bent)


def _probed(field: Field, ends: FloatArray, tolerance: float) -> tuple[FloatArray, Corners, FloatArray]:
    """First crease over each edge, which it is, and how far the heights leave the edge, each (n,).

    Args:
        field: The heights.
        ends: Shape (n, 2, 2), mm.
        tolerance: mm.
    """
    first, step = ends[:, 0], ends[:, 1] - ends[:, 0]
    xy = first[:, None] + _PROBES[:, None] * step[:, None]
    z, patch = (values.reshape(len(ends), -1) for values in field(*xy.reshape(-1, 2).T))
    length = np.hypot(*step.T)
    rise = z[:, -1] - z[:, 0]
    off = np.abs(z - z[:, :1] - _PROBES * rise[:, None]).max(axis=1)
    bent = off * length / np.hypot(length, rise)
    crease, kind = np.full(len(ends), np.nan), np.zeros(len(ends), dtype=np.int64)
    row, gap = np.nonzero(patch[:, 1:] != patch[:, :-1])
    if len(row):
        at, kinds = _crease(field, (first[row], step[row]), gap, patch[row, gap])
        z_at, _ = field(*(first[row] + at[:, None] * step[row]).T)
        kink = np.maximum(
            np.abs(z_at - z[row, 0] - at * rise[row]),
            np.abs(_off_chord(at, z_at, _PROBES[gap], z[row, gap], _PROBES[gap + 1], z[row, gap + 1])),
        )
        clear = np.minimum(at, 1 - at) * length[row] > _SNAP * tolerance
        real = clear & (kink > _KINK * tolerance)
        row, at, kinds = row[real][::-1], at[real][::-1], kinds[real][::-1]
        crease[row], kind[row] = at, kinds
    return crease, kind, bent


def _off_chord(
    t: FloatArray, z: FloatArray, t0: FloatArray, z0: FloatArray, t1: FloatArray, z1: FloatArray
) -> FloatArray:
    return np.asarray(z - z0 - (t - t0) / (t1 - t0) * (z1 - z0))


def _crease(
    field: Field, lines: tuple[FloatArray, FloatArray], gap: Corners, before: Corners
) -> tuple[FloatArray, Corners]:
    """Where the surface that counts before a gap between two probes ends, by halving, and which pair meets there."""
    first, step = lines
    low, high = _PROBES[gap], _PROBES[gap + 1]
    after = np.zeros_like(before)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        _, patch = field(*(first + middle[:, None] * step).T)
        still = patch == before
        low, high = np.where(still, middle, low), np.where(still, high, middle)
        after = np.where(still, after, patch)
    _, after = field(*(first + high[:, None] * step).T)
    return high, np.minimum(before, after) * 4096 + np.maximum(before, after)


def _over_middles(plan: Plan, blocks: Sequence[Block], tolerance: float) -> FloatArray:
    """Longest sides of triangles whose middles lie too far from the heights."""
    where = np.full(len(plan.edges), np.nan)
    corners = plan.xy[plan.triangles]
    middle = corners.mean(axis=1)
    sides = np.roll(corners, -2, axis=1) - np.roll(corners, -1, axis=1)
    longest = np.hypot(sides[..., 0], sides[..., 1]).argmax(axis=1)
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(plan.block == number)
        for field in (block.upper, block.lower):
            if field is not None and len(mine):
                used, at = np.unique(plan.triangles[mine], return_inverse=True)
                z = field(*plan.xy[used].T)[0][at.reshape(-1, 3)]
                off = np.abs(field(*middle[mine].T)[0] - z.mean(axis=1))
                far = mine[off > _BENT * tolerance]
                where[plan.sides[far, longest[far]]] = 0.5
    return where
