"""Fractions as shops write them."""

from __future__ import annotations

from fractions import Fraction


def mixed(value: Fraction) -> str:
    """A whole number and a fraction, of which one may be missing.

    >>> mixed(Fraction(-5, 4)), mixed(Fraction(3, 16)), mixed(Fraction(2))
    ('-1-1/4', '3/16', '2')
    """
    whole, rest = divmod(abs(value), 1)
    parts = [str(part) for part in (whole, rest) if part]
    return ("-" if value < 0 else "") + "-".join(parts)
