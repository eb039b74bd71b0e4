"""What a requirement's words name, and no way of it measures, or measures otherwise: a question, never an error."""

from __future__ import annotations

import dataclasses
import datetime
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule
from bladegeom.order.measures import LENGTHS, measures
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_ways import Feature, Finish, HandCheck, Measured
from bladegeom.order.rules_use import order_finding
from bladegeom.order.rules_words import unquoted
from bladegeom.order.said import Said, said_in
from bladegeom.order.said_dates import SaidDate, dates_in
from bladegeom.order.said_patterns import GRAMS_PER_POUND, SMALL, Kind
from bladegeom.quantities.units import show_length
from bladegeom.signoff.asked import Asked
from bladegeom.signoff.traceability import wanted_words

_KINDS: Final[dict[str, Kind]] = {"mm": "length", "g": "mass", "HRC": "hardness", "deg": "angle"}
"""By the unit of a measure."""

_A: Final[dict[Kind, str]] = {
    "length": "a length",
    "mass": "a mass",
    "hardness": "a hardness",
    "angle": "an angle",
    "price": "a price",
}

_ROUNDED: Final = {"length": (0.01, 0.5), "mass": (0.01, 5.0), "hardness": (0.0, 0.0), "angle": (0.0, 0.25)}
"""By how much words and numbers may differ and mean the same: as a share, and at most; own choice: 6 in is 152 mm."""
_ABOUT: Final = 0.03
"""The same share for what is said as about so much; own choice."""
_STRICTER: Final = 0.75
"""A limit may be so much stricter than the words and still be theirs; own choice: under 400 is kept by 300."""

_SIDE: Final = re.compile(
    r"\b(?:on|to|at|from) (?:the|its|my|his|her) (?P<a>left|right)(?=\s*(?:$|[,.;:!?()|]| (?:and|or|but|nothing|only|"
    r"please|near|under|below|above|beside|behind|where|when|so|in|with|as|not|too|also)\b))"
    r"|\b(?P<b>left|right)(?:[ -]hand)?[ -](?:side|face|flank|hip|cheek)\b",
    re.IGNORECASE,
)
_CONVENTIONS: Final = {
    "overall length": re.compile(r"\b(?:over ?all|end to end|tip to butt)\b", re.IGNORECASE),
    "edge length": re.compile(r"\b(?:cutting|sharp|sharpened) edge\b", re.IGNORECASE),
}
"""Lengths of a knife that words tell apart, by the measure that is meant."""
_AROUND: Final = 20
"""Within so many letters such words belong to a number; own choice."""

_COUNT: Final = re.compile(
    rf"\b(?:want|need|order|make|set of|all|for) (?P<count>\d{{1,3}}|{'|'.join(SMALL)}) (?:knives|copies)\b",
    re.IGNORECASE,
)

_WORN: Final = re.compile(r"\b(?:sheath|belt|hip|worn|wear|carry|carried)\b", re.IGNORECASE)
"""Words for where the sheath hangs."""

_HAND: Final = re.compile(
    r"\b(?P<a>left|right)[ -]?hand(?:ed|ers?| (?=sheath|grind|knife|bevel|draw|carry|use))\b|\b(?P<b>left)(?:y|ie)s?\b"
    r"|\b(?:for|in) (?:the|my|his|her|a) (?P<c>left|right) hand\b(?! side)",
    re.IGNORECASE,
)


@rule(
    Code("order-words", ("warning",), "words of the order name what no way of it measures"),
)
def words_unmet(asked: Asked) -> Iterator[Finding]:
    """Lengths, masses, hardness, angles, prices, dates and sides in the customer's words."""
    for requirement, name, text, since in _texts(asked.order):
        ways = _Ways(asked.order, requirement, since)
        if ways.are_known:
            yield from (_question(name, told) for told in dict.fromkeys(_untold(ways, text)))


