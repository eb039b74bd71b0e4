"""Grain of our own making: year rings, laid sheets, streaks and cloth, from the place in the design alone.

All views agree, and two scales of a knife differ as two slabs do. Everything here is our own choice by eye.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from bladegeom.pictures.noise import noise
from bladegeom.pictures.studio import Floats
from bladegeom.quantities.appearances import Appearance, Grain


def grain_share(look: Appearance, places: Floats) -> Floats:
    """How much of the grain's colour there is, 0 to 1, shape (n,).

    Args:
        look: Of the material.
        places: mm, shape (n, 3).
    """
    return np.clip(_GRAINS[look.grain](places, look.spacing), 0, 1)


def _rings(places: Floats, spacing: float) -> Floats:
    """Cut through a trunk that lies along x, its heart below and behind; pores as fine lines."""
    x, y, z = places.T
    sway = noise(x / 46, y / 30, 1) * 2.2 + noise(x / 17, z / 9, 2) * 0.5
    radius = np.hypot(y + 34 + sway + 0.05 * x, z + 21 + 0.4 * sway)
    ring = (radius / spacing + 0.35 * noise(x / 60, radius / 5, 3)) % 1
    late = ring**2.2 * (1 - np.clip((ring - 0.94) / 0.06, 0, 1))
    pores = np.maximum(noise(x / 5.0, y / 0.22 + z / 0.31, 4) - 0.15, 0) * (1.1 - ring)
    blotch = 0.5 + 0.5 * noise(x / 33, y / 12 + z / 15, 5)
    return np.asarray(0.62 * late + 0.55 * pores + 0.22 * blotch, dtype=np.float32)


def _layers(places: Floats, spacing: float) -> Floats:
    """Sheets that lie flat; the threads of each make them waver, so that a flat face shows them as a mottle."""
    x, y, z = places.T
    thread = noise(x / (1.1 * spacing), y / (4 * spacing), 6) + noise(x / (4 * spacing), y / (1.1 * spacing), 7)
    wave = noise(x / 14, y / 11, 8)
    sheet = (np.abs(z) + spacing * (0.30 * wave + 0.16 * thread)) / (2 * spacing)
    return np.asarray(0.5 + 0.5 * np.sin(2 * np.pi * sheet) + 0.18 * thread, dtype=np.float32)


def _fibres(places: Floats, spacing: float) -> Floats:
    x, y, z = places.T
    streak = noise(x / (9 * spacing), y / spacing + z / (0.7 * spacing), 9)
    fine = noise(x / 4.0, y / (0.15 * spacing) + z / (0.2 * spacing), 10)
    cloud = noise(x / 25, y / 13, 11)
    return np.asarray(0.35 + 0.4 * streak + 0.16 * fine + 0.25 * cloud, dtype=np.float32)


def _weave(places: Floats, spacing: float) -> Floats:
    """Twill: bundles that go over two and under two."""
    x, y, _ = places.T
    column, row = np.floor(x / spacing), np.floor(y / spacing)
    over = (column + row) % 4 < 2
    across = np.where(over, x / spacing - column, y / spacing - row)
    return np.asarray(0.75 * np.where(over, 1.0, 0.25) * np.sin(np.pi * across) + 0.1 * noise(x / 0.2, y / 0.2, 12))


def _plain(places: Floats, spacing: float) -> Floats:
    x, y, z = places.T
    return np.asarray(0.5 + 0.3 * noise(x / spacing, y / spacing + z / spacing, 13), dtype=np.float32)


_GRAINS: Final[dict[Grain, Callable[[Floats, float], Floats]]] = {
    "rings": _rings,
    "layers": _layers,
    "fibres": _fibres,
    "weave": _weave,
    "plain": _plain,
    "brushed": _plain,
}
