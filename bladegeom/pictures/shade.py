"""Shade that needs no lamp: in corners under what stands out, and under the whole knife where it lies."""

from __future__ import annotations

from typing import Final

import numpy as np

from bladegeom.pictures.studio import Floats

_REACHES: Final = ((0.7, 0.30), (3.0, 0.34))
"""How far corners shade, mm, and the most that they take."""

_COARSE: Final = 4
"""Pixels each way that shade together: it is soft."""


def blurred(field: Floats, reach: float) -> Floats:
    """A field smoothed three times over a square, which is nearly a bell; ``reach`` in pixels."""
    half = max(1, round(reach * 0.6))
    for _ in range(3):
        field = _boxed(_boxed(field, half).T, half).T
    return field


def _boxed(field: Floats, half: int) -> Floats:
    """Mean over ``2 half + 1`` rows."""
    padded = np.pad(field, ((half + 1, half), (0, 0)), mode="edge")
    total = np.cumsum(padded, axis=0, dtype=np.float64)
    return np.asarray((total[2 * half + 1 :] - total[: -2 * half - 1]) / (2 * half + 1), dtype=np.float32)


def coarse(field: Floats) -> Floats:
    """Means of squares of pixels."""
    rows, columns = (-(-size // _COARSE) * _COARSE for size in field.shape)
    padded = np.pad(field, ((0, rows - field.shape[0]), (0, columns - field.shape[1])), mode="edge")
    squares = padded.reshape(rows // _COARSE, _COARSE, columns // _COARSE, _COARSE)
    return np.asarray(squares.mean(axis=(1, 3)), dtype=np.float32)


def fine(field: Floats, rows: int, columns: int) -> Floats:
    """Back to pixels, straight between the middles of the squares."""
    return _stretched(_stretched(field, rows).T, columns).T


def _stretched(field: Floats, rows: int) -> Floats:
    place = np.clip((np.arange(rows) + 0.5) / _COARSE - 0.5, 0, len(field) - 1)
    row = np.minimum(place.astype(np.intp), max(len(field) - 2, 0))
    part = (place - row).astype(np.float32)[:, None]
    return np.asarray(field[row] * (1 - part) + field[np.minimum(row + 1, len(field) - 1)] * part)


def crease_shade(depth: Floats, mm_per_pixel: float) -> Floats:
    """What is left of the light where something near stands higher, shape of the field.

    Args:
        depth: Towards the eye, mm; -inf where nothing is seen.
        mm_per_pixel: Scale.
    """
    covers = np.isfinite(depth)
    height = np.where(covers, depth, 0).astype(np.float32)
    share, there = coarse(covers.astype(np.float32)), coarse(height)
    shade = np.ones(depth.shape, dtype=np.float32)
    for reach, most in _REACHES:
        pixels = reach / mm_per_pixel / _COARSE
        around = np.asarray(blurred(there, pixels) / np.maximum(blurred(share, pixels), 1e-3), dtype=np.float32)
        above = fine(around, *depth.shape) - height
        shade *= 1 - np.float32(most) * np.clip(above / np.float32(0.6 * reach + 0.4), 0, 1)
    return np.where(covers, shade, np.float32(1))
