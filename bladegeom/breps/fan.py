"""The face at a tip where it stands at several heights at once: low along the edge, and at the stock along the spine.

There the surface is ruled in the side view from the edge to the spine, and closes in an upright line at the tip.
"""

from __future__ import annotations

import numpy as np

from bladegeom.breps.fit import Law
from bladegeom.breps.patch import Patch, interpolated
from bladegeom.breps.plan import PlanCurve, line_through
from bladegeom.breps.splines import clamped
from bladegeom.curves.curve import Curve, FloatArray

REACH = 0.5
"""From the tip to where the ruled surface ends, mm."""

_APART = 1e-3
"""Heights at the tip that differ by less are one, mm."""

_NEAREST = 0.1
"""So near to the tip, in parts of the reach, heights are still asked for; nearer they stay."""

_SPANS = 4


def fan_at_tip(edge: Curve, spine: Curve, height: Law) -> Patch | None:
    """The surface at the tip of one side, u from edge to spine, v from the tip on; None where it has one height."""
    lower, upper = _from_tip(edge.pieces[-1, ::-1]), _from_tip(spine.pieces[0])
    if lower is None or upper is None:
        return None

    def between(u: FloatArray, v: FloatArray) -> FloatArray:
        return np.asarray((1 - u)[:, None] * lower(v) + u[:, None] * upper(v))

    def heights(u: FloatArray, v: FloatArray) -> FloatArray:
        return height(*between(np.clip(u, 1e-9, 1 - 1e-9), np.maximum(v, _NEAREST)).T)

    ends = np.array([0.0, 1.0])
    low, high = heights(ends, np.zeros(2))
    further = heights(ends, np.ones(2))
    if abs(high - low) < max(_APART, abs(further[1] - further[0]) / 2):
        return None

    def places(u: FloatArray, v: FloatArray) -> FloatArray:
        z = np.where(v == 0, low + (high - low) * u, heights(u, v))
        return np.column_stack([between(u, v), z])

    return interpolated(_SPANS, _SPANS, places)


def crossing(fan: Patch) -> PlanCurve:
    """The line from edge to spine where it ends, and beyond both."""
    start, end = fan.poles[0, -1, :2], fan.poles[-1, -1, :2]
    return line_through(np.stack([start - (end - start), end + (end - start)]))


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
