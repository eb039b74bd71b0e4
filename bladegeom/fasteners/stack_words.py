"""What the numbers of a stack are called: by a key in the report, in words on paper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NewType

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.interval import Interval

Key = NewType("Key", str)
"""A number's name in the report; :func:`key` gives it its words."""

_WORDS: Final[dict[str, str]] = {}


def key(name: str, words: str) -> Key:
    """The name of a number, and what it is called on paper; each kind names its own, and two may share one.

    Raises:
        ParameterError: It has other words already.
    """
    if _WORDS.setdefault(name, words) != words:
        raise ParameterError(f"number {name!r}", repr(words), f"be called {_WORDS[name]!r}, as elsewhere")
    return Key(name)


def number_words(name: str) -> str:
    """What a number is called on paper."""
    return _WORDS[name]


class Numbers(dict[str, Interval]):
    """Numbers of a stack by name, in the order of the papers, mm. Made from keys alone, so that all have words."""

    def __init__(self, told: Mapping[Key, Interval]) -> None:
        super().__init__(told.items())


FLOOR = key("floor", "floor")
ENGAGEMENT = key("engagement", "thread held")
POCKET_DEPTH = key("pocket_depth", "pocket")
COUNTERBORE_DEPTH = key("counterbore_depth", "counterbore from the slab")
COUNTERSINK_DEPTH = key("countersink_depth", "countersink from the slab")
HEAD_LEFT = key("head_left", "head left")
