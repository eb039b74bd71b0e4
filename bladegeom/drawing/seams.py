"""Where one page ends and the next begins: clear of what must stay whole, and of as many words as may be."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import FloatArray

OVERLAP = 12.0
"""What two neighbouring pages both show, mm: 10 to 15 is common practice, no source."""

MOST = 12
"""Pages of one piece; own choice: every joint adds its error."""

_STEP = 0.5
"""Places of a seam that are tried are this far apart, mm."""

_EVEN = 1e-3
"""Cost of a seam for each mm that it lies off an even division; a word that is cut costs 1."""

Span = tuple[float, float]


def seams(
    extent: Span, room: float, apart: float, whole: Sequence[Span], words: Sequence[Span]
) -> Sequence[float] | None:
    """Middles of the overlaps along one axis, for as few pages as may be; empty where one page holds it all.

    None where every division into at most 12 cuts something that must stay whole.

    Args:
        extent: Least and greatest coordinate of what is drawn, mm.
        room: What a page holds, mm.
        apart: Least distance of two seams, mm; half of it from either end.
        whole: What no overlap may touch.
        words: What none should touch.
    """
    low, high = extent
    if high - low <= room:
        return ()
    at = np.arange(low + apart / 2, high - apart / 2 + 1e-9, _STEP)
    legal, cut = (_touching(at, spans) for spans in (whole, words))
    least = math.ceil((high - low - OVERLAP) / (room - OVERLAP) - 1e-9)
    for pages in range(least, MOST + 1):
        found = _cheapest(at, np.where(legal == 0, cut, np.inf), extent, room, apart, pages)
        if found is not None:
            return found
    return None


def _touching(at: FloatArray, spans: Sequence[Span]) -> FloatArray:
    """How many spans the overlap about each place touches, shape (n,)."""
    out = np.zeros(len(at))
    for low, high in spans:
        out += (at + OVERLAP / 2 > low) & (at - OVERLAP / 2 < high)
    return out


def _cheapest(
    at: FloatArray, cost: FloatArray, extent: Span, room: float, apart: float, pages: int
) -> Sequence[float] | None:
    """The cheapest seams of a number of pages, by going through the places seam by seam."""
    low, high = extent
    step = (high - low) / pages
    ways: list[FloatArray] = []
    best = np.where(at - low <= room - OVERLAP / 2, cost + _EVEN * np.abs(at - low - step), np.inf)
    gaps = at[:, None] - at[None, :]
    follows = (gaps >= apart) & (gaps <= room - OVERLAP)
    for seam in range(2, pages):
        through = np.where(follows, best[None, :], np.inf)
        ways.append(through.argmin(axis=1))
        best = through.min(axis=1) + cost + _EVEN * np.abs(at - low - seam * step)
    best = np.where(high - at <= room - OVERLAP / 2, best, np.inf)
    if not len(at) or not np.isfinite(best.min()):
        return None
    places = [int(best.argmin())]
    for way in reversed(ways):
        places.append(int(way[places[-1]]))
    return [float(at[i]) for i in reversed(places)]
