"""The light of a studio of our own: a large soft lamp above, a strip below, dark between them, so that facets part.

Every number here is our own choice by eye. Colours are linear light, from 0 to 1.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]

_UPWARD: Final = np.array(
    [
        (-1.0, 0.20),
        (-0.8, 0.16),
        (-0.58, 0.14),
        (-0.51, 0.24),
        (-0.46, 1.05),
        (-0.23, 1.05),
        (-0.18, 0.40),
        (-0.12, 0.25),
        (-0.06, 0.29),
        (-0.025, 0.39),
        (0.0, 0.54),
        (0.05, 0.68),
        (0.14, 0.60),
        (0.24, 0.62),
        (0.40, 1.05),
        (0.66, 1.10),
        (0.82, 0.85),
        (1.0, 0.70),
    ]
)
"""What metal shows, by how far its surface looks up (1) or down (-1)."""

_SIDEWARD: Final = np.array(
    [
        (-1, 0.45),
        (-0.6, 0.7),
        (-0.3, 0.85),
        (-0.17, 0.86),
        (-0.05, 1.08),
        (0.04, 1.04),
        (0.16, 0.84),
        (0.4, 0.95),
        (1, 0.5),
    ]
)
"""The same by how far it looks to the side, as a factor."""

_BRUSHED: Final = 0.11
"""How far scratches spread what they reflect, square to them."""

_SMOOTH: Final = 0.012
"""And along them."""

_FRONT: Final = 0.50
"""What metal shows that faces the eye; there it has its own colour."""

_LAMP: Final = np.array([-0.22, 0.62, 0.75], dtype=np.float32)
"""Where the light on what is dull comes from: to the right, up, to the eye."""

_ALL_ROUND: Final = 0.42
"""Share of the light that comes from everywhere."""

_CELLS: Final = 2048


def _table(points: npt.NDArray[np.float64], spread: float) -> Floats:
    """Values at even steps from -1 to 1, smoothed."""
    at = np.linspace(-1.0, 1.0, _CELLS + 1)
    width = max(1, round(spread * _CELLS / 2))
    reach = np.arange(-3 * width, 3 * width + 1)
    weight = np.exp(-0.5 * (reach / width) ** 2)
    values = np.pad(np.interp(at, *points.T), 3 * width, mode="edge")
    return np.convolve(values, weight / weight.sum(), mode="valid").astype(np.float32)


_UP: Final = tuple(_table(_UPWARD, spread) for spread in (_SMOOTH, _BRUSHED))
_SIDE: Final = tuple(_table(_SIDEWARD, spread) for spread in (_SMOOTH, _BRUSHED))


def told_studio(steps: int) -> dict[str, Any]:
    """The same light for another renderer: what :func:`metal_light`, :func:`dull_light` and :func:`gleam` are made of.

    Args:
        steps: Of its tables, which run from -1 to 1.

    Returns:
        "lamps", for each step by how far metal looks up, sharp and spread, and to the side, sharp and spread; "front";
        "lamp", as a unit vector; "around".
    """
    at = np.linspace(0, _CELLS, steps + 1).round().astype(int)
    lamps = np.stack([*_UP, *_SIDE], axis=1)[at]
    lamp = _LAMP / np.linalg.norm(_LAMP)
    return {
        "lamps": lamps.astype(float).round(4).tolist(),
        "front": _FRONT,
        "lamp": lamp.astype(float).round(5).tolist(),
        "around": _ALL_ROUND,
    }


def metal_light(normals: Floats, scratches: Floats) -> Floats:
    """What metal shows of the studio, as a factor to its colour, shape (n,).

    Args:
        normals: To the right, up and to the eye, unit vectors, shape (n, 3).
        scratches: Direction square to them in the same frame, shape (n, 3); shorter than 1 where they are fainter.
    """
    sideward, upward = (np.abs(scratches[:, i]) for i in (0, 1))
    light = _read(_UP, normals[:, 1], upward) * _read(_SIDE, normals[:, 0], sideward)
    return np.asarray(light / np.float32(_FRONT), dtype=np.float32)


def _read(tables: tuple[Floats, ...], at: Floats, spread: Floats) -> Floats:
    """Between the sharp table and the spread one."""
    place = np.clip((at + 1) * np.float32(_CELLS / 2), 0, _CELLS - 0.001)
    cell = place.astype(np.int32)
    part = place - cell
    sharp, wide = (np.asarray(table[cell] * (1 - part) + table[cell + 1] * part) for table in tables)
    return np.asarray(sharp + (wide - sharp) * np.minimum(spread, 1), dtype=np.float32)


def dull_light(normals: Floats) -> Floats:
    """What falls on something dull, as a factor to its colour, shape (n,)."""
    lamp = _LAMP / np.linalg.norm(_LAMP)
    direct = np.maximum((normals @ lamp + np.float32(0.25)) / np.float32(1.25), 0)
    front = (lamp[2] + 0.25) / 1.25
    ground = np.float32(0.85) + np.float32(0.15) * normals[:, 1]
    return np.asarray(
        (_ALL_ROUND * ground + (1 - _ALL_ROUND) * direct) / (_ALL_ROUND * 0.85 + (1 - _ALL_ROUND) * front)
    )


def gleam(normals: Floats, gloss: float) -> Floats:
    """White light that something dull throws back besides, shape (n,); more the flatter it is looked at."""
    grazing = (1 - np.clip(normals[:, 2], 0, 1)) ** 5
    lamps = _read(_UP, normals[:, 1], np.full(len(normals), 1 - gloss, dtype=np.float32))
    side = _read(_SIDE, normals[:, 0], np.ones(len(normals), dtype=np.float32))
    return np.asarray(gloss * (0.05 + 0.35 * grazing) * np.maximum(lamps * side - 0.30, 0), dtype=np.float32)


def linear(colour: tuple[int, int, int]) -> Floats:
    """Linear light of a colour as screens take it. Source: sRGB, IEC 61966-2-1."""
    share = np.array(colour) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4).astype(np.float32)


_ENCODED: Final = np.round(
    255
    * np.where((_light := np.linspace(0, 1, 1 << 14)) <= 0.0031308, 12.92 * _light, 1.055 * _light ** (1 / 2.4) - 0.055)
).astype(np.uint8)


def encoded(light: Floats) -> npt.NDArray[np.uint8]:
    """Linear light as screens take it, from 0 to 255; what is brighter than white is white."""
    return _ENCODED[(np.clip(light, 0, 1) * np.float32(len(_ENCODED) - 1) + np.float32(0.5)).astype(np.int32)]
