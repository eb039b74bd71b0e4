"""How far curves reach."""

from __future__ import annotations

import numpy as np

from bladegeom.curves.curve import FloatArray


def bounding_box(pieces: FloatArray) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of pieces (k, 4, 2), mm; exact.

    A piece reaches farthest at an end or where its derivative, a quadratic, is zero.
    """
    p = np.asarray(pieces)
    a = p[:, 3] - 3 * p[:, 2] + 3 * p[:, 1] - p[:, 0]
    b = 2 * (p[:, 2] - 2 * p[:, 1] + p[:, 0])
    c = p[:, 1] - p[:, 0]
    root = np.sqrt(np.maximum(b * b - 4 * a * c, 0.0))
    # The form of the quadratic formula that loses no digits; a division by nothing marks a root that is not there.
    q = -(b + np.where(b < 0, -root, root)) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        u = np.stack([q / a, c / q])
    u = np.where((u > 0) & (u < 1), u, 0.0)
    v = 1 - u
    inner = v**3 * p[:, 0] + 3 * v * v * u * p[:, 1] + 3 * v * u * u * p[:, 2] + u**3 * p[:, 3]
    every = np.concatenate([p[:, 0], p[:, 3], inner.reshape(-1, 2)])
    (x0, y0), (x1, y1) = every.min(axis=0), every.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)
