"""Numbers that are told together: what they share is said once, then each place with what is its own."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.book.number_kinds import tool_of, value_shown
from bladegeom.quantities.shown import caliper_length, from_to, scribed_length
from bladegeom.quantities.unit_order import first_unit
from bladegeom.workshop.operation import PRACTICE, Number

STAR: Final = "*"
"""Stands for what is common practice without a source; each chapter says so once."""

STAR_WORDS: Final = f"{STAR} {PRACTICE}"

_PLACED: Final = re.compile(
    r"(?P<what>.+?) (?:at )?(?P<place>x -?[\d./-]+(?: mm| in)?|[A-Z]\d+(?: to [A-Z]\d+)?)(?P<when>, .+)?"
)


@dataclass(frozen=True, kw_only=True)
class LikeNumbers:
    """Numbers that differ by their place alone.

    Args:
        what: They tell.
        numbers: In order.
        places: Of each; none where it is one number.
    """

    what: str
    numbers: tuple[Number, ...]
    places: tuple[str, ...] = ()

    @property
    def first(self) -> Number:
        """One of them, for what all share."""
        return self.numbers[0]

    @property
    def value(self) -> str:
        """That all have; empty where there is none, or they differ."""
        told = {number.text for number in self.numbers}
        return value_shown(self.first).text if len(told) == 1 else ""

    @property
    def limits(self) -> str:
        """The limits, or how far each may lie from its own value; empty where there are none."""
        way = _either_way(self.first)
        if way is None or len({number.limits for number in self.numbers}) == 1:
            return limits_shown(self.first)
        return f"each within {caliper_length(way)}"

    @property
    def titles(self) -> tuple[str, ...]:
        """Each place, with its own value where they differ; none where it is one number."""
        shared = self.value
        return tuple(
            place if shared or not number.text else f"{place}: {value_shown(number)}"
            for place, number in zip(self.places, self.numbers, strict=bool(self.places))
        )


def by_place(numbers: Sequence[Number]) -> Iterator[LikeNumbers]:
    """The numbers in their order; those at several places that share all else stand together."""
    groups: dict[object, list[tuple[str, Number]]] = {}
    names: dict[object, str] = {}
    for i, number in enumerate(numbers):
        found = _PLACED.fullmatch(number.what)
        place = "" if found is None else _place_shown(found["place"])
        name = number.what if found is None else f"{found['what']}{found['when'] or ''}"
        limits = _either_way(number) or number.limits
        key: object = i if found is None else (name, number.unit, number.note, number.source, limits, number.room)
        groups.setdefault(key, []).append((place, number))
        names[key] = name
    for key, pairs in groups.items():
        told = tuple(number for _, number in pairs)
        if len(told) == 1:
            yield LikeNumbers(what=told[0].what, numbers=told)
        else:
            yield LikeNumbers(what=names[key], numbers=told, places=tuple(place for place, _ in pairs))


def _place_shown(place: str) -> str:
    """A station in the unit that is told first, as the grind sheet has it; one with its unit, and a hole, as named."""
    is_bare = place.startswith("x ") and not place.endswith((" mm", " in"))
    return station_shown(float(place.removeprefix("x "))) if is_bare else place


def station_shown(x: float) -> str:
    """A place along the knife, told as the grind sheet does; mm where no unit is named.

    >>> station_shown(15.0)
    'x 15.0'
    """
    return f"x {scribed_length(x).first.removesuffix(' mm')}"


def limits_shown(number: Number) -> str:
    """The limits as fine as the number itself is told, both units once; empty where there are none."""
    low, high, kind = number.low, number.high, tool_of(number)
    if kind is None:
        return number.limits
    if low is not None and high is not None:
        return from_to(kind(low), kind(high)).text
    if low is not None:
        return f"at least {kind(low)}"
    return "" if high is None else f"at most {kind(high)}"


def _either_way(number: Number) -> float | None:
    """How far a length may lie from its value, mm; None where it is not as much either way."""
    value, low, high = number.value, number.low, number.high
    if value is None or low is None or high is None or number.unit != "mm":
        return None
    less, more = round(value - low, 9), round(high - value, 9)
    return less if less == more else None


def unit_word(number: Number) -> str:
    """In which it is written down: the shop's own unit."""
    if number.unit in ("text", "count"):
        return ""
    if number.unit == "C":
        return "C" if first_unit() == "mm" else "F"
    return first_unit() if number.unit == "mm" else number.unit


def starred(text: str) -> str:
    """A sentence of the route with the star for what is common practice."""
    return (
        text.replace(f" ({PRACTICE})", STAR).replace(f"{PRACTICE}: ", f"{STAR} ").replace(f"{PRACTICE}; ", f"{STAR} ")
    )
