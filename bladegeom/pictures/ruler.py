"""A bar of a round length under a picture, to see sizes by; of inches where the shop tells these first."""

from __future__ import annotations

from typing import Final

import numpy as np

from bladegeom.pictures.backdrop import Backdrop
from bladegeom.quantities.unit_order import first_unit

_INK: Final = (62, 62, 64)
_PAPER: Final = (244, 243, 240)

_MM: Final = ((100.0, 10, "100 mm"), (50.0, 5, "50 mm"), (10.0, 10, "10 mm"))
_INCHES: Final = ((101.6, 4, "4 in"), (50.8, 2, "2 in"), (12.7, 4, "1/2 in"))
"""Length in mm, parts, and what stands at the end; the first that is short enough is drawn."""

_SHARE: Final = 0.45
"""Of the picture's width, at most."""


def draw_ruler(backdrop: Backdrop, mm_per_pixel: float, right: float, base: float, height: float) -> None:
    """A bar that ends at a place, and whose words stand on a line; ``height`` is that of the words, pixels."""
    columns = backdrop.light.shape[1]
    bars = _INCHES if first_unit() == "inch" else _MM
    length, parts, end = next((bar for bar in bars if bar[0] / mm_per_pixel < _SHARE * columns), bars[-1])
    long = length / mm_per_pixel
    left, top, deep = right - long, base + 0.45 * height, 0.42 * height
    backdrop.fill([_box(left, top, long, deep)], _INK)
    rim = max(1.0, 0.07 * height)
    for i in range(1, parts, 2):
        step = long / parts
        backdrop.fill([_box(left + i * step, top + rim, step - (rim if i == parts - 1 else 0), deep - 2 * rim)], _PAPER)
    backdrop.words("0", (left, base), height, _INK)
    backdrop.words(end, (right, base), height, _INK, anchor=1)


def _box(left: float, top: float, wide: float, deep: float) -> np.ndarray:
    return np.array([(left, top), (left + wide, top), (left + wide, top + deep), (left, top + deep)])
