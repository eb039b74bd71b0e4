"""Stiffness of flat triangles in their plane and as plates, for an elastic modulus of 1.

In its plane a triangle bends as a quadratic one with six nodes ("linear strain triangle"). Across its plane it is the
discrete Kirchhoff triangle: the slopes are quadratic over the triangle too, and at the middle of each side they follow
from what the deflection does along it; widened by the shear through the thickness, which webs as narrow as the steel
is thick do feel ("discrete Kirchhoff-Mindlin triangle").

Source: J.-L. Batoz, K.-J. Bathe, L.-W. Ho, "A study of three-node triangular plate bending elements", International
Journal for Numerical Methods in Engineering 15 (1980), 1771-1812; the shear: I. Katili, "A new discrete
Kirchhoff-Mindlin element", the same 36 (1993), 1859-1883, from memory; tested against other elements.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.bending.triangle_mesh import SIDES
from bladegeom.curves.curve import FloatArray

POISSON = 0.3
"""Of steel; common practice, no source: tables have 0.27 to 0.30."""

_SHEARED = 5 / 6
"""Share of a rectangular section that bears shear. Source: E. Reissner, 1945."""

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


def plate(corners: FloatArray, thickness: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Stiffness of plates for the deflection and its two slopes at three corners.

    Args:
        corners: Counter-clockwise, shape (m, 3, 2), mm.
        thickness: At each x, shape (n,) both, mm.

    Returns:
        Shape (m, 9, 9); deflection, slope along x and along y in turn, corner by corner.
    """
    slopes = np.zeros((len(corners), 12, 9))
    sheared = np.zeros((len(corners), 3, 9))
    for i in range(3):
        slopes[:, 2 * i, 3 * i + 1] = slopes[:, 2 * i + 1, 3 * i + 2] = 1.0
    for side, (i, j) in enumerate(SIDES):
        way = corners[:, j] - corners[:, i]
        length = np.hypot(way[:, 0], way[:, 1])[:, None]
        along = way / length
        # How much steeper the deflection runs along the side than its ends' slopes.
        lead = np.zeros((len(corners), 9))
        lead[:, [3 * j]], lead[:, [3 * i]] = 1 / length, -1 / length
        lead[:, 3 * i + 1 : 3 * i + 3] = lead[:, 3 * j + 1 : 3 * j + 3] = -along / 2
        middle = slopes[:, 6 + 2 * side : 8 + 2 * side]
        middle[:, [0, 1], 3 * i + 1 + np.arange(2)] = middle[:, [0, 1], 3 * j + 1 + np.arange(2)] = 0.5
        # Some of it bends the side, the rest shears it: all bends a thin plate, in which the deflection is a cubic.
        thick = thickness((corners[:, i, 0] + corners[:, j, 0]) / 2)[:, None]
        soft = 2 / (_SHEARED * (1 - POISSON)) * (thick / length) ** 2
        middle += along[:, :, None] * (1.5 / (1 + soft) * lead)[:, None]
        sheared[:, side] = soft / (1 + soft) * lead
    bending = quadratic(corners, lambda x: thickness(x) ** 3 / 12)
    return np.asarray(np.swapaxes(slopes, 1, 2) @ bending @ slopes + _shearing(corners, sheared, thickness))


def _shearing(corners: FloatArray, sheared: FloatArray, thickness: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Stiffness of triangles against shear across the plate, told along each side; evenly between the corners."""
    (ax, ay), (bx, by) = (corners[:, i].T - corners[:, 0].T for i in (1, 2))
    twice = ax * by - ay * bx
    at = np.empty((len(corners), 3, 2, sheared.shape[-1]))
    for corner in range(3):
        two = [side for side in range(3) if side != corner]
        way = np.stack([corners[:, SIDES[side][1]] - corners[:, SIDES[side][0]] for side in two], axis=1)
        unit = way / np.hypot(way[..., 0], way[..., 1])[..., None]
        at[:, corner] = np.linalg.solve(unit, sheared[:, two])
    modulus = _SHEARED / (2 * (1 + POISSON))
    weight = modulus * thickness((corners[..., 0] @ _SAMPLES.T).ravel()).reshape(-1, 3) * twice[:, None] / 6
    total = np.zeros((len(corners), sheared.shape[-1], sheared.shape[-1]))
    for i, place in enumerate(_SAMPLES):
        strain = np.einsum("c,mcij->mij", place, at)
        total += np.swapaxes(strain, 1, 2) @ strain * weight[:, i, None, None]
    return total
