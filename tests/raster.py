"""Measuring ruler bars on a rendered page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from PIL import Image

from bladegeom.drawing.drawing import CUT_PEN, Path, Sheet

DPI = 600
PIXEL = 25.4 / DPI
"""mm."""


class Bar(NamedTuple):
    """Where a bar should stand: its ends on the page, y up, mm."""

    start: tuple[float, float]
    end: tuple[float, float]


def bars(sheet: Sheet) -> dict[tuple[str, float], Bar]:
    """The bars of a sheet by axis and length: bold lines of 100 mm and 4 in, exactly level or upright."""
    out: dict[tuple[str, float], Bar] = {}
    for item in sheet.drawing.items:
        if isinstance(item, Path) and item.layer == "NOTE" and item.pen == CUT_PEN and len(item.curve) == 1:
            (x0, y0), (x1, y1) = item.curve.start, item.curve.end
            size = abs(x1 - x0) + abs(y1 - y0)
            for wanted in (100.0, 101.6):
                if abs(size - wanted) < 1e-6:
                    out["y" if abs(x1 - x0) < 1e-6 else "x", wanted] = Bar((x0, y0), (x1, y1))
    return out


def measured(picture: Image.Image, sheet: Sheet) -> Iterator[tuple[float, float]]:
    """Wanted and measured length, mm, of each bar: between the middles of the long ticks at its ends.

    What a page is made longer by for a printer is wanted too.

    The page must have been rendered at 600 dpi, its upper left corner in the picture's.
    """
    ink = 255.0 - np.asarray(picture.convert("L"), dtype=np.float64)
    for (axis, wanted), bar in bars(sheet).items():
        # A long tick reaches 3.2 mm away from the bar, the next shorter one 2.4: 2.8 meets only the long ones.
        up = 2.8 if wanted == 100.0 else -2.8
        (a, b), (c, d) = sheet.scale, sheet.shift
        if axis == "x":
            row = ink[round((sheet.height - b * (bar.start[1] + up) - d) / PIXEL)]
            first, last = (a * end[0] + c for end in bar)
            factor = a
        else:
            # Turned left by a quarter, above becomes left.
            row = ink[::-1, round((a * (bar.start[0] - up) + c) / PIXEL)]
            first, last = (b * end[1] + d + len(ink) * PIXEL - sheet.height for end in bar)
            factor = b
        yield factor * wanted, _middle(row, last) - _middle(row, first)


def _middle(row: np.ndarray[tuple[int, ...], np.dtype[np.float64]], at: float) -> float:
    """Middle of the ink within 1 mm of a place, mm."""
    i = round(at / PIXEL)
    near = np.arange(i - 24, i + 25)
    assert row[near].sum() > 255, f"no tick near {at:.1f} mm"
    return float((near + 0.5) @ row[near] / row[near].sum() * PIXEL)
