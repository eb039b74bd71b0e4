"""A plan made finer where heights bend, until flat triangles over it follow them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Block, EdgesOfBlocks, Field, Marks, Plan, edges_of_blocks
from bladegeom.meshes.survey import BlockSurvey, survey
from bladegeom.solids.mesh import Corners

_PROBES = np.array([1 / 8, 3 / 8, 5 / 8, 7 / 8])
"""Where an edge is probed, as parts of its length; also near its ends, where a face over a bent edge may kink."""

_BENT = 0.5
"""Farther from the heights no edge may lie at any probe, in tolerances; the rest is for places between them."""

_HELD = 0.05
"""A triangle that lacks more on the mean, in tolerances, gets a corner within its surface, which can be moved."""

_SHORT = 2.0
"""A triangle without a longer side is as small as it need be, in tolerances: heights stand upright there."""

_ROUNDS = 20


def bent(plan: Plan, blocks: Sequence[Block], tolerance: float) -> tuple[Plan, tuple[BlockSurvey, ...]]:
    """The plan with corners enough that flat triangles stay within a tolerance of the heights, and its survey."""
    straight = np.zeros(0, dtype=np.int64)
    known = [[np.zeros(0) for _ in block.fields] for block in blocks]
    for _ in range(_ROUNDS):
        found = edges_of_blocks(plan)
        new = found.only(~np.isin(found.key, straight, assume_unique=True))
        far = _far(plan, blocks, new, known, tolerance)
        straight = np.concatenate([straight, new.key[~far]])
        split = np.unique(new.edge[far])
        if not len(split):
            surveyed = survey(plan, blocks)
            split = _within(plan, surveyed, tolerance)
            if not len(split):
                return plan, surveyed
        where = np.full(len(plan.edges), np.nan)
        where[split] = 0.5
        plan = plan.split(where)
    return plan, survey(plan, blocks)


def _far(
    plan: Plan, blocks: Sequence[Block], edges: EdgesOfBlocks, known: list[list[FloatArray]], tolerance: float
) -> Marks:
    """Which edges lie too far from the heights, shape (n,).

    Args:
        plan: The triangles.
        blocks: Their heights.
        edges: To be looked at.
        known: Heights at corners of the plan by each field, as far as they are known; they are filled in.
        tolerance: mm.
    """
    far = np.zeros(len(edges.edge), dtype=bool)
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(edges.block == number)
        if not len(mine):
            continue
        ends = plan.edges[edges.edge[mine]]
        first, last = plan.xy[ends].transpose(1, 0, 2)
        length = np.hypot(*(last - first).T)
        probes = first + _PROBES[:, None, None] * (last - first)
        for side, field in enumerate(block.fields):
            known[number][side] = _filled_in(field, plan.xy, ends, known[number][side])
            low, high = known[number][side][ends].T
            z = field(*probes.reshape(-1, 2).T)[0].reshape(len(_PROBES), -1)
            off = np.abs(z - low - _PROBES[:, None] * (high - low)).max(axis=0) * length / np.hypot(length, high - low)
            far[mine] |= (off > _BENT * tolerance) & (length > _SHORT * tolerance)
    return far


def _filled_in(field: Field, xy: FloatArray, ends: Corners, known: FloatArray) -> FloatArray:
    """Heights at corners of which some are known, with those at the ends of some edges; NaN where none is, (n,)."""
    heights = np.full(len(xy), np.nan)
    heights[: len(known)] = known
    asked = np.zeros(len(xy), dtype=bool)
    asked[ends.ravel()] = True
    asked &= np.isnan(heights)
    heights[asked] = field(*xy[asked].T)[0]
    return heights


def _within(plan: Plan, surveyed: Sequence[BlockSurvey], tolerance: float) -> Corners:
    """Longest sides of triangles whose middles lie too far from the heights, or that have no corner to even them."""
    corners = plan.xy[plan.triangles]
    sides = np.roll(corners, -2, axis=1) - np.roll(corners, -1, axis=1)
    length = np.hypot(sides[..., 0], sides[..., 1])
    far = np.zeros(len(corners), dtype=bool)
    for mine, faces in surveyed:
        for face in faces:
            held = ~face.free[face.corner].any(axis=1) & (np.abs(face.lacks) > _HELD * tolerance)
            far[mine] |= (face.off > _BENT * tolerance) | held | (face.unsure > _HELD * tolerance)
    far &= length.max(axis=1) > _SHORT * tolerance
    return np.unique(plan.sides[far, length[far].argmax(axis=1)])
