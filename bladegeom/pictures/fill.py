"""Closed lines filled smoothly: how much of each pixel they cover."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray

_LINES = 8
"""Scan lines in each row of pixels; along each line the share of a pixel is exact."""


def coverage(rings: Iterable[FloatArray], columns: int, rows: int) -> FloatArray:
    """Share of each pixel inside closed lines, from 0 to 1, shape (rows, columns); a hole runs round the other way.

    Args:
        rings: Each shape (n, 2), pixels to the right and down; what lies outside the picture is cut off.
        columns: Of the picture.
        rows: Of the picture.
    """
    sides = [np.concatenate([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in rings]
    turns = turns_round(np.concatenate(sides), columns, rows) if sides else np.zeros((rows, columns))
    return np.clip(np.abs(turns), 0.0, 1.0)


def turns_round(sides: FloatArray, columns: int, rows: int) -> FloatArray:
    """How often closed lines run round each pixel, shares of it counted, shape (rows, columns).

    Args:
        sides: Both ends of each, across and down, shape (n, 4), in any order.
        columns: Of the picture.
        rows: Of the picture.
    """
    x0, y0, x1, y1 = sides.T
    y0, y1 = y0 * _LINES, y1 * _LINES
    first = np.clip(np.ceil(np.minimum(y0, y1) - 0.5), 0, rows * _LINES).astype(np.intp)
    last = np.clip(np.ceil(np.maximum(y0, y1) - 0.5), 0, rows * _LINES).astype(np.intp)
    count = last - first
    side = np.repeat(np.arange(len(count)), count)
    line = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + first[side]
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = (x1 - x0) / (y1 - y0)
    x = np.clip(x0[side] + (line + 0.5 - y0[side]) * slope[side], 0.0, columns)
    turn = np.where(y1 > y0, 1.0, -1.0)[side] / _LINES
    # From where a line is crossed everything to the right is inside, or outside again.
    column = np.floor(x).astype(np.intp)
    cell = (line // _LINES) * (columns + 2) + column
    size = rows * (columns + 2)
    part = x - column
    change = np.bincount(cell, turn * (1 - part), size) + np.bincount(cell + 1, turn * part, size)
    return np.cumsum(change.reshape(rows, columns + 2), axis=1)[:, :columns]


def rings_of(region: BaseGeometry) -> list[FloatArray]:
    """The closed lines of a region, holes the other way round, each shape (n, 2)."""
    turned = shapely.orient_polygons(region)
    return [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(shapely.get_parts(turned))]
