"""Numbers with a unit that stand in a customer's words: lengths, masses, hardness, angles, prices.

Whatever is not plainly one of these is left alone: a word that was missed asks no question, and a question that makes
no sense is the worse fault.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bladegeom.order.said_patterns import (
    AFTER,
    BARE_INCH,
    BARE_PRICE,
    BEFORE,
    EITHER_WAY,
    HARDNESS,
    HEATED,
    INCLUSIVE,
    PRICE,
    QUANTITY,
    RANGES,
    SHARES,
    SMALL,
    UNITS,
    Kind,
)
from bladegeom.quantities.errors import QuantityError
from bladegeom.quantities.units import MM_PER_INCH, length

_HARD: Final = (30.0, 70.0)
"""No blade's hardness lies outside, HRC; own choice: other numbers after such words are temperatures."""
_TURN: Final = 90.0
"""From here on an angle is a turn and no bevel, degrees; own choice."""
_NEAR: Final = 30
"""Words within so many letters of a number belong to it; own choice."""


@dataclass(frozen=True, kw_only=True)
class Said:
    """A number or a range of numbers that was said.

    Args:
        words: As they stand.
        kind: What it is.
        low: Least that is meant, in mm, g, HRC, degrees or the currency; -inf where only a greatest was said.
        high: Greatest that is meant.
        about: Whether it was said as a rough number.
        start: Where the words stand, in the text with single spaces.
    """

    words: str
    kind: Kind
    low: float
    high: float
    about: bool
    start: int


def said_in(words: str, *, is_price: bool = False) -> tuple[Said, ...]:
    """Everything of that kind in a text, in its order; what stands in quotes is to be blanked before.

    Args:
        words: The text.
        is_price: Whether it is about the price: then a number without a currency is one.

    >>> [(said.words, said.low) for said in said_in('3 pins, 7-1/2" long, 4 in walnut')]
    [('7-1/2"', 190.5)]
    """
    found: list[Said] = []
    words = " ".join(words.split())
    read = bytearray(len(words))
    for pattern in (HARDNESS, PRICE, QUANTITY, BARE_INCH, *((BARE_PRICE,) if is_price else ())):
        for match in pattern.finditer(words):
            start, end = match.span()
            if not any(read[start:end]) and (said := tuple(_read(pattern, match))):
                found.extend(said)
                read[start:end] = b"\x01" * (end - start)
    return tuple(sorted(found, key=lambda statement: statement.start))


def _read(pattern: re.Pattern[str], match: re.Match[str]) -> Iterator[Said]:
    kind, factor = _unit(pattern, match)
    groups = match.groupdict()
    numbers = [_number(digits) for digits in (groups["a"], groups.get("b")) if digits]
    values = [factor * number for number in numbers if number is not None]
    has = _around(match)
    if "skip" in has or len(values) < len(numbers):
        return
    if kind == "angle" and HEATED.search(match.string[max(match.start() - _NEAR, 0) : match.start()]):
        return
    words, about = match[0].strip(), "about" in has
    for low, high in _windows((groups.get("join") or "").lower(), values, has):
        if _is_meant(kind, low, high):
            yield Said(words=words, kind=kind, low=low, high=high, about=about, start=match.start())


def _unit(pattern: re.Pattern[str], match: re.Match[str]) -> tuple[Kind, float]:
    """What the number is, and what one of its unit is in ours."""
    if pattern is not QUANTITY:
        plain: dict[re.Pattern[str], tuple[Kind, float]] = {
            HARDNESS: ("hardness", 1.0),
            PRICE: ("price", 1.0),
            BARE_PRICE: ("price", 1.0),
            BARE_INCH: ("length", float(MM_PER_INCH)),
        }
        return plain[pattern]
    kind, factor = next(
        told
        for unit, told in UNITS.items()
        if (found := re.compile(unit, re.IGNORECASE).match(match.string, match.start("unit")))
        and found.end() == match.end("unit")
    )
    near = match.string[max(match.start() - _NEAR, 0) : match.end() + _NEAR]
    return kind, factor / 2 if kind == "angle" and INCLUSIVE.search(near) else factor


def _number(text: str) -> float | None:
    """A number as it is said, a comma read as thousands or as a decimal point."""
    if text[0].isalpha() or " and " in text:
        return _spelled(text.lower())
    plain = re.sub(r",(?=\d{3}(?!\d))", "", text).replace(",", ".")
    try:
        return length(f"{plain} mm")
    except QuantityError:  # such as 9/0: no number that anybody meant
        return None


def _spelled(text: str) -> float:
    """Such as "eight and a half", "12 and a half", "three quarters of an", "half a"."""
    whole, _, more = text.partition(" and ")
    words = re.findall(r"[a-z]+|\d+", whole)
    count = float(words[0]) if words[0].isdecimal() else float(SMALL.get(words[0], 1))
    share = next((SHARES[word.removesuffix("s")] for word in words if word.removesuffix("s") in SHARES), 1.0)
    return count * share + {"": 0.0, "a half": 0.5, "a quarter": 0.25}[more]


def _around(match: re.Match[str]) -> set[str]:
    """What the words before and behind make of the number."""
    before = match.string[max(match.start() - _NEAR, 0) : match.start()]
    after = match.string[match.end() : match.end() + _NEAR]
    return {name for name, pattern in BEFORE.items() if pattern.search(before)} | {
        name for name, pattern in AFTER.items() if pattern.match(after)
    }


def _windows(join: str, values: list[float], has: set[str]) -> list[tuple[float, float]]:
    if len(values) == 2 and join in EITHER_WAY:
        middle, off = values
        return [(middle - off, middle + off)]
    if len(values) == 2 and (join in RANGES or (join == "and" and "between" in has)):
        return [(min(values), max(values))]
    if "most" in has:
        return [(-math.inf, limit) for limit in values]
    return [(limit, math.inf if "least" in has else limit) for limit in values]


def _is_meant(kind: Kind, low: float, high: float) -> bool:
    ends = [end for end in (low, high) if math.isfinite(end)]
    if kind == "hardness":
        return all(_HARD[0] <= end <= _HARD[1] for end in ends)
    return kind != "angle" or all(end < _TURN for end in ends)
