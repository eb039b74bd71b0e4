"""How long a curve is, and what it encloses."""

from __future__ import annotations

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import LENGTH

_GAUSS_6 = np.polynomial.legendre.leggauss(6)
_GAUSS_16 = np.polynomial.legendre.leggauss(16)


def _speed_factors(nodes: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Of the three steps between control points at Gauss nodes, shape (n, 1) each; a third of the derivative."""
    u = (nodes[:, None] + 1) / 2
    v = 1 - u
    return v * v, 2 * v * u, u * u


def _point_factors(nodes: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Of the four control points at Gauss nodes, shape (n, 1) each."""
    u = (nodes[:, None] + 1) / 2
    v = 1 - u
    return v**3, 3 * v * v * u, 3 * v * u * u, u**3


_SPEED_6, _SPEED_16 = _speed_factors(_GAUSS_6[0]), _speed_factors(_GAUSS_16[0])
_POINT_6 = _point_factors(_GAUSS_6[0])
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
    p = pieces[:, None]
    start, before, behind, end = _POINT_6
    xy = start * p[:, :, 0] + before * p[:, :, 1] + behind * p[:, :, 2] + end * p[:, :, 3]
    dy = _derivatives(pieces, _SPEED_6)[:, :, 1]
    x, y = xy[:, :, 0], xy[:, :, 1]
    w = dy * (_GAUSS_6[1] / 2)
    terms = np.stack([x, x * x / 2, x * y, x**3 / 3, x * x * y / 2, x * y * y])
    return np.asarray((terms * w).sum(axis=(1, 2)))


def _speed_integral(pieces: FloatArray) -> FloatArray:
    d = _derivatives(pieces, _SPEED_16)
    return np.asarray((np.hypot(d[:, :, 0], d[:, :, 1]) * (_GAUSS_16[1] / 2)).sum(axis=1))


def _derivatives(pieces: FloatArray, factors: tuple[FloatArray, FloatArray, FloatArray]) -> FloatArray:
    """By the local parameter at some nodes of each piece, shape (k, nodes, 2)."""
    a, b, c = np.moveaxis(pieces[:, 1:] - pieces[:, :-1], 1, 0)[:, :, None]
    first, middle, last = factors
    return np.asarray(3 * (first * a + middle * b + last * c))


def _halve(p: FloatArray) -> FloatArray:
    ab, bc, cd = (p[:, 0] + p[:, 1]) / 2, (p[:, 1] + p[:, 2]) / 2, (p[:, 2] + p[:, 3]) / 2
    abc, bcd = (ab + bc) / 2, (bc + cd) / 2
    m = (abc + bcd) / 2
    return np.stack([p[:, 0], ab, abc, m, m, bcd, cd, p[:, 3]], axis=1).reshape(-1, 4, 2)
