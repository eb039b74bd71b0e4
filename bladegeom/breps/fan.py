"""The face at a tip where it stands at several heights at once: low along the edge, and at the stock along the spine.

A face that rises evenly from edge to spine does so however near to the tip; at the tip itself it is an upright line.
There the surface is ruled in the side view from the edge to the spine, and closes in that line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from bladegeom.breps.plan import PlanCurve, through
from bladegeom.breps.splines import clamped, dense, greville
from bladegeom.curves.curve import Curve, FloatArray

REACH = 0.5
"""From the tip to where the ruled surface ends, mm."""

_APART = 1e-3
"""Heights at the tip that differ by less are one, mm."""

_NEAREST = 0.1
"""So near to the tip, in parts of the reach, heights are still asked for; nearer they stay."""

KNOTS = clamped(np.linspace(0.0, 1.0, 5))


@dataclass(frozen=True, eq=False)
class Fan:
    """A ruled surface at a tip: t runs from the tip, f from the edge to the spine; both over [0, 1].

    Args:
        lower: The edge from the tip on.
        upper: The spine from the tip on.
        poles: Shape (n, n, 3), mm.
    """

    lower: PlanCurve
    upper: PlanCurve
    poles: FloatArray

    def at(self, t: FloatArray, f: FloatArray) -> FloatArray:
        """Places (n, 3)."""
        return np.asarray(np.einsum("ni,nj,ijk->nk", dense(KNOTS, t), dense(KNOTS, f), self.poles))

    def sides(self, curve: PlanCurve) -> tuple[FloatArray, FloatArray]:
        """Parameters (t, f) of the two ends of a border of it."""
        corners = {
            (0.0, 0.0): self.lower(np.zeros(1))[0],
            (1.0, 0.0): self.lower(np.ones(1))[0],
            (1.0, 1.0): self.upper(np.ones(1))[0],
        }
        ends = []
        for place in curve.poles[[0, -1]]:
            ends.append(min(corners, key=lambda corner: float(np.hypot(*(corners[corner] - place)))))
        middle = curve(np.array([sum(curve.ends) / 2]))[0]
        on_spine = (1.0, 1.0) in ends and (1.0, 0.0) not in ends and np.isfinite(middle).all()
        return tuple(np.array((0.0, 1.0) if on_spine and end == (0.0, 0.0) else end) for end in ends)  # type: ignore[return-value]

    def mirrored(self) -> Fan:
        """The same in the middle plane."""
        return Fan(self.lower, self.upper, self.poles * (1.0, 1.0, -1.0))


def fan_at_tip(edge: Curve, spine: Curve, height: Callable[[FloatArray, FloatArray], FloatArray]) -> Fan | None:
    """The surface at the tip of one side; None where the face has one height there."""
    lower, upper = _from_tip(edge.pieces[-1, ::-1]), _from_tip(spine.pieces[0])
    if lower is None or upper is None:
        return None
    t = greville(KNOTS)
    grid_t, grid_f = np.meshgrid(t, t, indexing="ij")
    xy = _ruled(lower, upper, grid_t.ravel(), grid_f.ravel())
    near = _ruled(lower, upper, np.maximum(grid_t, _NEAREST).ravel(), np.clip(grid_f, 1e-9, 1 - 1e-9).ravel())
    z = height(*near.T).reshape(grid_t.shape)
    near_tip, further = z[0, -1] - z[0, 0], z[-1, -1] - z[-1, 0]
    if abs(near_tip) < max(_APART, abs(further) / 2):
        return None
    z[0] = z[0, 0] + (z[0, -1] - z[0, 0]) * t
    places = np.concatenate([xy.reshape(*grid_t.shape, 2), z[..., None]], axis=2)
    matrix = np.linalg.inv(dense(KNOTS, t))
    poles = np.einsum("ai,bj,ijk->abk", matrix, matrix, places)
    return Fan(lower, upper, poles)


def crossing(fan: Fan) -> PlanCurve:
    """The line from edge to spine where it ends."""
    ends = np.concatenate([fan.lower(np.ones(1)), fan.upper(np.ones(1))])
    way = ends[1] - ends[0]
    return through(np.stack([ends[0] - way, ends[1] + way]))


def _ruled(lower: PlanCurve, upper: PlanCurve, t: FloatArray, f: FloatArray) -> FloatArray:
    return np.asarray((1 - f)[:, None] * lower(t) + f[:, None] * upper(t))


def _from_tip(piece: FloatArray) -> PlanCurve | None:
    """The stretch of a Bezier up to the reach from its first point; None where it is too short."""
    if np.hypot(*(piece[3] - piece[0])) < 2 * REACH:
        return None
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        part = _part(piece, middle)
        low, high = (middle, high) if np.hypot(*(part[3] - part[0])) < REACH else (low, middle)
    return PlanCurve(clamped(np.array([0.0, 1.0])), 3, _part(piece, low))


def _part(piece: FloatArray, t: float) -> FloatArray:
    """Control points of a Bezier up to a parameter, by de Casteljau."""
    rows, out = piece, [piece[0]]
    while len(rows) > 1:
        rows = rows[:-1] + (rows[1:] - rows[:-1]) * t
        out.append(rows[0])
    return np.array(out)
