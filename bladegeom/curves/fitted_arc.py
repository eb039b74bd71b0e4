"""An arc or a line with the pieces of curve that it stands for, and how far it is from them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.tolerances import POINT

STRAIGHT = 1e-9
"""An arc with a smaller bulge is a line: over 1 m it would rise by half a nanometre."""

_MOST_LINES = 64
"""Lines in place of one arc of a large radius; own choice."""

_SAME_RADIUS = 1e-4
"""Tangent arcs whose radii differ by less, as a part of them, may become one; it leaves its ends as askew, in rad."""

_SQUARE = np.zeros((4, 4, 7))
"""Product of two cubics in Bernstein form: coefficient k of the sextic from coefficients i, j."""
for _i in range(4):
    for _j in range(4):
        _SQUARE[_i, _j, _i + _j] = math.comb(3, _i) * math.comb(3, _j) / math.comb(6, _i + _j)


@dataclass(frozen=True)
class FittedArc:
    """An arc, or with no bulge a line, and the fine pieces that it stands for.

    Args:
        start: Shape (2,), mm.
        end: Shape (2,), mm.
        bulge: tan(sweep / 4), positive where it turns left.
        pieces: Shape (k, 4, 2), mm; none of a part that no piece reaches.
    """

    start: FloatArray
    end: FloatArray
    bulge: float
    pieces: FloatArray

    @cached_property
    def error(self) -> float:
        """Upper bound of the distance from the pieces to the circle or line."""
        return _deviation(self, self.pieces) if len(self.pieces) else 0.0

    def circle(self) -> tuple[FloatArray, float]:
        """Centre and signed radius, positive where the arc turns left."""
        chord = self.end - self.start
        c = float(np.hypot(chord[0], chord[1]))
        radius = c * (1 + self.bulge**2) / (4 * self.bulge)
        to_centre = c * (1 - self.bulge**2) / (4 * self.bulge)
        normal = np.array([-chord[1], chord[0]]) / c
        return (self.start + self.end) / 2 + to_centre * normal, radius


def _deviation(a: FittedArc, pieces: FloatArray) -> float:
    """Upper bound of the distance from pieces (k, 4, 2), k > 0, to the circle or line of an arc."""
    if a.bulge == 0:
        chord = a.end - a.start
        normal = np.array([-chord[1], chord[0]]) / np.hypot(chord[0], chord[1])
        return float(np.abs((pieces - a.start) @ normal).max())
    centre, radius = a.circle()
    # Measured from the start point, whose distance is the radius, so that large radii lose no digits:
    # |P - C|^2 - R^2 = |Q|^2 - 2 Q.(C - S) with Q = P - S.
    q = pieces - a.start
    square = np.einsum("mic,mjc,ijk->mk", q, q, _SQUARE)
    linear = q @ (centre - a.start)
    lifted = linear @ _SQUARE.sum(axis=1)
    excess = square - 2 * lifted
    r = abs(radius)
    low, high = float(excess.min()), float(excess.max())
    outside = high / (math.sqrt(r * r + max(high, 0.0)) + r)
    inside = -low / (math.sqrt(max(r * r + min(low, 0.0), 0.0)) + r)
    return max(outside, inside, 0.0)


def without_flat(arc: FittedArc, tolerance: float, largest: float) -> list[FittedArc]:
    """The arc itself, or lines in place of one whose radius is too large; none where they do not keep so close."""
    if arc.bulge == 0 or abs(arc.circle()[1]) <= largest:
        return [arc]
    chord = unit(arc.end - arc.start)
    low, high = ((arc.pieces - arc.start) @ chord).min(axis=1), ((arc.pieces - arc.start) @ chord).max(axis=1)
    for count in range(1, _MOST_LINES + 1):
        joints = _on_arc(arc, count)
        at = (joints - arc.start) @ chord
        lines = [
            FittedArc(joints[k], joints[k + 1], 0.0, arc.pieces[(high > at[k]) & (low < at[k + 1])])
            for k in range(count)
        ]
        if max(line.error for line in lines) <= tolerance:
            return lines
    return []


def _on_arc(arc: FittedArc, count: int) -> FloatArray:
    """Ends of so many equal parts of an arc, shape (count + 1, 2)."""
    chord = arc.end - arc.start
    normal = np.array([chord[1], -chord[0]])
    u = np.linspace(0.0, 1.0, count + 1)
    # A flat arc rises as a parabola does, to within its bulge's square; it bulges to the right of its chord.
    return np.asarray(arc.start + u[:, None] * chord + (2 * arc.bulge * u * (1 - u))[:, None] * normal)


def merged_arc(a: FittedArc, b: FittedArc, tolerance: float) -> FittedArc | None:
    """Two arcs that are parts of one, as one of at most a half circle; else None."""
    pieces = np.concatenate([a.pieces, b.pieces])
    if a.bulge == b.bulge == 0:
        straight = abs(angle(a.end - a.start, b.end - b.start)) < STRAIGHT
        return FittedArc(a.start, b.end, 0.0, pieces) if straight else None
    if a.bulge * b.bulge <= 0:
        return None
    (_, ra), (_, rb) = a.circle(), b.circle()
    sweep = 4 * (math.atan(a.bulge) + math.atan(b.bulge))
    if abs(ra - rb) > _SAME_RADIUS * abs(ra) or abs(sweep) > math.pi * (1 + POINT):
        return None
    whole = FittedArc(a.start, b.end, math.tan(sweep / 4), pieces)
    return whole if whole.error <= tolerance else None


def angle(d: FloatArray, e: FloatArray) -> float:
    """From one direction, shape (2,), to another, left positive, rad."""
    return math.atan2(float(d[0] * e[1] - d[1] * e[0]), float(d @ e))


def unit(v: FloatArray) -> FloatArray:
    """A vector, shape (2,), of length 1."""
    return np.asarray(v / np.hypot(v[0], v[1]))
