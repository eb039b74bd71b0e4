"""Bending of plates with square-edged windows by other elements than the library's, on a grid of squares.

In the plane four-node squares with Wilson's incompatible modes, across it the twelve-term rectangle of Adini, Clough
and Melosh, both written out from their textbook definitions (O. C. Zienkiewicz, The Finite Element Method, from memory)
and solved by SciPy.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.sparse import csc_array
from scipy.sparse.linalg import spsolve

Array = npt.NDArray[np.float64]
Window = tuple[float, float, float, float]

POISSON = 0.3
ELASTIC = np.array([[1, POISSON, 0], [POISSON, 1, 0], [0, 0, (1 - POISSON) / 2]]) / (1 - POISSON**2)
CORNERS = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])


def membrane(h: float) -> Array:
    """Shape (8, 8), for a thickness of 1."""
    full = np.zeros((12, 12))
    for r, s in itertools.product((-(3**-0.5), 3**-0.5), repeat=2):
        across = [(2 * a - 1) * (1 + (2 * b - 1) * s) / 2 / h for a, b in CORNERS] + [-4 * r / h, 0.0]
        up = [(2 * b - 1) * (1 + (2 * a - 1) * r) / 2 / h for a, b in CORNERS] + [0.0, -4 * s / h]
        strain = np.zeros((3, 12))
        strain[0, 0::2] = strain[2, 1::2] = across
        strain[1, 1::2] = strain[2, 0::2] = up
        full += strain.T @ ELASTIC @ strain * h * h / 4
    own, inner = full[:8, :8], full[8:, 8:]
    return np.asarray(own - full[:8, 8:] @ np.linalg.solve(inner, full[8:, :8]))


TERMS = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2), (3, 0), (2, 1), (1, 2), (0, 3), (3, 1), (1, 3)]


def derived(x: float, y: float, i: int, j: int) -> Array:
    """Derivatives of the terms, i times by x and j times by y."""

    def power(base: float, n: int, times: int) -> float:
        factor = float(np.prod([n - k for k in range(times)])) if times else 1.0
        return factor * base ** (n - times) if n >= times else 0.0

    return np.array([power(x, p, i) * power(y, q, j) for p, q in TERMS])


def bending(h: float) -> Array:
    """Shape (12, 12): deflection, slope along x and along y of each corner, for a thickness of 1."""
    at_corners = [derived(a * h, b * h, *d) for a, b in CORNERS for d in ((0, 0), (1, 0), (0, 1))]
    places, weights = np.polynomial.legendre.leggauss(4)
    full = np.zeros((12, 12))
    for (r, wr), (s, ws) in itertools.product(zip(places, weights, strict=True), repeat=2):
        x, y = (r + 1) * h / 2, (s + 1) * h / 2
        curved = np.stack([derived(x, y, 2, 0), derived(x, y, 0, 2), 2 * derived(x, y, 1, 1)])
        full += curved.T @ ELASTIC @ curved * wr * ws * h * h / 4 / 12
    back = np.linalg.inv(np.array(at_corners))
    return np.asarray(back.T @ full @ back)


def bent(size: tuple[float, float], thick: float, windows: Sequence[Window], h: float) -> tuple[float, float]:
    """How far the left end moves, sideways and edgewise, of a plate clamped at its right end; load and E are 1."""
    across, up = (round(side / h) for side in size)
    i, j = (grid.ravel() for grid in np.meshgrid(np.arange(across), np.arange(up), indexing="ij"))
    x, y = (i + 0.5) * h, (j + 0.5) * h
    gone = np.zeros(len(x), dtype=bool)
    for x0, y0, x1, y1 in windows:
        gone |= (x > x0) & (x < x1) & (y > y0) & (y < y1)
    i, j = i[~gone], j[~gone]
    nodes = np.stack([(i + a) * (up + 1) + j + b for a, b in CORNERS], axis=1)
    used, flat = np.unique(nodes, return_inverse=True)
    nodes = flat.reshape(nodes.shape)
    out = []
    for own, each, way in ((thick**3 * bending(h), 3, 0), (thick * membrane(h), 2, 1)):
        unknowns = (nodes[..., None] * each + np.arange(each)).reshape(len(nodes), -1)
        rows, columns = np.broadcast_arrays(unknowns[:, :, None], unknowns[:, None])
        values = np.broadcast_to(own, rows.shape)
        stiffness = csc_array((values.ravel(), (rows.ravel(), columns.ravel())))
        load, place = np.zeros(len(used) * each), used % (up + 1)
        left = used < up + 1
        load[np.flatnonzero(left) * each + way] = np.where((place == 0) | (place == up), 0.5, 1.0)[left] / up
        free = np.repeat(used < across * (up + 1), each)
        moved = spsolve(stiffness[free][:, free], load[free])
        out.append(float(moved @ load[free]))
    return out[0], out[1]


ROUND = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1], [0, -1], [1, 0], [0, 1], [-1, 0]])
"""Eight nodes of a square: its corners, then the middles of its sides."""


def serendipity(r: float, s: float) -> tuple[Array, Array]:
    """Shares of the eight nodes at a place, shape (8,), and their slopes along r and s, shape (2, 8)."""
    share, slope = np.zeros(8), np.zeros((2, 8))
    for k, (a, b) in enumerate(ROUND):
        if k < 4:
            share[k] = (1 + a * r) * (1 + b * s) * (a * r + b * s - 1) / 4
            slope[:, k] = (
                a * (1 + b * s) * (2 * a * r + b * s) / 4,
                b * (1 + a * r) * (a * r + 2 * b * s) / 4,
            )
        elif a == 0:
            share[k] = (1 - r * r) * (1 + b * s) / 2
            slope[:, k] = -r * (1 + b * s), b * (1 - r * r) / 2
        else:
            share[k] = (1 + a * r) * (1 - s * s) / 2
            slope[:, k] = a * (1 - s * s) / 2, -s * (1 + a * r)
    return share, slope


def sheared_bending(h: float, thick: float) -> Array:
    """Shape (24, 24): deflection and two slopes of eight nodes; Reissner's and Mindlin's plate, reduced integration."""
    full = np.zeros((24, 24))
    for r, s in itertools.product((-(3**-0.5), 3**-0.5), repeat=2):
        share, slope = serendipity(r, s)
        across, up = 2 * slope / h
        curved, shear = np.zeros((3, 24)), np.zeros((2, 24))
        curved[0, 1::3] = curved[2, 2::3] = across
        curved[1, 2::3] = curved[2, 1::3] = up
        shear[0, 0::3], shear[1, 0::3] = across, up
        shear[0, 1::3] = shear[1, 2::3] = -share
        full += curved.T @ ELASTIC @ curved * thick**3 / 12 * h * h / 4
        full += shear.T @ shear * 5 / 6 * thick / 2 / (1 + POISSON) * h * h / 4
    return full


def bent_with_shear(size: tuple[float, float], thick: float, windows: Sequence[Window], h: float) -> float:
    """How far the left end moves sideways where the plate shears through its thickness; as :func:`bent` else."""
    across, up = (round(side / h) for side in size)
    i, j = (grid.ravel() for grid in np.meshgrid(np.arange(across), np.arange(up), indexing="ij"))
    x, y = (i + 0.5) * h, (j + 0.5) * h
    gone = np.zeros(len(x), dtype=bool)
    for x0, y0, x1, y1 in windows:
        gone |= (x > x0) & (x < x1) & (y > y0) & (y < y1)
    i, j = i[~gone], j[~gone]
    rows = 2 * up + 1
    used, flat = np.unique(
        np.stack([(2 * i + 1 + a) * rows + 2 * j + 1 + b for a, b in ROUND], axis=1), return_inverse=True
    )
    unknowns = (flat.reshape(-1, 8, 1) * 3 + np.arange(3)).reshape(-1, 24)
    own = sheared_bending(h, thick)
    stiffness = csc_array(
        (
            np.tile(own.ravel(), len(unknowns)),
            (np.repeat(unknowns, 24, axis=1).ravel(), np.tile(unknowns, (1, 24)).ravel()),
        ),
        shape=(3 * len(used), 3 * len(used)),
    )
    load, low = np.zeros(3 * len(used)), np.flatnonzero(i == 0)
    for node, part in ((0, 1 / 6), (7, 4 / 6), (3, 1 / 6)):
        np.add.at(load, unknowns[low, 3 * node], part / len(low))
    free = np.flatnonzero(np.repeat(used // rows < 2 * across, 3))
    return float(spsolve(stiffness[free][:, free], load[free]) @ load[free])
