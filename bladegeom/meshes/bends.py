"""A plan made finer where heights bend, until flat triangles over it follow them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Block, Plan, edges_of_blocks
from bladegeom.solids.mesh import Corners

_PROBES = np.array([0.0, 1 / 4, 1 / 2, 3 / 4, 1.0])
"""Where an edge is probed, as parts of its length."""

_BENT = 0.6
"""Farther from the heights no edge may lie at any probe, in tolerances; the rest is for places between them."""

_SHORT = 2.0
"""A triangle without a longer side is as small as it need be, in tolerances: heights stand upright there."""

_ROUNDS = 12


def bent(plan: Plan, blocks: Sequence[Block], tolerance: float) -> Plan:
    """The plan with corners enough that flat triangles stay within a tolerance of the heights."""
    straight = np.zeros(0, dtype=np.int64)
    for _ in range(_ROUNDS):
        found = edges_of_blocks(plan)
        new = ~np.isin(found.key, straight, assume_unique=True)
        far = _far(plan, blocks, found.block[new], found.edge[new], tolerance)
        straight = np.concatenate([straight, found.key[new][~far]])
        split = np.unique(found.edge[new][far])
        if not len(split):
            split = _over_middles(plan, blocks, tolerance)
            if not len(split):
                break
        where = np.full(len(plan.edges), np.nan)
        where[split] = 0.5
        plan = plan.split(where)
    return plan


def _far(plan: Plan, blocks: Sequence[Block], which: Corners, edge: Corners, tolerance: float) -> FloatArray:
    """Which edges lie too far from the heights, shape (n,)."""
    far = np.zeros(len(edge), dtype=bool)
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(which == number)
        if not len(mine):
            continue
        first, last = plan.xy[plan.edges[edge[mine]]].transpose(1, 0, 2)
        step = last - first
        xy = first[:, None] + _PROBES[:, None] * step[:, None]
        length = np.hypot(*step.T)
        for field in block.fields:
            z = field(*xy.reshape(-1, 2).T)[0].reshape(len(mine), -1)
            rise = z[:, -1] - z[:, 0]
            off = np.abs(z - z[:, :1] - _PROBES * rise[:, None]).max(axis=1) * length / np.hypot(length, rise)
            far[mine] |= (off > _BENT * tolerance) & (length > _SHORT * tolerance)
    return far


def _over_middles(plan: Plan, blocks: Sequence[Block], tolerance: float) -> Corners:
    """Longest sides of triangles whose middles lie too far from the heights."""
    corners = plan.xy[plan.triangles]
    middle = corners.mean(axis=1)
    sides = np.roll(corners, -2, axis=1) - np.roll(corners, -1, axis=1)
    length = np.hypot(sides[..., 0], sides[..., 1])
    far = np.zeros(len(corners), dtype=bool)
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(plan.block == number)
        if not len(mine):
            continue
        used, at = np.unique(plan.triangles[mine], return_inverse=True)
        for field in block.fields:
            z = field(*plan.xy[used].T)[0][at.reshape(-1, 3)]
            far[mine] |= np.abs(field(*middle[mine].T)[0] - z.mean(axis=1)) > _BENT * tolerance
    far &= length.max(axis=1) > _SHORT * tolerance
    return np.unique(plan.sides[far, length[far].argmax(axis=1)])
