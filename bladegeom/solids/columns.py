"""Integrals over a region of steel under a face that is known only by its height at a place.

The region is cut into upright columns (`panels.py`). Along each column the face is probed; where another of its laws
takes over, the column is split at that very place, so that every stretch that is integrated is smooth. A law that
counts only between two probes is found where those of the probes cross, for it lies lower there than either, and where
its way through three probes would dip below the least.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

import numpy as np
import numpy.typing as npt
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.solids.panels import EVEN, EVEN_WEIGHT, PANEL, Columns, columns_of

_STRETCHES = np.linspace(0.0, 1.0, 5)
"""Ends of the stretches of a column that are integrated by themselves, as shares of it."""

_PROBES = np.array([0.0, 1 / 256, 1 / 64, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 3 / 4, 1.0])
"""Where a column is probed, closest above the edge, where faces are thin; shares of it."""

_REFINEMENTS = 8
"""Steps, at most, of the search for the place where one law takes over from another."""

_MET = 1e-5
"""Two laws as close as this have met, mm: what a column is then cut off by is nothing beside its own rounding."""

_SAME = 1e-7
"""A law lower by less than this where two others cross is one of them by rounding, mm."""


Indexes = npt.NDArray[np.intp]


class Surface(Protocol):
    """One side of the steel."""

    def laws(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Heights by each law, shape (m, n), mm; the least is the face."""
        ...

    def height(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Height of the face over the middle plane, shape (n,), mm."""
        ...


def missing(
    region: BaseGeometry,
    surface: Surface,
    full: float,
    *,
    breaks: tuple[float, ...] = (),
    panel: float = PANEL,
    upright: bool = False,
) -> FloatArray:
    """What a face lacks of a flat one at height ``full``.

    Args:
        region: Polygons, with or without holes, mm.
        surface: The face.
        full: Height of the flat one, mm.
        breaks: Further x at which panels must end, such as stations of a taper.
        panel: Widest panel along x, mm.
        upright: Whether the face may stand upright at the region's border, as a quarter circle does.

    Returns:
        Shape (3, 6): as :func:`bladegeom.solids.moments.of_layers` takes them.
    """
    if not region.area:  # nothing, or what is left where two borders touch
        return np.zeros((3, 6))
    columns = columns_of(region, breaks, panel)
    if not len(columns.x):
        return np.zeros((3, 6))
    which, low, high = _smooth_stretches(columns, surface)
    way, weights = _ways(columns, which, low, high) if upright else (EVEN, EVEN_WEIGHT)
    size = (high - low)[:, None]
    y = (low[:, None] + size * way).ravel()
    w = (columns.weight[which][:, None] * size * weights).ravel()
    x = np.repeat(columns.x[which], len(EVEN))
    z = surface.height(x, y)
    layers = np.stack([full - z, (full**2 - z**2) / 2, (full**3 - z**3) / 3]) * w
    return np.asarray(layers @ np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1))


def _ways(columns: Columns, which: Indexes, low: FloatArray, high: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Places and weights along each stretch, shape (n, 4): closer and closer towards an end of its column.

    The face rises there as the square root of the way; places by the square of a parameter make that smooth.
    """
    at_low = (low <= columns.low[which])[:, None]
    at_high = (high >= columns.high[which])[:, None]
    t, weight = EVEN, EVEN_WEIGHT
    way = np.where(at_low, t**2, np.where(at_high, 1 - (1 - t) ** 2, t))
    weights = weight * np.where(at_low, 2 * t, np.where(at_high, 2 * (1 - t), 1.0))
    return way, weights


def _smooth_stretches(columns: Columns, surface: Surface) -> tuple[Indexes, FloatArray, FloatArray]:
    """Columns cut where another law takes over: index of the column, lower and upper end, each (n,)."""
    _, _, low, high = columns
    columns_cut, cuts = _takeovers(columns, surface)
    even = low[:, None] + (high - low)[:, None] * _STRETCHES
    which = np.concatenate([np.repeat(np.arange(len(low)), len(_STRETCHES)), columns_cut])
    y = np.concatenate([even.ravel(), cuts])
    order = np.lexsort((y, which))
    which, y = which[order], y[order]
    whole = (which[1:] == which[:-1]) & (y[1:] > y[:-1])
    return which[1:][whole], y[:-1][whole], y[1:][whole]


def _takeovers(columns: Columns, surface: Surface) -> tuple[Indexes, FloatArray]:
    """Where one law takes over from another: index of the column, and the place up it, each (n,)."""
    column, y, z = _probed(columns, surface)
    least = z.argmin(axis=0)
    i = np.flatnonzero((column[1:] == column[:-1]) & (least[1:] != least[:-1]))
    column, low, high = column[i], _Places(y[i], z[:, i]), _Places(y[i + 1], z[:, i + 1])
    found: list[tuple[Indexes, FloatArray]] = [(column[:0], low.y[:0])]
    while len(column):
        cut = _takeover(surface, columns.x[column], low, high)
        # Where two laws cross and a third one lies lower, that one counts there: look on both sides of the place.
        hidden = cut.z.min(axis=0) < np.minimum(cut.law(low.least), cut.law(high.least)) - _SAME
        found.append((column[~hidden], cut.y[~hidden]))
        column, low, cut, high = np.tile(column[hidden], 2), low.only(hidden), cut.only(hidden), high.only(hidden)
        low, high = low.and_(cut), cut.and_(high)
    columns_cut, cuts = zip(*found, strict=True)
    return np.concatenate(columns_cut), np.concatenate(cuts)


class _Places(NamedTuple):
    """Places up their columns, shape (n,), with the height by each law there, shape (laws, n)."""

    y: FloatArray
    z: FloatArray

    @property
    def least(self) -> Indexes:
        """Which law counts at each."""
        return np.asarray(self.z.argmin(axis=0))

    def law(self, which: Indexes) -> FloatArray:
        """Height at each place by a law of its own, shape (n,)."""
        return self.z[which, np.arange(len(which))]

    def only(self, which: npt.NDArray[np.bool_]) -> _Places:
        """Some of them."""
        return _Places(self.y[which], self.z[:, which])

    def and_(self, more: _Places) -> _Places:
        """These, then others."""
        return _Places(np.concatenate([self.y, more.y]), np.concatenate([self.z, more.z], axis=1))


def _probed(columns: Columns, surface: Surface) -> tuple[Indexes, FloatArray, FloatArray]:
    """Probes in order: index of the column, place up it, each (n,), and heights by each law there, (laws, n)."""
    x, _, low, high = columns
    y = low[:, None] + (high - low)[:, None] * _PROBES
    z = surface.laws(np.repeat(x, y.shape[1]), y.ravel())
    grid = z.reshape(-1, *y.shape)
    dipping, at = _dips(y, grid - grid.min(axis=0))
    column, y = np.repeat(np.arange(len(x)), y.shape[1]), y.ravel()
    if not len(dipping):
        return column, y, z
    column, y = np.concatenate([column, dipping]), np.concatenate([y, at])
    z = np.concatenate([z, surface.laws(x[dipping], at)], axis=1)
    order = np.lexsort((y, column))
    return column[order], y[order], z[:, order]


def _dips(y: FloatArray, over: FloatArray) -> tuple[Indexes, FloatArray]:
    """Where a law that stands over the least one at three probes may dip below it between them, as a hollow does.

    Args:
        y: Probes, shape (columns, probes), mm.
        over: Of each law over the least one there, shape (laws, columns, probes), mm.

    Returns:
        Index of the column, and the lowest place of the parabola through the three, each (n,).
    """
    a, b, c = over[..., :-2], over[..., 1:-1], over[..., 2:]
    law, column, i = np.nonzero((b > 0) & (b < a) & (b <= c))
    a, b, c = (probe[law, column, i] for probe in (a, b, c))
    before, behind = y[column, i + 1] - y[column, i], y[column, i + 2] - y[column, i + 1]
    down, up = (b - a) / before, (c - b) / behind
    bend = (up - down) / (before + behind)
    slope = (down * behind + up * before) / (before + behind)
    low = b - slope**2 / (4 * bend)
    under = low < 0
    return column[under], (y[column, i + 1] - slope / (2 * bend))[under]


def _takeover(surface: Surface, x: FloatArray, low: _Places, high: _Places) -> _Places:
    """Where the law that is least at the low end stops being less than that of the high end: by regula falsi."""
    before, after = low.least, high.least
    found = _Places(low.y.copy(), low.z.copy())
    left, kept = np.arange(len(x)), np.zeros(len(x))
    a, b, at_a, at_b = low.y, high.y, low.law(after) - low.law(before), high.law(after) - high.law(before)
    for _ in range(_REFINEMENTS):
        share = np.clip(at_a / np.where(at_a > at_b, at_a - at_b, 1.0), 0.02, 0.98)
        y = a + (b - a) * share
        z = surface.laws(x[left], y)
        found.y[left], found.z[:, left] = y, z
        at = z[after[left], np.arange(len(left))] - z[before[left], np.arange(len(left))]
        below = at > 0
        # An end that stays again counts for less (Anderson and Bjoerck), or the search would creep up from one side.
        replaced = np.where(below, at_a, at_b)
        less = 1.0 - at / np.where(replaced == 0, 1.0, replaced)
        less = np.where(less > 0, less, 0.5)
        at_a = np.where(below, at, np.where(kept < 0, at_a * less, at_a))
        at_b = np.where(below, np.where(kept > 0, at_b * less, at_b), at)
        kept = np.where(below, 1.0, -1.0)
        a, b = np.where(below, y, a), np.where(below, b, y)
        open_ = np.abs(at) > _MET
        left, kept = left[open_], kept[open_]
        a, b, at_a, at_b = (column[open_] for column in (a, b, at_a, at_b))
        if not len(left):
            break
    return found
