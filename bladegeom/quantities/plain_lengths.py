"""Lengths that floats show as exact fractions would: nearly all of them, and ten times as fast."""

from __future__ import annotations

from typing import Final

_INCH: Final = 25.4

_NEAR: Final = 0.005
"""A place so near to a mark, in steps of the marks, is left to fractions; far more than any rounding."""


def is_plain(mm: float, *, inches: bool = False) -> bool:
    """Whether a length lies off all marks where its text changes, so that floats show it as fractions would.

    The marks are every 64th of an inch, every half of a hundredth of a mm, and next to nothing.

    Args:
        mm: The length.
        inches: Whether it is to be shown in inches: then every half of a thousandth is a mark too.

    >>> is_plain(123.4321), is_plain(3.175), is_plain(0.01)
    (True, False, False)
    """
    if not 0.03 < abs(mm) < 1e6:
        return False
    sixtyfourths, halves = mm / _INCH * 64, mm * 200
    on_half = abs(halves - round(halves)) <= _NEAR and round(halves) % 2 == 1
    on_64th = abs(sixtyfourths - round(sixtyfourths)) <= _NEAR
    return not (on_half or on_64th or (inches and abs(mm / _INCH * 1000 % 1 - 0.5) <= _NEAR))
