"""Smooth noise that is the same wherever it is asked for, on every machine: grain, scratches, dimples."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

_BITS = 8
_SIZE = 1 << _BITS

Words = npt.NDArray[np.uint32]


def _mixed(number: Words) -> Words:
    """Each number as another that looks as if drawn by lot; source: a multiply and shift hash, own constants."""
    number = (number ^ (number >> np.uint32(16))) * np.uint32(0x7FEB352D)
    number = (number ^ (number >> np.uint32(15))) * np.uint32(0x846CA68B)
    return number ^ (number >> np.uint32(16))


_TABLE = (_mixed(np.arange(_SIZE * _SIZE, dtype=np.uint32)) / np.float32(2**31) - 1).astype(np.float32)
"""Numbers from -1 to 1 at the crossings of a grid that repeats."""


def lots(seed: int, *cells: npt.NDArray[np.intp]) -> FloatArray:
    """A number from -1 to 1 for each cell of a grid, by its whole numbers."""
    word = np.full(np.broadcast_shapes(*(cell.shape for cell in cells)), seed, dtype=np.uint32)
    for cell in cells:
        word = _mixed(word ^ (cell.astype(np.uint32) * np.uint32(0x9E3779B1)))
    return np.asarray(word / 2.0**31 - 1)


def noise(u: npt.NDArray[np.floating], v: npt.NDArray[np.floating], seed: int = 0) -> npt.NDArray[np.float32]:
    """Between -1 and 1, smooth over steps of 1 in either direction, shape (n,)."""
    u = u.astype(np.float32) + np.float32(17.3 * seed)
    v = v.astype(np.float32) + np.float32(31.7 * seed)
    column, row = np.floor(u), np.floor(v)
    across, down = u - column, v - row
    across, down = (part * part * (3 - 2 * part) for part in (across, down))
    left = column.astype(np.int32) & (_SIZE - 1)
    right = (left + 1) & (_SIZE - 1)
    top = (row.astype(np.int32) & (_SIZE - 1)) << _BITS
    under = (top + _SIZE) & (_SIZE * _SIZE - 1)
    upper = _TABLE[top | left] * (1 - across) + _TABLE[top | right] * across
    lower = _TABLE[under | left] * (1 - across) + _TABLE[under | right] * across
    return np.asarray(upper * (1 - down) + lower * down, dtype=np.float32)
