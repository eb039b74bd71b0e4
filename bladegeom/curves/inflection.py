"""Which way a curve bends, from where to where, and by how much."""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, directions

_STEPS = 16
"""Places per piece where the direction is read; a cubic bends at most three ways."""


class Bend(NamedTuple):
    """A stretch that bends one way."""

    start: float
    """Place on the curve where it begins."""
    end: float
    """Place where it ends."""
    turn_deg: float
    """How far it turns in all, left positive, degrees; corners between pieces are not counted."""


def bends(curve: Curve, least_deg: float) -> tuple[Bend, ...]:
    """Stretches that bend one way, each the other way than the one before; weaker ones are left out.

    Args:
        curve: Any curve.
        least_deg: A stretch that turns by less counts for nothing: its neighbours become one. Degrees.
    """
    t, turn = turning(curve)
    way = np.sign(np.where(np.abs(turn) < 1e-9, 0.0, turn))
    runs: list[Bend] = []
    bounds = [0, *(np.flatnonzero(np.diff(way)) + 1).tolist(), len(turn)]
    for i, j in itertools.pairwise(bounds):
        runs.append(Bend(float(t[i]), float(t[j]), float(turn[i:j].sum())))
    strong = [run for run in runs if abs(run.turn_deg) >= least_deg]
    out: list[Bend] = []
    for run in strong:
        if out and (out[-1].turn_deg > 0) == (run.turn_deg > 0):
            out[-1] = Bend(out[-1].start, run.end, out[-1].turn_deg + run.turn_deg)
        else:
            out.append(run)
    return tuple(out)


def turning(curve: Curve) -> tuple[FloatArray, FloatArray]:
    """How far a curve turns from each of many places to the next, within its pieces.

    Returns:
        Places, shape (n + 1,), and the turn between them, shape (n,), degrees, left positive.
    """
    k = len(curve)
    u = np.linspace(0.0, 1.0, _STEPS + 1)
    # Each piece by itself, its two ends included, so that a corner between two of them adds no turn.
    inside = np.clip(u, 0.0, 1.0 - 1e-12)
    way = directions(curve, (np.arange(k)[:, None] + inside).ravel()).reshape(k, _STEPS + 1, 2)
    a, b = way[:, :-1], way[:, 1:]
    turn = np.arctan2(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0], (a * b).sum(axis=2))
    return np.arange(k * _STEPS + 1) / _STEPS, np.degrees(turn).ravel()
