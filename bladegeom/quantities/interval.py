"""A number with its nominal value and how far it may stray: interval arithmetic, the nominal beside it.

Worst cases of sums are exact as long as each cause stands in them once.
"""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.quantities.errors import ParameterError


@dataclass(frozen=True, slots=True)
class Interval:
    """A number and the least and the greatest that it can turn out to be, in one unit.

    Args:
        low: At most the nominal.
        nominal: As drawn.
        high: At least the nominal.
    """

    low: float
    nominal: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.nominal <= self.high:
            raise ParameterError("interval", f"{self.low:g}, {self.nominal:g}, {self.high:g}", "rise from low to high")

    def __add__(self, other: Interval | float) -> Interval:
        o = _of(other)
        return Interval(self.low + o.low, self.nominal + o.nominal, self.high + o.high)

    __radd__ = __add__

    def __neg__(self) -> Interval:
        return Interval(-self.high, -self.nominal, -self.low)

    def __sub__(self, other: Interval | float) -> Interval:
        o = _of(other)
        return Interval(self.low - o.high, self.nominal - o.nominal, self.high - o.low)

    def __rsub__(self, other: float) -> Interval:
        return _of(other) - self

    def __mul__(self, factor: float) -> Interval:
        """Times a plain number."""
        a, b = self.low * factor, self.high * factor
        return Interval(min(a, b), self.nominal * factor, max(a, b))

    __rmul__ = __mul__


def give_or_take(nominal: float, by: float) -> Interval:
    """A number that may stray as far to both sides; ``by`` >= 0."""
    return Interval(nominal - by, nominal, nominal + by)


def _of(value: Interval | float) -> Interval:
    return value if isinstance(value, Interval) else Interval(value, value, value)
