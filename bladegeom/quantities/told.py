"""How a message shows a value to a maker."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Final

_MOST_ITEMS: Final = 12
"""Of a row that a message shows; the others are counted."""

_MOST_LETTERS: Final = 120
"""Of a value as it is written; what is left out is marked. A longer sentence is read by nobody; own choice."""

_DEEPEST: Final = 4
"""Rows within rows that a message shows."""

_LONG: Final = 10**15
"""Whole numbers from here on are told by their size: no maker counts so many digits."""


def capital(text: str) -> str:
    """A text as a sentence begins; a short name in it stays as it is.

    >>> capital("saw F1 to length")
    'Saw F1 to length'
    """
    return text[:1].upper() + text[1:]


def is_torn(text: str) -> bool:
    """Whether a letter is half of a pair (a lone surrogate), which no file can hold.

    >>> is_torn("\N{GREEK SMALL LETTER MU}"), is_torn(chr(0xD800))
    (False, True)
    """
    return not text.isascii() and any("\ud800" <= letter <= "\udfff" for letter in text)


def told(value: object) -> str:
    """A value as a maker knows it: a class or one of our values by its name, anything else as it is written.

    It is one line of bounded length, whatever the value is.
    """
    return _told(value, _DEEPEST)


def _told(value: object, deepest: int) -> str:
    if isinstance(value, type):
        return f"{value.__name__}, the kind itself and no value of it"
    if dataclasses.is_dataclass(value):
        return f"{type(value).__name__}(...)"
    if isinstance(value, tuple | list):
        return f"({_items(value, deepest - 1)}{',' if len(value) == 1 else ''})"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, int) and abs(value) >= _LONG:
        return f"{'minus ' if value < 0 else ''}about 10 to the power of {round(value.bit_length() * 0.30103)}"
    try:
        return _one_line(str(value) if isinstance(value, Decimal) else repr(value))
    except Exception:
        return f"{type(value).__name__}(...)"


def _items(row: tuple[object, ...] | list[object], deepest: int) -> str:
    if not deepest:
        return "..."
    shown = [_told(item, deepest) for item in row[:_MOST_ITEMS]]
    more = [f"and {len(row) - _MOST_ITEMS} more"] if len(row) > _MOST_ITEMS else []
    return ", ".join([*shown, *more])


def _one_line(text: str) -> str:
    line = " ".join(part.strip() for part in text.splitlines())
    return line if len(line) <= _MOST_LETTERS else f"{line[: _MOST_LETTERS - 4]} ..."
