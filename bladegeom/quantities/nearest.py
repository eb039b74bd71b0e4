"""The nearest number that a tool can show, without the last bits of a float, which would decide where a half goes."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from bladegeom.quantities.units import length


@lru_cache(maxsize=4096)
def exact(value: float) -> Fraction:
    """A number as it was meant, to a millionth.

    >>> exact(0.1) == Fraction(1, 10)
    True
    """
    return Fraction(length(value)).limit_denominator(10**6)


@lru_cache(maxsize=8192)
def to_step(value: float, step: Fraction) -> Fraction:
    """The nearest multiple of a step; of two the even one. Kept, as the same numbers are laid out in many ways.

    >>> to_step(0.35, Fraction(1, 10))
    Fraction(2, 5)
    """
    return round(exact(value) / step) * step
