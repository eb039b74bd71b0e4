"""The first place along each of many lines where something changes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.solids.mesh import Corners

_PARTS, _TIMES = 8, 5
"""A stretch is cut into eight at a time, five times over: few calls for many places, each 1/32768 of it in the end."""


def first_change(
    seen: Callable[[FloatArray], Corners], low: FloatArray, high: FloatArray
) -> tuple[FloatArray, Corners, Corners]:
    """Just behind the first change on each line, and what is seen before it and there, shape (n,) each.

    Args:
        seen: What is seen at places (k, n), k on each line, told as ways along it.
        low: Where each line starts, shape (n,).
        high: Where it ends; what is seen there is told where nothing changes before.
    """
    before, after = seen(np.stack([low, high]))
    share = (np.arange(1, _PARTS + 1) / _PARTS)[:, None]
    for _ in range(_TIMES):
        places = low + share * (high - low)
        found = np.concatenate([seen(places[:-1]), after[None]])
        first = np.where((found != before).any(axis=0), (found != before).argmax(axis=0), _PARTS - 1)[None]
        high, step = np.take_along_axis(places, first, axis=0)[0], (high - low) / _PARTS
        low, after = high - step, np.take_along_axis(found, first, axis=0)[0]
    return high, before, after
