"""Cubic splines over given spans: their matrices, and their Bezier pieces."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

_AT = np.array([0.0, 1 / 3, 2 / 3, 1.0])
"""Where a span is read to find its Bezier piece."""

_BERNSTEIN = np.stack([(1 - _AT) ** 3, 3 * (1 - _AT) ** 2 * _AT, 3 * (1 - _AT) * _AT**2, _AT**3], axis=1)
_TO_BEZIER = np.linalg.inv(_BERNSTEIN)


@dataclass(frozen=True, eq=False)
class Spans:
    """Spans that follow each other, and the matrices that hang on them alone.

    Args:
        ends: Where the k spans begin and end, rising, shape (k + 1,).
    """

    ends: FloatArray

    def collocation(self, at: FloatArray) -> FloatArray:
        """Values of the cubic B-splines at places, shape (n, k + 3): curvature continuous, clamped at both ends.

        Args:
            at: Places within the spans, shape (n,).

        Source:
            de Boor, A Practical Guide to Splines, ch. IX and X (the recurrence).
        """
        span = np.clip(np.searchsorted(self.ends, at, side="right") - 1, 0, len(self.ends) - 2)
        return _basis(self.ends, span, at)

    @cached_property
    def beziers(self) -> FloatArray:
        """From B-spline coefficients to the Bezier control points of the k spans, shape (4 k, k + 3)."""
        ends, k = self.ends, len(self.ends) - 1
        span = np.repeat(np.arange(k), 4)
        at = ends[span] + np.tile(_AT, k) * np.diff(ends)[span]
        rows = _basis(ends, span, at).reshape(k, 4, k + 3)
        return np.asarray((_TO_BEZIER @ rows).reshape(4 * k, k + 3))

    @cached_property
    def stiffness(self) -> FloatArray:
        """Matrix (k + 3, k + 3) of the sum over the spans of (third derivative times length cubed) squared, over 36.

        How much the bend changes over each span, whatever its length: a long span, laid where little happens, becomes
        as stiff as a short one in a tight bend.
        """
        rows = self.beziers.reshape(len(self.ends) - 1, 4, -1)
        third = rows[:, 3] - 3 * rows[:, 2] + 3 * rows[:, 1] - rows[:, 0]
        return np.asarray(third.T @ third)


def _basis(ends: FloatArray, span: npt.NDArray[np.int64], at: FloatArray) -> FloatArray:
    k = len(ends) - 1
    knots = np.concatenate([np.repeat(ends[0], 3), ends, np.repeat(ends[-1], 3)])
    # Of each place the knots from three before the end of its span to three behind it.
    near = knots[np.arange(1, 7)[:, None] + span]
    values = [np.ones(len(at))]
    for degree in range(1, 4):
        higher = [np.zeros(len(at))]
        for r, lower in enumerate(values):
            right, left = near[r + 3], near[r + 3 - degree]
            share = lower / (right - left)
            higher[r] = higher[r] + (right - at) * share
            higher.append((at - left) * share)
        values = higher
    out = np.zeros((len(at), k + 3))
    out[np.arange(len(at))[:, None], span[:, None] + np.arange(4)] = np.stack(values, axis=1)
    return out
