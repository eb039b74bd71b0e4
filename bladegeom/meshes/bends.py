"""A plan made finer where heights bend, until flat triangles over it follow them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bladegeom.meshes.plan import Block, Plan, edges_of_blocks
from bladegeom.meshes.survey import BlockSurvey, Marks, survey
from bladegeom.solids.mesh import Corners

_PROBES = np.array([0.0, 1 / 4, 1 / 2, 3 / 4, 1.0])
"""Where an edge is probed, as parts of its length."""

_BENT = 0.6
"""Farther from the heights no edge may lie at any probe, in tolerances; the rest is for places between them."""

_HELD = 0.05
"""A triangle that lacks more on the mean, in tolerances, gets a corner within its surface, which can be moved."""

_SHORT = 2.0
"""A triangle without a longer side is as small as it need be, in tolerances: heights stand upright there."""

_ROUNDS = 20


def bent(plan: Plan, blocks: Sequence[Block], tolerance: float) -> tuple[Plan, tuple[BlockSurvey, ...]]:
    """The plan with corners enough that flat triangles stay within a tolerance of the heights, and its survey."""
    straight = np.zeros(0, dtype=np.int64)
    for _ in range(_ROUNDS):
        found = edges_of_blocks(plan)
        new = ~np.isin(found.key, straight, assume_unique=True)
        far = _far(plan, blocks, found.block[new], found.edge[new], tolerance)
        straight = np.concatenate([straight, found.key[new][~far]])
        split = np.unique(found.edge[new][far])
        if not len(split):
            surveyed = survey(plan, blocks)
            split = _within(plan, surveyed, tolerance)
            if not len(split):
                return plan, surveyed
        where = np.full(len(plan.edges), np.nan)
        where[split] = 0.5
        plan = plan.split(where)
    return plan, survey(plan, blocks)


def _far(plan: Plan, blocks: Sequence[Block], which: Corners, edge: Corners, tolerance: float) -> Marks:
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


def _within(plan: Plan, surveyed: Sequence[BlockSurvey], tolerance: float) -> Corners:
    """Longest sides of triangles whose middles lie too far from the heights, or that have no corner to even them."""
    corners = plan.xy[plan.triangles]
    sides = np.roll(corners, -2, axis=1) - np.roll(corners, -1, axis=1)
    length = np.hypot(sides[..., 0], sides[..., 1])
    far = np.zeros(len(corners), dtype=bool)
    for mine, faces in surveyed:
        for face in faces:
            held = ~face.free[face.corner].any(axis=1) & (np.abs(face.lacks) > _HELD * tolerance)
            far[mine] |= (face.off > _BENT * tolerance) | held
    far &= length.max(axis=1) > _SHORT * tolerance
    return np.unique(plan.sides[far, length[far].argmax(axis=1)])
