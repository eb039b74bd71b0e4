"""A surface with four natural borders: places and heights as one B-spline, where heights alone would be too steep.

So is the face at a tip that rises evenly from edge to spine: it is low along the edge and at the stock along the spine,
however near to the tip. And so are roundings, which stand upright at the border of a scale.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.breps.plan import PlanCurve
from bladegeom.breps.splines import clamped, dense, greville
from bladegeom.curves.curve import FloatArray

_SIDES = tuple(
    (a, b) for a, b in itertools.permutations(((0, 0), (1, 0), (1, 1), (0, 1)), 2) if (a[0] == b[0]) != (a[1] == b[1])
)
"""Each border of the square of parameters, both ways."""


_WITHIN = 1e-3
"""A patch strays by no more between the places that it goes through, mm, or its spans are halved."""

_MOST = 400


@dataclass(frozen=True, eq=False)
class Patch:
    """A cubic B-spline surface over [0, 1] x [0, 1], its normal upward.

    Args:
        u_knots: Clamped.
        v_knots: Clamped.
        poles: Shape (nu, nv, 3), mm.
    """

    u_knots: FloatArray
    v_knots: FloatArray
    poles: FloatArray

    def at(self, u: FloatArray, v: FloatArray) -> FloatArray:
        """Places (n, 3)."""
        rows = np.einsum("nj,ijk->nik", dense(self.v_knots, v), self.poles)
        return np.asarray(np.einsum("ni,nik->nk", dense(self.u_knots, u), rows))

    @cached_property
    def _corners(self) -> dict[tuple[int, int], FloatArray]:
        return {(i, j): self.poles[-i, -j, :2] for i in (0, 1) for j in (0, 1)}

    def along(self, curve: PlanCurve) -> tuple[PlanCurve, FloatArray, FloatArray]:
        """Its own border that runs like a curve of the side view, and the same way.

        Returns:
            The border in the side view, its heights as poles (n,), and the parameters of its two ends, (2, 2).
        """
        at, first, last = self._corners, curve.poles[0], curve.poles[-1]
        start, end = min(_SIDES, key=lambda s: float(np.hypot(*(at[s[0]] - first)) + np.hypot(*(at[s[1]] - last))))
        along_u = start[1] == end[1]
        rows = self.poles[:, -start[1]] if along_u else self.poles[-start[0]]
        knots = self.u_knots if along_u else self.v_knots
        if (start[0] if along_u else start[1]) == 1:
            rows, knots = rows[::-1], 1.0 - knots[::-1]
        return PlanCurve(knots, 3, rows[:, :2]), rows[:, 2].copy(), np.array([start, end], dtype=float)

    def border(self, side: int) -> PlanCurve:
        """In the side view: 0 is v = 0, 1 is u = 1, 2 is v = 1, 3 is u = 0."""
        rows = (self.poles[:, 0], self.poles[-1], self.poles[:, -1], self.poles[0])[side]
        return PlanCurve(self.v_knots if side % 2 else self.u_knots, 3, rows[:, :2])

    def mirrored(self) -> Patch:
        """The same in the middle plane."""
        return Patch(self.u_knots, self.v_knots, self.poles * (1.0, 1.0, -1.0))


def interpolated(u_spans: int, v_spans: int, places: Callable[[FloatArray, FloatArray], FloatArray]) -> Patch:
    """The patch through places (n, 3) told for parameters u and v; its spans along u are halved where it strays."""
    patch = _through(u_spans, v_spans, places)
    u, v = np.linspace(0.0, 1.0, 4 * u_spans + 2)[1:-1], np.linspace(0.0, 1.0, 8)
    grid_u, grid_v = (grid.ravel() for grid in np.meshgrid(u, v, indexing="ij"))
    off = np.linalg.norm(patch.at(grid_u, grid_v) - places(grid_u, grid_v), axis=1)
    return interpolated(2 * u_spans, v_spans, places) if off.max() > _WITHIN and u_spans < _MOST else patch


def _through(u_spans: int, v_spans: int, places: Callable[[FloatArray, FloatArray], FloatArray]) -> Patch:
    u_knots, v_knots = (clamped(np.linspace(0.0, 1.0, spans + 1)) for spans in (u_spans, v_spans))
    u, v = greville(u_knots), greville(v_knots)
    grid_u, grid_v = np.meshgrid(u, v, indexing="ij")
    values = places(grid_u.ravel(), grid_v.ravel()).reshape(*grid_u.shape, 3)
    poles = np.linalg.solve(dense(u_knots, u), values.reshape(len(u), -1)).reshape(values.shape)
    poles = np.linalg.solve(dense(v_knots, v), poles.transpose(1, 0, 2).reshape(len(v), -1))
    turned = np.asarray(poles.reshape(len(v), len(u), 3).transpose(1, 0, 2), dtype=np.float64)
    return Patch(u_knots, v_knots, turned)