def _texts(order: Order) -> Iterator[tuple[Requirement, str, str, datetime.date]]:
    """The words of each requirement and of each accepted change, their day, and the requirement that must say it."""
    for requirement in order.requirements:
        yield requirement, requirement.name, requirement.text, order.date
    for change in order.changes:
        into = order.requirement(change.requirement) if change.requirement else None
        if change.answer == "accepted" and into is not None:
            yield into, change.name, change.text, change.date


@dataclass(frozen=True)
class _Ways:
    """The ways of one requirement, and the facts of its order."""

    order: Order
    of: Requirement
    since: datetime.date

    @property
    def are_known(self) -> bool:
        """Whether there is anything to compare with; what is missing is told elsewhere."""
        measured = [way.measure for way in self.of.ways if isinstance(way, Measured)]
        return self.of.weight != "open" and bool(self.of.ways) and set(measured) <= measures().keys()

    @cached_property
    def looks(self) -> str:
        """Everything that somebody looks at or does, in words."""
        looks = (way.look for way in self.of.ways if isinstance(way, HandCheck))
        return "; ".join((*looks, *(way.finish for way in self.of.ways if isinstance(way, Finish))))

    @cached_property
    def looked_at(self) -> tuple[Said, ...]:
        """Numbers in those words."""
        return said_in(self.looks)

    @cached_property
    def features(self) -> tuple[Feature, ...]:
        """Features that it asks for, or away."""
        return tuple(way for way in self.of.ways if isinstance(way, Feature))

    def measured(self, kind: Kind) -> tuple[Measured, ...]:
        """Ways that measure something of a kind."""
        ways = (way for way in self.of.ways if isinstance(way, Measured))
        return tuple(way for way in ways if _KINDS[measures()[way.measure].unit] == kind)

    def facts(self, kind: Kind) -> Iterator[float]:
        """Numbers of a kind that stand in the order itself, or in a feature."""
        order, sheath, paid = self.order, self.order.sheath, self.order.payment
        told: dict[Kind, tuple[float | str | None, ...]] = {
            "length": (
                order.hand_breadth,
                order.length_limit,
                *((sheath.belt, sheath.slot) if sheath else ()),
                *(own.thickness for own in order.own_materials),
                *(way.cord for way in self.features),
            ),
            "angle": (sheath.angle_deg,) if sheath else (),
            "price": (
                *((paid.budget, paid.deposit) if paid else ()),
                *(change.price for change in order.changes if change.requirement == self.of.number),
            ),
        }
        return (float(fact) for fact in told.get(kind, ()) if fact is not None)

    def blanked(self, text: str) -> str:
        """The text without what is only quoted or engraved."""
        for way in self.features:
            if way.what == "mark" and way.text:
                text = re.sub(re.escape(way.text), " | ", text, flags=re.IGNORECASE)
        return unquoted(text)


def _untold(ways: _Ways, text: str) -> Iterator[str]:
    """Of what the words name and nothing measures: the words in quotes, and what is asked for instead."""
    plain = ways.blanked(text)
    for said in (_as_price(said, ways) for said in said_in(plain, is_price=ways.of.concerns == "price")):
        if not _is_measured(said, ways) or _is_another_length(said, plain, ways):
            yield f"{said.words!r}{_shown(said)}, and {_instead(said, ways)}"
    for match in _COUNT.finditer(plain):
        count = match["count"].lower()
        if SMALL.get(count, 0) != ways.order.quantity and count != str(ways.order.quantity):
            yield f"{match[0].strip()!r}, and the order is for {ways.order.quantity}: which counts?"
    for date in dates_in(plain, ways.since):
        if (instead := _date_instead(date, ways)) is not None:
            yield f"{date.words!r}, and {instead}"
    yield from _sides(plain, ways)


def _as_price(said: Said, ways: _Ways) -> Said:
    """Pounds are money where the requirement is about the price."""
    if said.kind != "mass" or ways.of.concerns != "price" or "pound" not in said.words.lower():
        return said
    return dataclasses.replace(said, kind="price", low=said.low / GRAMS_PER_POUND, high=said.high / GRAMS_PER_POUND)


