"""How long a curve is, and what it encloses."""

from __future__ import annotations

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import LENGTH

_GAUSS_6 = np.polynomial.legendre.leggauss(6)
_GAUSS_16 = np.polynomial.legendre.leggauss(16)
_SAFETY = 1e-3
"""Halves must agree with the whole this much better than asked: at a cusp they sometimes agree by chance."""

_MAX_HALVINGS = 40

_MAX_PARTS = 64
"""Parts still open at once, for each piece; a cusp or a sharp bend keeps two or so open, rounding keeps all."""


def curve_length(curve: Curve, *, tolerance: float = LENGTH) -> float:
    """Length of a curve, mm, with an error of at most ``tolerance``.

    16-point Gauss on each piece against the sum over its halves; a piece that differs is halved again.

    Raises:
        CurveError: The tolerance cannot be reached (it is below the rounding of the coordinates).
    """
    pieces, total = curve.pieces, 0.0
    allowed = _SAFETY * tolerance / len(pieces)
    for _ in range(_MAX_HALVINGS):
        halves = _halve(pieces)
        coarse = _speed_integral(pieces)
        fine = _speed_integral(halves).reshape(-1, 2).sum(axis=1)
        good = np.abs(fine - coarse) <= allowed
        total += float(fine[good].sum())
        if good.all():
            return total
        pieces = halves.reshape(-1, 2, 4, 2)[~good].reshape(-1, 4, 2)
        if len(pieces) > _MAX_PARTS * len(curve):
            break
    raise CurveError(f"the length of a curve cannot be found to {tolerance:g} mm", limit=tolerance)


def piece_lengths(pieces: FloatArray, *, tolerance: float = LENGTH) -> FloatArray:
    """Length of each piece by itself, shape (k,), mm, as :func:`curve_length` finds it.

    Raises:
        CurveError: The tolerance cannot be reached.
    """
    coarse = _speed_integral(pieces)
    sizes = np.asarray(_speed_integral(_halve(pieces)).reshape(-1, 2).sum(axis=1))
    for i in np.flatnonzero(~(np.abs(sizes - coarse) <= _SAFETY * tolerance)).tolist():
        sizes[i] = curve_length(Curve(pieces[i : i + 1]), tolerance=tolerance)
    return sizes


def loop_moments(pieces: FloatArray) -> FloatArray:
    """Integrals of 1, x, y, x^2, x y, y^2 over the region that closed pieces go round counter-clockwise.

    Green's theorem; six-point Gauss is exact for all six on cubics.

    Args:
        pieces: A closed chain, shape (k, 4, 2), mm.

    Returns:
        Shape (6,): mm2, mm3 twice, mm4 three times. All signs turn round for a clockwise loop.
    """
    nodes, weights = _GAUSS_6
    u = (nodes[:, None] + 1) / 2
    v = 1 - u
    p = pieces[:, None]
    xy = v**3 * p[:, :, 0] + 3 * v * v * u * p[:, :, 1] + 3 * v * u * u * p[:, :, 2] + u**3 * p[:, :, 3]
    a, b, c = p[:, :, 1] - p[:, :, 0], p[:, :, 2] - p[:, :, 1], p[:, :, 3] - p[:, :, 2]
    dy = 3 * (v * v * a + 2 * v * u * b + u * u * c)[:, :, 1]
    x, y = xy[:, :, 0], xy[:, :, 1]
    w = dy * (weights / 2)
    terms = np.stack([x, x * x / 2, x * y, x**3 / 3, x * x * y / 2, x * y * y])
    return np.asarray((terms * w).sum(axis=(1, 2)))


def _speed_integral(pieces: FloatArray) -> FloatArray:
    nodes, weights = _GAUSS_16
    u = (nodes[:, None] + 1) / 2
    v = 1 - u
    p = pieces[:, None]
    a, b, c = p[:, :, 1] - p[:, :, 0], p[:, :, 2] - p[:, :, 1], p[:, :, 3] - p[:, :, 2]
    d = 3 * (v * v * a + 2 * v * u * b + u * u * c)
    return np.asarray((np.hypot(d[:, :, 0], d[:, :, 1]) * (weights / 2)).sum(axis=1))


def _halve(p: FloatArray) -> FloatArray:
    ab, bc, cd = (p[:, 0] + p[:, 1]) / 2, (p[:, 1] + p[:, 2]) / 2, (p[:, 2] + p[:, 3]) / 2
    abc, bcd = (ab + bc) / 2, (bc + cd) / 2
    m = (abc + bcd) / 2
    return np.stack([p[:, 0], ab, abc, m, m, bcd, cd, p[:, 3]], axis=1).reshape(-1, 4, 2)
