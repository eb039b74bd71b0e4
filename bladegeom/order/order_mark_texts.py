"""Marks that an order asks for without saying what they say: letters that nobody has agreed on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.knife.zone import MarkZone
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_ways import Feature
from bladegeom.order.rules_use import order_finding


@dataclass(frozen=True, kw_only=True)
class OpenText:
    """A question to the customer: what exactly a mark says.

    Args:
        requirement: Whose.
        drawn: Texts of the marks that the design has there.

    >>> import datetime
    >>> from bladegeom import Order, Requirement
    >>> wish = Requirement(number=1, text="my name on it", concerns="mark", met=Feature(what="mark", side="right"))
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> [asked.requirement.text for asked in open_texts(order, knife)]
    ['my name on it']
    """

    requirement: Requirement
    drawn: tuple[str, ...]


def open_texts(order: Order, knife: Knife) -> Iterator[OpenText]:
    """Every mark whose letters neither the order nor the customer's words tell, in the order's order."""
    for requirement in order.requirements:
        if requirement.weight == "open":
            continue
        for way in requirement.ways:
            if isinstance(way, Feature) and way.what == "mark" and way.text is None and not way.absent:
                drawn = _drawn(knife, way)
                if not any(_says(requirement.text, text) for text in drawn):
                    yield OpenText(requirement=requirement, drawn=drawn)
                    break


@rule(Code("order-text", ("warning",), "a mark is asked for, and nobody has said what it says"))
def marks_have_their_text(order: Order, knife: Knife) -> Iterator[Finding]:
    """What a mark says is told letter by letter."""
    for asked in open_texts(order, knife):
        has = f"; the design has {' and '.join(map(repr, asked.drawn))}" if asked.drawn else ""
        text = (
            f"{asked.requirement.name} asks for a mark and does not say what it says{has}. "
            'Ask the customer for every letter, and write text = "..." into the order'
        )
        yield order_finding("order-text", "warning", text, "the order: the customer's own words")


def _drawn(knife: Knife, way: Feature) -> tuple[str, ...]:
    marks = (zone for zone in knife.zones if isinstance(zone, MarkZone))
    return tuple(dict.fromkeys(mark.text for mark in marks if way.side in (None, "both", mark.side)))


def _says(words: str, text: str) -> bool:
    """Whether words hold a text letter by letter, and not within another word."""
    return re.search(rf"(?<!\w){re.escape(text)}(?!\w)", words) is not None
