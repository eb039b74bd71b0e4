"""A smooth course through stations that never overshoots them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bladegeom.curves.curve import FloatArray


def monotone(x: FloatArray, y: FloatArray) -> Callable[[FloatArray], FloatArray]:
    """Piecewise cubic through stations: it rises and falls only where they do, and stays level outside them.

    The ends are level too, so that there is no crease where the course becomes constant.

    Args:
        x: Of the stations, rising, shape (n,), n >= 1.
        y: Of the stations, shape (n,).

    Source:
        Fritsch and Butland, A method for constructing local monotone piecewise cubic interpolants, SIAM J. Sci. Stat.
        Comput. 5 (1984): slopes by the weighted harmonic mean.
    """
    if len(x) == 1:
        return lambda at: np.full(np.shape(at), y[0])
    h, slope = np.diff(x), np.diff(y) / np.diff(x)
    at_station = np.zeros(len(x))
    one, two = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    same = slope[:-1] * slope[1:] > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (one + two) / (one / slope[:-1] + two / slope[1:])
    at_station[1:-1] = np.where(same, mean, 0.0)

    def course(at: FloatArray) -> FloatArray:
        inside = np.clip(at, x[0], x[-1])
        i = np.clip(np.searchsorted(x, inside, side="right") - 1, 0, len(h) - 1)
        t = (inside - x[i]) / h[i]
        level = y[i] * (1 + 2 * t) * (1 - t) ** 2 + y[i + 1] * t * t * (3 - 2 * t)
        turn = h[i] * (at_station[i] * t * (1 - t) ** 2 - at_station[i + 1] * t * t * (1 - t))
        return np.asarray(level + turn)

    return course
