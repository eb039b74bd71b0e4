"""Cubic B-splines in numbers: basis, knots, and the surface of heights that comes nearest to many places.

Source: de Boor, A Practical Guide to Splines, for the recurrence; the rest are normal equations with a little bending
energy, which decides where no place does.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray

DEGREE = 3
_STIFF = 1e-8
"""Weight of the bending energy beside the places: it decides only where there are none."""


def clamped(breaks: FloatArray) -> FloatArray:
    """Knots of a cubic spline over some breaks, shape (n + 6,)."""
    return np.concatenate([np.repeat(breaks[0], DEGREE), breaks, np.repeat(breaks[-1], DEGREE)])


def greville(knots: FloatArray, degree: int = DEGREE) -> FloatArray:
    """Where the poles of a spline stand, so that they make the identity."""
    count = len(knots) - degree - 1
    return np.asarray(np.mean([knots[1 + i : 1 + i + count] for i in range(degree)], axis=0))


def basis(knots: FloatArray, at: FloatArray, degree: int = DEGREE) -> tuple[np.ndarray, FloatArray]:
    """First pole that counts at each place, shape (m,), and the weights of it and the next, shape (m, degree + 1)."""
    count = len(knots) - degree - 1
    span = np.clip(np.searchsorted(knots, at, side="right") - 1, degree, count - 1)
    weights = np.zeros((len(at), degree + 1))
    weights[:, 0] = 1.0
    for k in range(1, degree + 1):
        kept = np.zeros(len(at))
        for i in range(k):
            right, left = knots[span + i + 1], knots[span + i + 1 - k]
            part = weights[:, i] / (right - left)
            weights[:, i] = kept + (right - at) * part
            kept = (at - left) * part
        weights[:, k] = kept
    return span - degree, weights


def dense(knots: FloatArray, at: FloatArray, degree: int = DEGREE) -> FloatArray:
    """The same as a matrix, shape (m, poles)."""
    first, weights = basis(knots, at, degree)
    out = np.zeros((len(at), len(knots) - degree - 1))
    np.put_along_axis(out, first[:, None] + np.arange(degree + 1), weights, axis=1)
    return out


@dataclass(frozen=True, eq=False)
class HeightSpline:
    """Heights over a rectangle: poles (nu, nv) over knots along both sides."""

    u_knots: FloatArray
    v_knots: FloatArray
    poles: FloatArray

    def __call__(self, u: FloatArray, v: FloatArray) -> FloatArray:
        """Heights at places, shape (m,)."""
        i, a = basis(self.u_knots, u)
        j, b = basis(self.v_knots, v)
        steps = np.arange(DEGREE + 1)
        near = self.poles[(i[:, None] + steps)[:, :, None], (j[:, None] + steps)[:, None, :]]
        return np.asarray(np.einsum("ma,mab,mb->m", a, near, b))

    def slope(self, u: FloatArray, v: FloatArray) -> FloatArray:
        """How steeply it rises at places, shape (m,)."""
        h = 1e-5
        low_u, high_u = np.maximum(u - h, self.u_knots[0]), np.minimum(u + h, self.u_knots[-1])
        low_v, high_v = np.maximum(v - h, self.v_knots[0]), np.minimum(v + h, self.v_knots[-1])
        du = (self(high_u, v) - self(low_u, v)) / (high_u - low_u)
        dv = (self(u, high_v) - self(u, low_v)) / (high_v - low_v)
        return np.asarray(np.hypot(du, dv))


def nearest_spline(
    u_breaks: FloatArray, v_breaks: FloatArray, u: FloatArray, v: FloatArray, z: FloatArray, weight: FloatArray
) -> HeightSpline:
    """The spline over some breaks that comes nearest to heights at places, by weighted least squares."""
    u_knots, v_knots = clamped(u_breaks), clamped(v_breaks)
    nu, nv = len(u_knots) - 4, len(v_knots) - 4
    i, a = basis(u_knots, u)
    j, b = basis(v_knots, v)
    steps = np.arange(DEGREE + 1)
    products = (a[:, :, None] * b[:, None, :]).reshape(len(u), 16) * np.sqrt(weight)[:, None]
    poles = ((i[:, None] + steps)[:, :, None] * nv + (j[:, None] + steps)[:, None, :]).reshape(len(u), 16)
    middle = float(np.average(z, weights=weight))
    # Symmetric, banded in blocks: poles more than three columns apart share no place.
    size = 3 * nv
    blocks = -(-nu // 3)
    diagonal, lower = np.zeros((blocks, size, size)), np.zeros((blocks, size, size))
    _gather(diagonal, lower, poles, products, size)
    right = np.zeros(blocks * size)
    np.add.at(right, poles.ravel(), (products * (np.sqrt(weight) * (z - middle))[:, None]).ravel())
    for rows, coefficients in _bending(u_knots, v_knots, nu, nv):
        _gather(diagonal, lower, rows, coefficients * np.sqrt(_STIFF), size)
    spare = np.arange(nu * nv, blocks * size)
    diagonal[spare // size, spare % size, spare % size] = 1.0
    solution = _solved(diagonal, lower, right.reshape(blocks, size))
    return HeightSpline(u_knots, v_knots, solution[: nu * nv].reshape(nu, nv) + middle)


def _gather(diagonal: FloatArray, lower: FloatArray, poles: np.ndarray, rows: FloatArray, size: int) -> None:
    """Add the products of some rows with themselves to the normal matrix."""
    count = poles.shape[1]
    p, q = np.repeat(poles, count, axis=1).ravel(), np.tile(poles, (1, count)).ravel()
    value = (rows[:, :, None] * rows[:, None, :]).ravel()
    block, other = p // size, q // size
    for target, chosen in ((diagonal, block == other), (lower, block == other + 1)):
        flat = (block[chosen] * size + p[chosen] % size) * size + q[chosen] % size
        np.add(
            target, np.bincount(flat, weights=value[chosen], minlength=target.size).reshape(target.shape), out=target
        )


def _bending(u_knots: FloatArray, v_knots: FloatArray, nu: int, nv: int) -> list[tuple[np.ndarray, FloatArray]]:
    """Second differences of poles along both sides, in terms of where the poles stand."""
    index = np.arange(nu * nv).reshape(nu, nv)
    out = []
    for at, lines in ((greville(u_knots), index.T), (greville(v_knots), index)):
        before, behind = np.diff(at)[:-1], np.diff(at)[1:]
        second = (
            np.stack([1 / before, -1 / before - 1 / behind, 1 / behind], axis=1) * np.sqrt(before + behind)[:, None]
        )
        triples = np.stack([lines[:, :-2], lines[:, 1:-1], lines[:, 2:]], axis=2)
        out.append((triples.reshape(-1, 3), np.tile(second, (len(lines), 1))))
    return out


def _solved(diagonal: FloatArray, lower: FloatArray, right: FloatArray) -> FloatArray:
    """Solution of a symmetric block-tridiagonal system, by block Cholesky."""
    factors: list[FloatArray] = []
    carried: list[FloatArray] = []
    for k in range(len(diagonal)):
        block, side = diagonal[k], right[k]
        if k:
            below = np.linalg.solve(factors[-1], lower[k].T).T
            block, side = block - below @ below.T, side - below @ carried[-1]
            lower[k] = below
        factor = np.linalg.cholesky(block + 1e-14 * np.trace(block) / len(block) * np.eye(len(block)))
        factors.append(factor)
        carried.append(np.linalg.solve(factor, side))
    out = np.zeros_like(right)
    for k in reversed(range(len(diagonal))):
        side = carried[k] - (lower[k + 1].T @ out[k + 1] if k + 1 < len(diagonal) else 0.0)
        out[k] = np.linalg.solve(factors[k].T, side)
    return np.asarray(out.ravel())
