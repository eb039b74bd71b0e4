"""What is known about one side of a finished plan: heights at its corners, and what flat triangles lack of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Block, Field, Marks, Plan, twice_area
from bladegeom.solids.mesh import Corners

_WITHIN = np.array([[2, 2, 2], [4, 1, 1], [1, 4, 1], [1, 1, 4]]) / 6
"""Where a triangle is probed, as shares of its corners; first in its middle."""

_MOST = 2.0
"""No corner is moved by more than this times what a triangle at it lacks, as the strip of an arc between creases is."""


class Surveyed(NamedTuple):
    """One side of the triangles of a block."""

    field: Field
    height: FloatArray
    """At the corners that these triangles have, shape (n,), mm."""
    corner: Corners
    """Numbers among these of the corners of each triangle, shape (m, 3)."""
    patch: Corners
    """Which smooth surface counts in the middle of each, shape (m,)."""
    off: FloatArray
    """How far the heights lie off each at places within it, at most, shape (m,), mm."""
    area: FloatArray
    """Of each, seen along z, shape (m,), mm2."""
    lacks: FloatArray
    """How far they do on the mean, shape (m,), mm."""
    unsure: FloatArray
    """By how much another rule says otherwise, shape (m,), mm: nothing over a height of the second degree."""
    free: Marks
    """Which corners lie in one smooth surface alone, or on the outer border of it, shape (n,)."""

    @property
    def evened(self) -> FloatArray:
        """Heights of free corners moved so that triangles at them hold as much as the heights do, shape (n,), mm.

        Chords over a round face all lie on one side of it: a few thousandths of a millimetre all over a bevel are more
        than the whole error of the weighing. What a triangle lacks is shared by those of its corners that are free.
        """
        share = self.lacks * self.area / np.maximum(self.free[self.corner].sum(axis=1), 1)
        given, around = (self._gathered(values) for values in (share, self.area / 3))
        most = np.zeros(len(self.height))
        np.maximum.at(most, self.corner.ravel(), np.repeat(_MOST * np.abs(self.lacks), 3))
        return np.asarray(self.height + np.where(self.free, np.clip(given / around, -most, most), 0.0))

    def _gathered(self, values: FloatArray) -> FloatArray:
        return np.asarray(np.bincount(self.corner.ravel(), np.repeat(values, 3), len(self.height)))


class BlockSurvey(NamedTuple):
    """The triangles of a block, and its sides: the upper one, and the lower one where it is another."""

    triangles: Corners
    sides: tuple[Surveyed, ...]


def survey(plan: Plan, blocks: Sequence[Block]) -> tuple[BlockSurvey, ...]:
    """Every block's."""
    out = []
    for number, block in enumerate(blocks):
        mine = np.flatnonzero(plan.block == number)
        sides = tuple(_surveyed(plan, mine, field) for field in block.fields) if len(mine) else ()
        out.append(BlockSurvey(mine, sides))
    return tuple(out)


def _surveyed(plan: Plan, mine: Corners, field: Field) -> Surveyed:
    """One side of some triangles.

    Source of the mean: of a height of the second degree it is that of the middles of the three sides, and as well three
    quarters of the height in the middle with a quarter of the corners' mean.
    """
    used, corner = np.unique(plan.triangles[mine], return_inverse=True)
    edges, side = np.unique(plan.sides[mine], return_inverse=True)
    corner, side = corner.reshape(-1, 3), side.reshape(-1, 3)
    corners = plan.xy[plan.triangles[mine]]
    within = np.einsum("kc,mcd->kmd", _WITHIN, corners).reshape(-1, 2)
    places = [plan.xy[used], within, plan.xy[plan.edges[edges]].mean(axis=1)]
    z, patch = field(*np.concatenate(places).T)
    height, inner, middle = np.split(z, np.cumsum([len(used), len(within)]))
    flat = height[corner].mean(axis=1)
    patch = patch[len(used) : len(used) + len(mine)]
    inner = inner.reshape(len(_WITHIN), -1)
    lacks = middle[side].mean(axis=1) - flat
    return Surveyed(
        field=field,
        height=height,
        corner=corner,
        patch=patch,
        off=np.abs(inner - _WITHIN @ height[corner].T).max(axis=0),
        area=twice_area(*corners.transpose(1, 0, 2)) / 2,
        lacks=lacks,
        unsure=np.abs(0.75 * (inner[0] - flat) - lacks),
        free=_free(plan, mine, patch, corner, len(used)),
    )


def _free(plan: Plan, mine: Corners, patch: Corners, corner: Corners, count: int) -> Marks:
    free = np.ones(count, dtype=bool)
    first, second = plan.neighbours
    surface = np.full(len(plan.triangles) + 1, -1)
    surface[mine] = patch
    held = (second >= 0) & (surface[first] != surface[second])
    for k in (1, 2):
        free[np.roll(corner, -k, axis=1)[held[plan.sides[mine]]]] = False
    return free
