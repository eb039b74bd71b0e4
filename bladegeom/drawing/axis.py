"""An axis of a chart: where a value lies on the page, and ticks at round numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bladegeom.drawing.drawing import SMALL_TEXT
from bladegeom.quantities.lettering import text_width

_FREE = 2.0
"""Between two names side by side, mm."""

_BETWEEN = 7.0
"""Between the numbers of two ticks, side by side or one above the other, mm."""

_PAD = 0.05
"""Free at both ends, as a part of the axis."""


@dataclass(frozen=True, kw_only=True)
class Axis:
    """Values along a line on the page.

    Args:
        low: Value at the start.
        high: Value at the end, greater than low.
        start: Place of the start on the page, mm.
        length: On the page, mm.
        ticks: Text by value.
        upright: Whether the texts stand upright because they are too wide to lie side by side.
    """

    low: float
    high: float
    start: float
    length: float
    ticks: Mapping[float, str]
    upright: bool = False

    def place(self, value: float) -> float:
        """Where a value lies on the page, mm."""
        return self.start + (value - self.low) / (self.high - self.low) * self.length

    @property
    def end(self) -> float:
        """Place of the end on the page, mm."""
        return self.start + self.length


def number_axis(values: Sequence[float], start: float, length: float, *, lying: bool) -> Axis:
    """Ticks at multiples of 1, 2 or 5 times a power of ten, as many as their texts leave room for.

    Args:
        values: That it must hold, at least one.
        start: Place of its start on the page, mm.
        length: On the page, mm.
        lying: Whether it lies, so that its texts stand side by side and not one above the other.
    """
    low, high = min(values), max(values)
    # Where all are the same, enough around them that the numbers at the ticks differ.
    room = _PAD * (high - low) or max(0.01 * abs(high), 0.01)
    low, high = low - room, high + room
    step, digits = 1, math.floor(math.log10(high - low)) - 2
    while True:
        ticks = _multiples(low, high, step, digits)
        widest = max((text_width(text, SMALL_TEXT) for text in ticks.values()), default=0.0)
        pitch = step * 10.0**digits / (high - low) * length
        if pitch >= (widest if lying else SMALL_TEXT) + _BETWEEN:
            return Axis(low=low, high=high, start=start, length=length, ticks=ticks)
        step, digits = {1: (2, digits), 2: (5, digits), 5: (1, digits + 1)}[step]


def name_axis(names: Sequence[str], start: float, length: float) -> Axis:
    """Names side by side at 0, 1, 2 ...; upright where they are too wide."""
    pitch = length / len(names)
    upright = max(text_width(name, SMALL_TEXT) for name in names) + _FREE > pitch
    ticks = {float(i): name for i, name in enumerate(names)}
    return Axis(low=-0.5, high=len(names) - 0.5, start=start, length=length, ticks=ticks, upright=upright)


def _multiples(low: float, high: float, step: int, digits: int) -> dict[float, str]:
    unit = step * 10.0**digits
    counts = range(math.ceil(low / unit), math.floor(high / unit) + 1)
    return {n * unit: f"{n * unit:z.{max(0, -digits)}f}" for n in counts}


def spread(wanted: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Places as near to the wanted ones as may be, a pitch apart, within limits where these hold them all.

    Args:
        wanted: In rising order.
        pitch: Least distance from one to the next.
        low: Least place.
        high: Greatest place.
    """
    # Least squares under an order, by pooling neighbours that are out of order; source: Ayer et al. 1955.
    groups: list[tuple[float, int]] = []
    for i, place in enumerate(wanted):
        mean, count = place - i * pitch, 1
        while groups and groups[-1][0] > mean:
            other, n = groups.pop()
            mean, count = (other * n + mean * count) / (n + count), n + count
        groups.append((mean, count))
    free = [mean for mean, count in groups for _ in range(count)]
    top = high - (len(free) - 1) * pitch
    return [max(low, min(top, place)) + i * pitch for i, place in enumerate(free)]
