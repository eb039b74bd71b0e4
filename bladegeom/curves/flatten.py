"""From curves to points, no chord farther from its curve than a tolerance."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.quantities.errors import CurveError


def flatten(curve: Curve, tolerance: float) -> FloatArray:
    """Points on the curve, both ends included, shape (n, 2), mm.

    Args:
        curve: Any curve.
        tolerance: Greatest distance of a chord from its piece of curve, > 0 mm; a guaranteed bound.

    Raises:
        CurveError: The tolerance is not positive.

    Source:
        Wang's bound on the number of chords (Wang 1984), from the largest second difference of the control points.
    """
    xy, _, _ = flatten_pieces(curve.pieces, tolerance)
    return np.concatenate([xy, curve.pieces[-1:, 3]])


def flatten_pieces(pieces: FloatArray, tolerance: float) -> tuple[FloatArray, npt.NDArray[np.int64], FloatArray]:
    """Points of many pieces at once, each piece without its last point.

    Returns:
        Points (n, 2), the index of the piece of each (n,), its local parameter (n,).
    """
    if not tolerance > 0:
        raise CurveError(f"a chord tolerance must be positive, not {tolerance:g} mm", value=tolerance, limit=0.0)
    second = pieces[:, 2:] - 2 * pieces[:, 1:3] + pieces[:, :2]
    bend = np.hypot(second[..., 0], second[..., 1]).max(axis=1)
    counts = np.maximum(1, np.ceil(np.sqrt(0.75 * bend / tolerance))).astype(np.int64)
    index = np.repeat(np.arange(len(pieces)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    u = (np.arange(counts.sum()) - first) / counts[index]
    p, t = pieces[index], u[:, None]
    v = 1 - t
    xy = v**3 * p[:, 0] + 3 * v * v * t * p[:, 1] + 3 * v * t * t * p[:, 2] + t**3 * p[:, 3]
    return xy, index, u
