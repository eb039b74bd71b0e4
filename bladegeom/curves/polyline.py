"""Lines that are points already, and distances to them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

_TABLE = 12_000
"""Places by chords measured at a time: so small a table stays in the processor's cache, twice as fast."""

_MANY = 30_000
"""Cells of a table from which on it pays to leave chords out; measured."""

_TOGETHER = 256
"""Places that share the chords that any of them can be nearest to; measured."""

_SORTED, _SQUARE = 1_000_000, 12.0
"""Cells from which on it pays to bring places in the order of squares of this side, mm; measured."""

_POINT = 1e-100
"""A chord shorter than this has no direction, mm."""

_SPARE = 1e-6
"""Beyond what rounding can do, mm."""


class _Frames(NamedTuple):
    """Chords as matrices (3, chords) that give how far along each of them and how far beside it a place lies."""

    to_along: FloatArray
    to_across: FloatArray
    length: FloatArray


@dataclass(frozen=True, eq=False)
class Polyline:
    """An open line of chords, measured from many times.

    Args:
        vertices: Shape (m, 2), m >= 2, mm; some may be given twice.

    >>> import numpy as np
    >>> Polyline(np.array([[0.0, 0.0], [30.0, 0.0]])).distances(np.array([10.0, 33.0]), np.array([-2.0, 4.0])).tolist()
    [2.0, 5.0]
    """

    vertices: FloatArray

    def __post_init__(self) -> None:
        vertices = self.vertices.view()
        vertices.flags.writeable = False
        object.__setattr__(self, "vertices", vertices)

    def distances(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Distance of places to the line, shape (n,), mm; those of one place are the same bits beside any others.

        Args:
            x: Of the places, shape (n,), mm.
            y: Of the places, shape (n,), mm.
        """
        places = np.empty((len(x), 3))
        places[:, 0], places[:, 1], places[:, 2] = x, y, 1.0
        cells = len(places) * (len(self.vertices) - 1)
        if cells <= _MANY:
            return _least(places, self._frames)
        if cells <= _SORTED:
            return self._by_parts(places)
        out, square = np.empty(len(x)), np.floor(places[:, :2] / _SQUARE)
        order = np.lexsort((square[:, 1], square[:, 0]))
        out[order] = self._by_parts(places[order])
        return out

    def _by_parts(self, places: FloatArray) -> FloatArray:
        """From the chords that can be nearest to any of some places that follow each other."""
        parts = _parts(places, _TOGETHER)
        first = np.cumsum([0, *(len(part) for part in parts[:-1])])
        low, high = np.minimum.reduceat(places, first), np.maximum.reduceat(places, first)
        far = np.sqrt(_squares((low + high) / 2, self._frames))
        # No place is farther from the middle of its box than half the diagonal, whose other half the nearest chord has.
        size = np.hypot(high[:, 0] - low[:, 0], high[:, 1] - low[:, 1])
        near = ~(far > (far.min(axis=1) + size + _SPARE)[:, None])  # whatever is no number keeps all
        return np.concatenate([_least(part, self._only(which)) for part, which in zip(parts, near, strict=True)])

    @cached_property
    def _frames(self) -> _Frames:
        start, chord = self.vertices[:-1], np.diff(self.vertices, axis=0)
        length = np.hypot(chord[:, 0], chord[:, 1])
        along = chord / np.maximum(length, _POINT)[:, None]
        along[length < _POINT] = (1.0, 0.0)  # a place that is given twice is as far away as it is
        across = along[:, ::-1] * (-1.0, 1.0)
        to_along, to_across = (np.vstack([unit.T, -(start * unit).sum(axis=1)]) for unit in (along, across))
        return _Frames(to_along, to_across, length)

    def _only(self, which: npt.NDArray[np.bool_]) -> _Frames:
        """Of some of the chords."""
        to_along, to_across, length = self._frames
        chords = np.flatnonzero(which)
        if len(chords) == 1:
            chords = np.concatenate([chords, chords])  # see _parts
        return _Frames(to_along[:, chords], to_across[:, chords], length[chords])


def _least(places: FloatArray, frames: _Frames) -> FloatArray:
    """Distance of each place to the nearest chord."""
    parts = _parts(places, max(2, _TABLE // len(frames.length)))
    least = [_row_minima(_squares(part, frames)) for part in parts]
    return np.asarray(np.sqrt(least[0] if len(least) == 1 else np.concatenate(least)))


def _row_minima(table: FloatArray) -> FloatArray:
    """Of many short rows found column by column, twice as fast."""
    many_short = table.shape[0] > 2 * table.shape[1]
    return np.asarray(np.ascontiguousarray(table.T).min(axis=0) if many_short else table.min(axis=1))


def _parts(places: FloatArray, most: int) -> list[FloatArray]:
    """Places in parts of about a size, none by itself.

    A matrix of one row or one column is multiplied another way, which rounds otherwise; so cut up, the same places
    have the same distances to the last bit.
    """
    n = len(places)
    count = max(1, min(-(-n // most), n // 2))
    return [places[n * i // count : n * (i + 1) // count] for i in range(count)]


def _squares(places: FloatArray, frames: _Frames) -> FloatArray:
    """Squared distances, shape (places, chords); in place throughout, as this is where weighing spends its time."""
    past = places @ frames.to_along
    within = np.maximum(past, 0.0)
    past -= np.minimum(within, frames.length, out=within)
    beside = np.matmul(places, frames.to_across, out=within)
    past *= past
    beside *= beside
    past += beside
    return past
