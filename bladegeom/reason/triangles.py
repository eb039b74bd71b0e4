"""Stiffness of flat triangles in their plane and as thin plates, for an elastic modulus of 1.

In its plane a triangle bends as a quadratic one with six nodes ("linear strain triangle"). Across its plane it is the
discrete Kirchhoff triangle: the slopes are quadratic over the triangle too, and at the middle of each side they follow
from what the deflection does along it.

Source: J.-L. Batoz, K.-J. Bathe, L.-W. Ho, "A study of three-node triangular plate bending elements", International
Journal for Numerical Methods in Engineering 15 (1980), 1771-1812.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.reason.triangle_mesh import SIDES

POISSON = 0.3
"""Of steel; common practice, no source: tables have 0.27 to 0.30."""

_ELASTIC = np.array([[1.0, POISSON, 0.0], [POISSON, 1.0, 0.0], [0.0, 0.0, (1 - POISSON) / 2]]) / (1 - POISSON**2)

_SAMPLES = np.array([[4.0, 1.0, 1.0], [1.0, 4.0, 1.0], [1.0, 1.0, 4.0]]) / 6
"""Shares of the corners at three places, a third of the area each: exact for squares of strains."""


def quadratic(corners: FloatArray, rigidity: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Stiffness of triangles for two unknowns at three corners and three middles of sides.

    Args:
        corners: Counter-clockwise, shape (m, 3, 2), mm.
        rigidity: Factor at each x, shape (n,) both: the thickness, or its cube over 12 for slopes.

    Returns:
        Shape (m, 12, 12); unknowns x and y in turn, node by node.
    """
    ends = np.roll(corners, -1, axis=1), np.roll(corners, 1, axis=1)
    # Gradients of the corners' shares stand upright on the sides across, (m, 3, 2).
    to = ends[0] - ends[1]
    twice = to[:, 0, 0] * to[:, 1, 1] - to[:, 0, 1] * to[:, 1, 0]
    share = np.stack([to[..., 1], -to[..., 0]], axis=-1) / twice[:, None, None]
    weight = rigidity((corners[..., 0] @ _SAMPLES.T).ravel()).reshape(-1, 3) * twice[:, None] / 6
    total = np.zeros((len(corners), 12, 12))
    for at, place in enumerate(_SAMPLES):
        slope = _slopes(share, place)
        strain = np.zeros((len(corners), 3, 12))
        strain[:, 0, 0::2] = strain[:, 2, 1::2] = slope[..., 0]
        strain[:, 1, 1::2] = strain[:, 2, 0::2] = slope[..., 1]
        total += np.swapaxes(strain, 1, 2) @ (_ELASTIC @ strain) * weight[:, at, None, None]
    return total


def _slopes(share: FloatArray, place: FloatArray) -> FloatArray:
    """Gradients of the six nodes' quadratic functions at a place, shape (m, 6, 2)."""
    corner = (4 * place - 1)[:, None] * share
    middle = [4 * (place[i] * share[:, j] + place[j] * share[:, i]) for i, j in SIDES]
    return np.concatenate([corner, np.stack(middle, axis=1)], axis=1)


def plate(corners: FloatArray, rigidity: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Stiffness of thin plates for the deflection and its two slopes at three corners.

    Args:
        corners: Counter-clockwise, shape (m, 3, 2), mm.
        rigidity: The thickness cubed over 12 at each x, shape (n,) both, mm3.

    Returns:
        Shape (m, 9, 9); deflection, slope along x and along y in turn, corner by corner.
    """
    slopes = np.zeros((len(corners), 12, 9))
    for i in range(3):
        slopes[:, 2 * i, 3 * i + 1] = slopes[:, 2 * i + 1, 3 * i + 2] = 1.0
    for side, (i, j) in enumerate(SIDES):
        way = corners[:, j] - corners[:, i]
        length = np.hypot(way[:, 0], way[:, 1])[:, None]
        along = way / length
        middle = slopes[:, 6 + 2 * side : 8 + 2 * side]
        # Across the side the slope is the mean of the ends'; along it the deflection is a cubic.
        middle[:, :, 3 * j] = 1.5 * along / length
        middle[:, :, 3 * i] = -middle[:, :, 3 * j]
        both = 0.5 * np.eye(2) - 0.75 * along[:, :, None] * along[:, None]
        middle[:, :, 3 * i + 1 : 3 * i + 3] = middle[:, :, 3 * j + 1 : 3 * j + 3] = both
    return np.asarray(np.swapaxes(slopes, 1, 2) @ quadratic(corners, rigidity) @ slopes)
