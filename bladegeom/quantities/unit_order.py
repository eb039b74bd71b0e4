"""Which of mm and inch is told first wherever both are told; numbers themselves are shown by ``units.py`` alone."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from contextvars import ContextVar
from typing import Final, Literal

FirstUnit = Literal["mm", "inch"]

_FIRST: Final[ContextVar[FirstUnit]] = ContextVar("unit that is told first", default="mm")
"""Of this thread alone, and as long as :func:`told_first` lasts."""


def first_unit() -> FirstUnit:
    """The unit that is told first."""
    return _FIRST.get()


@contextlib.contextmanager
def told_first(unit: FirstUnit) -> Iterator[None]:
    """While this lasts, that unit is told first.

    >>> with told_first("inch"):
    ...     in_order("3.175 mm", "1/8 in")
    ...
    '1/8 in (3.175 mm)'
    """
    token = _FIRST.set(unit)
    try:
        yield
    finally:
        _FIRST.reset(token)


def in_order(mm: str, inches: str) -> str:
    """A length in both units, each already in words.

    >>> in_order("3.175 mm", "1/8 in")
    '3.175 mm (1/8 in)'
    """
    return f"{mm} ({inches})" if _FIRST.get() == "mm" else f"{inches} ({mm})"
