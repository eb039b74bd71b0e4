"""Which triangle is seen at each place of a grid: the nearest to the eye."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

Indexes = npt.NDArray[np.intp]

_TOUCH = 1e-7
"""Places this near to a side count for both triangles at it, so that none falls between them; in grid steps."""

_TOGETHER = 1 << 17
"""Places that are looked at together, about: so few stay in the processor's cache."""

_FLAT = 1e-12
"""A triangle of less is seen from its side; in squares of the grid."""


class Foremost(NamedTuple):
    """What is seen, row by row from the top."""

    triangle: npt.NDArray[np.int32]
    """Shape (rows, columns); -1 where nothing is."""
    depth: npt.NDArray[np.float32]
    """Towards the eye, the same shape; -inf where nothing is."""


class _Spans(NamedTuple):
    """Stretches of rows that triangles cover."""

    triangle: Indexes
    row: Indexes
    first: Indexes
    length: Indexes


def nearest_triangles(corners: FloatArray, columns: int, rows: range) -> Foremost:
    """The nearest triangle at the middle of each cell; the last of several that are equally near.

    Args:
        corners: Of the triangles, in columns to the right, rows down and any unit towards the eye, shape (m, 3, 3).
            What turns its back to the eye is left out.
        columns: Of the grid.
        rows: Of the grid, those that are wanted.
    """
    low, high = corners[:, :, 1].min(axis=1), corners[:, :, 1].max(axis=1)
    near = np.flatnonzero((low < rows.stop) & (high > rows.start))
    a, b, c = (corners[near, i] for i in range(3))
    twice = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    # Rows run down: what is counter-clockwise seen from outside turns the other way here.
    front = np.flatnonzero(twice < -_FLAT)
    near, twice = near[front], twice[front]
    seen = Foremost(
        np.full(len(rows) * columns, -1, dtype=np.int32), np.full(len(rows) * columns, -np.inf, dtype=np.float32)
    )
    heights = np.minimum(high[near], rows.stop) - np.maximum(low[near], rows.start) + 1
    for some in _lots(heights):
        _look(seen, corners[near[some]], near[some], twice[some], columns, rows)
    return Foremost(seen.triangle.reshape(len(rows), columns), seen.depth.reshape(len(rows), columns))


def _look(seen: Foremost, corners: FloatArray, triangle: Indexes, twice: FloatArray, columns: int, rows: range) -> None:
    """Put in what is seen of some triangles, given by their corners, numbers and twice their areas."""
    spans = _spans(corners, columns, rows)
    at = _planes(corners, twice)[spans.triangle]
    near = at[:, 0] * (spans.first + 0.5) + at[:, 1] * (spans.row + 0.5) + at[:, 2]
    start = (spans.row - rows.start) * columns + spans.first
    for some in _lots(spans.length):
        length = spans.length[some]
        span = np.repeat(np.arange(some.start, some.stop), length)
        step = _runs(length)
        cell = start[span] + step
        height = (near[span] + at[span, 0] * step).astype(np.float32)
        np.maximum.at(seen.depth, cell, height)
        first = np.flatnonzero(height == seen.depth[cell])
        seen.triangle[cell[first]] = triangle[spans.triangle[span[first]]]


def _lots(sizes: Indexes | FloatArray) -> Iterator[slice]:
    """Stretches of a row of things that are of about one size together."""
    ends = np.cumsum(sizes)
    lots = np.unique(np.searchsorted(ends, np.arange(_TOGETHER, ends[-1] if len(ends) else 0, _TOGETHER)))
    for low, high in itertools.pairwise((0, *lots.tolist(), len(ends))):
        yield slice(low, high)


def _runs(count: Indexes) -> Indexes:
    """0, 1, 2 ... for each run."""
    ends = np.cumsum(count)
    return np.arange(count.sum(), dtype=np.intp) - np.repeat(ends - count, count)


def _planes(corners: FloatArray, twice: FloatArray) -> FloatArray:
    """Depth as a plane over the grid: per column, per row, and at its corner, shape (m, 3)."""
    a, b, c = (corners[:, i] for i in range(3))
    along, other = b - a, c - a
    per_column = (along[:, 2] * other[:, 1] - other[:, 2] * along[:, 1]) / twice
    per_row = (along[:, 0] * other[:, 2] - other[:, 0] * along[:, 2]) / twice
    return np.stack([per_column, per_row, a[:, 2] - per_column * a[:, 0] - per_row * a[:, 1]], axis=1)


def _spans(corners: FloatArray, columns: int, rows: range) -> _Spans:
    """Rows by rows what each triangle covers; a cell counts by its middle."""
    y = corners[:, :, 1]
    top = np.clip(np.ceil(y.min(axis=1) - 0.5), rows.start, rows.stop).astype(np.intp)
    end = np.clip(np.floor(y.max(axis=1) - 0.5) + 1, rows.start, rows.stop).astype(np.intp)
    height = np.maximum(end - top, 0)
    triangle = np.repeat(np.arange(len(corners), dtype=np.intp), height)
    if not len(triangle):
        return _Spans(triangle, triangle, triangle, triangle)
    row = top[triangle] + _runs(height[height > 0])
    low, high = np.full(len(row), -np.inf), np.full(len(row), np.inf)
    for i in range(3):
        start, other = corners[:, i], corners[:, (i + 1) % 3]
        # A place lies inside where slope * x + rest is not negative, at each side.
        slope = other[:, 1] - start[:, 1]
        rest = (start[:, 0] - other[:, 0])[triangle] * (row + 0.5) + (
            start[:, 1] * other[:, 0] - start[:, 0] * other[:, 1]
        )[triangle]
        side = slope[triangle]
        with np.errstate(divide="ignore", invalid="ignore"):
            met = -rest / side
        low = np.where(side > 0, np.maximum(low, met), low)
        high = np.where(side < 0, np.minimum(high, met), high)
    first = np.clip(np.ceil(low - 0.5 - _TOUCH), 0, columns).astype(np.intp)
    last = np.clip(np.floor(high - 0.5 + _TOUCH), -1, columns - 1).astype(np.intp)
    covers = last >= first
    return _Spans(triangle[covers], row[covers], first[covers], (last - first + 1)[covers])
