"""Creases: lines in the plan where another smooth surface counts, traced edge by edge over a first plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.change import first_change
from bladegeom.meshes.plan import Block, EdgesOfBlocks, Field, Marks, Plan, edges_of_blocks
from bladegeom.solids.mesh import Corners

_PROBES = np.array([0.0, 1 / 16, 1 / 4, 1 / 2, 3 / 4, 15 / 16, 1.0])
"""Where an edge is probed, as parts of its length."""

_SNAP = 0.1
"""A crease so near to a corner, in tolerances, runs through the corner."""

_KINK = 0.05
"""What bends by less is no crease, in tolerances."""

_ROUNDS = 20
"""Each round follows one pair of surfaces; a crease that meets a border at a tangent may be left after so many."""

_STRAIGHT = 0.4
"""A traced crease loses places that lie so near to its chords, in tolerances."""

_REACH = 0.1
"""So far beside its chord a crease is looked for, as a part of the chord."""

_BOW = 0.25
"""A crease that passes the middle of its chord farther off, in tolerances, gets a corner there."""

_BOWS = 6

_PATCHES = 1 << 16


class _Crossed(NamedTuple):
    """Edges of blocks by key, ascending, with what crosses each."""

    key: Corners
    where: FloatArray
    """Way along the edge to the first crease over it; NaN without, shape (n,)."""
    pair: Corners
    """Which two surfaces meet there, as a number, shape (n,)."""

    def and_(self, more: _Crossed) -> _Crossed:
        key = np.concatenate([self.key, more.key])
        order = np.argsort(key, kind="stable")
        return _Crossed(key[order], *(np.concatenate(two)[order] for two in zip(self[1:], more[1:], strict=True)))


def creases(plan: Plan, blocks: Sequence[Block], tolerance: float) -> tuple[BaseGeometry, ...]:
    """Lines where another surface takes over, upper or lower.

    Where it does over an edge, the edge is split at that very place, one pair of surfaces after the other; so the
    places are joined along the crease.
    """
    known = _Crossed(np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0, dtype=np.int64))
    for _ in range(_ROUNDS):
        found = edges_of_blocks(plan)
        new = found.only(~np.isin(found.key, known.key, assume_unique=True))
        known = known.and_(_crossed(plan, blocks, new, tolerance))
        at = np.searchsorted(known.key, found.key)
        where, pair = known.where[at], known.pair[at]
        crossed = np.isfinite(where)
        if not crossed.any():
            break
        pairs, count = np.unique(pair[crossed], return_counts=True)
        chosen = crossed & (pair == pairs[count.argmax()])
        split = np.full(len(plan.edges), np.nan)
        split[found.edge[chosen]] = where[chosen]
        plan = plan.split(split)
    return _lines(plan, blocks, tolerance)


def _crossed(plan: Plan, blocks: Sequence[Block], edges: EdgesOfBlocks, tolerance: float) -> _Crossed:
    """What crosses some edges."""
    where, pair = np.full(len(edges.key), np.nan), np.zeros(len(edges.key), dtype=np.int64)
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(edges.block == number)
        if not len(mine):
            continue
        for side, field in enumerate(block.fields):
            row, at, kinds = _crossings(field, plan.xy[plan.edges[edges.edge[mine]]], tolerance)
            row = mine[row]
            first = np.isnan(where[row])
            where[row[first]], pair[row[first]] = at[first], 2 * kinds[first] + side
    return _Crossed(edges.key, where, pair)


def _crossings(field: Field, ends: FloatArray, tolerance: float) -> tuple[Corners, FloatArray, Corners]:
    """Which edges a crease runs over, the way along each to the first one, and which it is, (k,) each.

    Args:
        field: The heights.
        ends: Of n edges, shape (n, 2, 2), mm.
        tolerance: mm.
    """
    first, step = ends[:, 0], ends[:, 1] - ends[:, 0]
    xy = first[:, None] + _PROBES[:, None] * step[:, None]
    z, patch = field(*xy.reshape(-1, 2).T)
    z, patch = z.reshape(len(ends), -1), patch.reshape(len(ends), -1)
    row, gap = np.nonzero(patch[:, 1:] != patch[:, :-1])
    if not len(row):
        return row, np.zeros(0), row
    at, pair = _taken_over(field, first[row], step[row], _PROBES[gap], _PROBES[gap + 1])
    z_at = field(*(first[row] + at[:, None] * step[row]).T)[0]
    kink = np.maximum(
        _off(at, z_at, np.zeros(len(row)), z[row, 0], np.ones(len(row)), z[row, -1]),
        _off(at, z_at, _PROBES[gap], z[row, gap], _PROBES[gap + 1], z[row, gap + 1]),
    )
    clear = np.minimum(at, 1 - at) * np.hypot(*step[row].T) > _SNAP * tolerance
    real = np.flatnonzero(clear & (kink > _KINK * tolerance))
    row, foremost = np.unique(row[real], return_index=True)
    return row, at[real][foremost], pair[real][foremost]


def _off(t: FloatArray, z: FloatArray, t0: FloatArray, z0: FloatArray, t1: FloatArray, z1: FloatArray) -> FloatArray:
    """How far a place lies off the chord between two others, in height."""
    return np.asarray(np.abs(z - z0 - (t - t0) / (t1 - t0) * (z1 - z0)))


def _taken_over(
    field: Field, first: FloatArray, step: FloatArray, low: FloatArray, high: FloatArray
) -> tuple[FloatArray, Corners]:
    """Where along lines the surface at one place gives way on the way to another, and which pair meets there.

    Args:
        field: The heights.
        first: Where each line starts, shape (n, 2), mm.
        step: All along it, mm.
        low: Its one place, as a part of that.
        high: Its other.
    """

    def surface(along: FloatArray) -> Corners:
        xy = first + along[..., None] * step
        return field(*xy.reshape(-1, 2).T)[1].reshape(along.shape)

    at, before, after = first_change(surface, low, high)
    return at, np.minimum(before, after) * _PATCHES + np.maximum(before, after)


class _Chords(NamedTuple):
    """Chords of creases."""

    ends: FloatArray
    """Shape (n, 2, 2), mm."""
    block: Corners
    """Number of the block that each is in."""
    side: Corners
    """Whose surfaces part there: 0 for the upper side, 1 for the lower one."""


def _lines(plan: Plan, blocks: Sequence[Block], tolerance: float) -> tuple[BaseGeometry, ...]:
    """Edges that part triangles of one block on different surfaces, bent to the creases and joined."""
    chords = _chords(plan, blocks)
    if not len(chords.ends):
        return ()
    done = []
    for _ in range(_BOWS):
        middle, bowed = _bowed(chords, blocks, tolerance)
        done.append(chords.ends[~bowed])
        first, last = chords.ends[bowed].transpose(1, 0, 2)
        halves = np.concatenate([np.stack([first, middle[bowed]], axis=1), np.stack([middle[bowed], last], axis=1)])
        chords = _Chords(halves, np.tile(chords.block[bowed], 2), np.tile(chords.side[bowed], 2))
        if not len(halves):
            break
    ends = np.concatenate([*done, chords.ends])
    lines = shapely.get_parts(shapely.line_merge(shapely.MultiLineString(list(ends))))
    return tuple(shapely.simplify(lines, _STRAIGHT * tolerance).tolist())


def _chords(plan: Plan, blocks: Sequence[Block]) -> _Chords:
    """Edges between triangles of one block whose middles lie on different surfaces."""
    middle = plan.xy[plan.triangles].mean(axis=1)
    patch = np.zeros((len(middle), 2), dtype=np.int64)
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(plan.block == number)
        for side, field in enumerate(block.fields if len(mine) else ()):
            patch[mine, side] = field(*middle[mine].T)[1]
    first, second = plan.neighbours
    parted = (patch[first] != patch[second]) & ((second >= 0) & (plan.block[first] == plan.block[second]))[:, None]
    edge = np.flatnonzero(parted.any(axis=1))
    return _Chords(plan.xy[plan.edges[edge]], plan.block[first[edge]], parted[edge].argmax(axis=1))


def _bowed(chords: _Chords, blocks: Sequence[Block], tolerance: float) -> tuple[FloatArray, Marks]:
    """Where the crease passes the middle of each chord, shape (n, 2), and which do not pass it closely."""
    way = np.diff(chords.ends, axis=1)[:, 0]
    middle, across = chords.ends.mean(axis=1), way[:, ::-1] * (1.0, -1.0)
    near = _BOW * tolerance / np.hypot(*way.T)
    bowed = np.zeros(len(middle), dtype=bool)
    for number, block in enumerate(blocks):
        for side, field in enumerate(block.fields):
            mine = np.flatnonzero((chords.block == number) & (chords.side == side) & (near < _REACH))
            if not len(mine):
                continue
            close, reach = near[mine], np.full(len(mine), _REACH)
            places = middle[mine] + np.stack([-reach, -close, close, reach])[..., None] * across[mine]
            first, low, high, last = field(*places.reshape(-1, 2).T)[1].reshape(4, -1)
            far = mine[(first != last) & (low == high)]
            start, step = middle[far] - _REACH * across[far], 2 * _REACH * across[far]
            at, _ = _taken_over(field, start, step, np.zeros(len(far)), np.ones(len(far)))
            bowed[far], middle[far] = True, start + at[:, None] * step
    return middle, bowed
