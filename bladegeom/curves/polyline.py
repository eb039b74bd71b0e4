"""Distances to lines that are points already."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bladegeom.curves.curve import FloatArray

_TABLE = 12_000
"""Places by chords measured at a time: so small a table stays in the processor's cache, twice as fast."""

_MANY, _FEW = 16 * _TABLE, 50
"""From so many places by chords, and so many chords, on, places are sorted into squares, each of which only few chords
can be near to; own choice by trial."""

_SQUARE = 12.0
"""Their side, mm; own choice by trial."""


def distances(x: FloatArray, y: FloatArray, vertices: FloatArray) -> FloatArray:
    """Distance of places to an open polyline, shape (n,), mm.

    Args:
        x: Of the places, shape (n,), mm.
        y: Of the places, shape (n,), mm.
        vertices: Of the polyline, shape (m, 2), m >= 2, mm.
    """
    start, chord = vertices[:-1], np.diff(vertices, axis=0)
    length = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-300)
    along, across = chord / length[:, None], chord[:, ::-1] * (-1.0, 1.0) / length[:, None]
    # Place times matrix gives how far along each chord a place lies, and how far beside it.
    to_along, to_across = (np.vstack([unit.T, -(start * unit).sum(axis=1)]) for unit in (along, across))
    chords = _Chords(to_along, to_across, length)
    places = np.stack([x, y, np.ones_like(x)], axis=1)
    if len(chord) < _FEW or len(x) * len(chord) < _MANY or not np.isfinite(places).all():
        return chords.nearest(places)
    return _by_squares(places, chords)


class _Chords(NamedTuple):
    """Chords as matrices.

    Args:
        to_along: Place times this is how far along each chord it lies, shape (3, m).
        to_across: And how far beside it, shape (3, m).
        length: Shape (m,), mm.
    """

    to_along: FloatArray
    to_across: FloatArray
    length: FloatArray

    def squared(self, places: FloatArray) -> FloatArray:
        """Of the distance of each place (n, 3) to each chord, shape (n, m), mm2."""
        # In place throughout: this is where weighing spends its time.
        past = places @ self.to_along
        past -= np.minimum(np.maximum(past, 0.0), self.length)
        beside = places @ self.to_across
        past *= past
        beside *= beside
        past += beside
        return past

    def nearest(self, places: FloatArray) -> FloatArray:
        """Distance of each place to the nearest chord, shape (n,), mm."""
        out = np.empty(len(places))
        at_once = max(2, _TABLE // len(self.length))
        # No place is left over alone: one row times a matrix may differ in the last digit from the same row of many.
        for i in range(0, max(len(places) - 1, 1), at_once):
            here = slice(i, i + at_once if i + at_once + 1 < len(places) else None)
            out[here] = np.sqrt(self.squared(places[here]).min(axis=1))
        return out


def _by_squares(places: FloatArray, chords: _Chords) -> FloatArray:
    """The same, in each square with those chords alone that can be nearest somewhere in it."""
    square = np.floor(places[:, :2] / _SQUARE)
    order = np.lexsort((square[:, 1], square[:, 0]))
    places, square = places[order], square[order]
    first = np.flatnonzero((np.diff(square, axis=0, prepend=np.nan) != 0).any(axis=1))
    middle = np.ones((len(first), 3))
    middle[:, :2] = (square[first] + 0.5) * _SQUARE
    far = np.sqrt(chords.squared(middle))
    # No place of a square is farther from its middle than half its diagonal, and a hair.
    near = far <= far.min(axis=1, keepdims=True) + _SQUARE * 1.4143
    # Two chords and two places at least: with one the library multiplies another way, to another last digit.
    near[:, :2] = True
    out = np.empty(len(places))
    for start, end, close in zip(first.tolist(), [*first[1:].tolist(), len(places)], near, strict=True):
        which = np.flatnonzero(close)
        here = _Chords(chords.to_along[:, which], chords.to_across[:, which], chords.length[which])
        inside = np.resize(places[start:end], (max(end - start, 2), 3))
        out[order[start:end]] = here.nearest(inside)[: end - start]
    return out