def _is_measured(said: Said, ways: _Ways) -> bool:
    windows = [way.limits for way in ways.measured(said.kind)]
    windows += [(fact, fact) for fact in ways.facts(said.kind)]
    windows += [(window.low, window.high) for window in ways.looked_at if window.kind == said.kind]
    return any(_meets(said, *window) for window in windows)


def _is_another_length(said: Said, text: str, ways: _Ways) -> bool:
    """Whether the words tell one length of a knife, and only others are measured."""
    measured = {way.measure for way in ways.measured("length")} & set(LENGTHS)
    if said.kind != "length" or not measured:
        return False
    text, end = " ".join(text.split()), said.start + len(said.words)
    near = re.split("[,;]", text[max(said.start - _AROUND, 0) : said.start])[-1] + " | "
    near += re.split("[,;]", text[end : end + _AROUND])[0]
    named = {name for name, pattern in _CONVENTIONS.items() if pattern.search(near)}
    return bool(named) and measured.isdisjoint(named)


def _meets(said: Said, low: float, high: float) -> bool:
    """Whether limits are those that were said, or a little stricter."""
    share, most = _ROUNDED.get(said.kind, (0.0, 0.0))
    ends = [abs(end) for end in (said.low, said.high) if math.isfinite(end)]
    room = 1e-6 + (_ABOUT * max(ends) if said.about else min(share * max(ends), most))
    above, below = said.low - room <= low, high <= said.high + room
    if not math.isfinite(said.low):
        return below and high >= _STRICTER * said.high
    if not math.isfinite(said.high):
        return above and low <= said.low / _STRICTER
    if said.low < said.high or not (math.isfinite(low) and math.isfinite(high)):
        # A limit on one side alone holds a single number only where it is that number.
        one_end = said.low == said.high and any(abs(end - said.low) <= room for end in (low, high))
        return one_end or (above and below)
    return low - room <= said.low <= high + room


def _shown(said: Said) -> str:
    if said.kind != "length" or said.words.endswith("mm"):
        return ""
    ends = dict.fromkeys(end for end in (said.low, said.high) if math.isfinite(end))
    return f", {' to '.join(show_length(end) for end in ends)}"


def _instead(said: Said, ways: _Ways) -> str:
    asked = [f"{way.measure}, {wanted_words(way)}" for way in ways.measured(said.kind)]
    if asked:
        return f"its ways say {'; '.join(asked)}: which counts?"
    return f"no way of it measures {_A[said.kind]}: what is meant? Measure it, or put it into a check"


def _date_instead(said: SaidDate, ways: _Ways) -> str | None:
    needed = ways.order.needed_by
    if said.words.lower() in ways.looks.lower():
        return None
    if needed is None:
        return "the order is needed by no date: which day is it? Set needed_by"
    return None if said.day is None or needed <= said.day else f"the order is needed by {needed}: which counts?"


def _sides(text: str, ways: _Ways) -> Iterator[str]:
    order, sides = ways.order, {way.side for way in ways.features if way.side}
    worn = ways.of.concerns == "sheath" or _WORN.search(text)
    of_sheath = {order.sheath.side} if worn and order.sheath is not None and order.sheath.side else set()
    of_look = {word.lower() for word in re.findall(r"\b(?:left|right)\b", ways.looks, re.IGNORECASE)}
    for pattern, has in ((_SIDE, sides | of_sheath | of_look), (_HAND, {order.hand} | sides | of_look)):
        for match in pattern.finditer(text):
            side = next(caught for caught in match.groups() if caught).lower()
            if not has & {side, "both"}:
                told = " and ".join(sorted(hand for hand in has if hand))
                yield f"{match[0]!r}, and " + (
                    f"its ways say {told}: which counts?"
                    if told
                    else "no way of it names a side: which one is meant? Set it, or put it into a check"
                )


def _question(name: str, told: str) -> Finding:
    return order_finding("order-words", "warning", f"{name} says {told}", "the order: the customer's own words")
