"""Upright columns inside a region, at Gauss places along x.

The region is cut into panels that end at its corners and wherever its border turns back along x.
"""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray

PANEL = 6.0
"""Widest panel along x, mm; four Gauss places stand in each. What it costs in accuracy stands in the tests."""

_NEAR_ENDS = (0.2, 0.5)
"""Further ends of panels, in panels from where the border turns back along x: there an edge may stand upright."""

_CORNER = np.radians(4.0)
"""A ring that turns by more than this ends a panel; chords of a small radius may, which costs a panel; own choice."""

_APART = 1e-6
"""Ends of panels nearer to each other than this are the same, mm."""

_GAUSS = np.polynomial.legendre.leggauss(4)
EVEN, EVEN_WEIGHT = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
"""Gauss places and weights of a stretch that is 1 long."""

Rings = npt.NDArray[np.object_]


class Columns(NamedTuple):
    """Stretches of upright lines inside a region."""

    x: FloatArray
    weight: FloatArray
    low: FloatArray
    high: FloatArray


def columns_of(region: BaseGeometry, breaks: tuple[float, ...], panel: float) -> Columns:
    """Columns at Gauss places between the corners of a region, each with its weight along x."""
    rings = shapely.get_rings(shapely.get_parts(region))
    start, end = _sides(rings)
    x, weight = _places(*_panels(rings, breaks, panel))
    at = x[:, None]
    crosses = (start[:, 0] <= at) != (end[:, 0] <= at)
    with np.errstate(divide="ignore", invalid="ignore"):
        way = (at - start[:, 0]) / (end[:, 0] - start[:, 0])
        y = np.where(crosses, start[:, 1] + way * (end[:, 1] - start[:, 1]), np.inf)
    y = np.sort(y, axis=1)[:, : int(crosses.sum(axis=1).max(initial=0))]
    row, pair = np.nonzero(np.isfinite(y[:, 1::2]))
    return Columns(x[row], weight[row], y[row, 2 * pair], y[row, 2 * pair + 1])


def _panels(rings: Rings, breaks: tuple[float, ...], panel: float) -> tuple[FloatArray, FloatArray]:
    """Ends of all panels along x, shape (n,), and where among them the border turns back, mm."""
    turns = _turns(rings)
    first, last = turns[0], turns[-1]
    near = np.minimum(panel, np.diff(turns)[:, None] / 2) * np.array(_NEAR_ENDS)
    ends = np.concatenate(
        [turns, _corners(rings), breaks, (turns[:-1, None] + near).ravel(), (turns[1:, None] - near).ravel()]
    )
    ends = np.unique(ends[(ends >= first) & (ends <= last)])
    ends = ends[np.concatenate([[True], np.diff(ends) > _APART])]
    steps = [np.linspace(a, b, max(2, int(np.ceil((b - a) / panel)) + 1))[:-1] for a, b in itertools.pairwise(ends)]
    return np.concatenate([*steps, ends[-1:]]), turns


def _places(ends: FloatArray, turns: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Gauss places and weights of panels along x.

    Where the border turns back along x it may stand upright, as on a rounded butt or a bowed front: lengths of columns
    then grow as the square root of the way. Places by the square of a parameter make that smooth.
    """
    low, width = ends[:-1, None], np.diff(ends)[:, None]
    turned = np.abs(ends[:, None] - turns).min(axis=1) <= _APART
    at_low, at_high = turned[:-1, None], turned[1:, None]
    t, weight = EVEN, EVEN_WEIGHT
    way = np.where(at_low, t**2, np.where(at_high, 1 - t**2, t))
    weights = width * weight * np.where(at_low | at_high, 2 * t, 1.0)
    return (low + width * way).ravel(), weights.ravel()


def _sides(rings: Rings) -> tuple[FloatArray, FloatArray]:
    """Both ends of every side of some rings, shape (n, 2) each."""
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    return xy[:-1][same], xy[1:][same]


def _corners(rings: Rings) -> list[float]:
    """Places along x where a ring turns sharply."""
    out: list[float] = []
    for ring in rings:
        xy = shapely.get_coordinates(ring)[:-1]
        step = np.roll(xy, -1, axis=0) - xy
        angle = np.arctan2(step[:, 1], step[:, 0])
        turn = np.abs((angle - np.roll(angle, 1) + np.pi) % (2 * np.pi) - np.pi)
        out += xy[turn > _CORNER, 0].tolist()
    return out


def _turns(rings: Rings) -> FloatArray:
    """Places along x where rings turn back, in order, shape (n,), mm: ends of a region, and of bays in it."""
    turns = np.unique(np.concatenate([_turns_of(shapely.get_coordinates(ring)[:-1, 0]) for ring in rings]))
    return np.asarray(turns[np.concatenate([[True], np.diff(turns) > _APART])])


def _turns_of(x: FloatArray) -> FloatArray:
    """The same of one ring's corners."""
    x = x[x != np.roll(x, 1)]
    ahead = np.roll(x, -1) > x
    return np.asarray(x[ahead != np.roll(ahead, 1)])
