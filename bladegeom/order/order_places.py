"""Features that may be in one of two places: which place the order names, and which is still a question to ask."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_ways import Feature, Finish, parts_named
from bladegeom.order.rules_use import order_finding
from bladegeom.outline.halves import has_hidden_tang

_SOURCE: Final = "the order: the customer's own words"

_PART: Final = {
    "blade": "blade",
    "handle": "handle",
    "handles": "handle",
    "scales": "handle",
    "grip": "handle",
    "tang": "tang",
}
"""Words of customers for a part of the knife, and which part they mean."""

_SURFACED: Final = "carved|carving|textured|patterned|hammered|etched|etching|darkened|blackened|dark|black"

_NAMED: Final = re.compile(
    rf"(?<!not )\b(?:on|along|across|over|into|onto|of|to|and|or|only|just|{_SURFACED}) "
    rf"(?:(?:on|only|just|the|both|its|whole|entire|all) )*(?P<a>{'|'.join(_PART)})\b"
    rf"|\b(?P<b>{'|'.join(_PART)}) (?:and|or|only|alone|{_SURFACED})\b",
    re.IGNORECASE,
)
"""A part as the place of something; "like my old blade" and "a light blade" are none."""

_SIDED: Final = re.compile(r"\b(?:left|right|both|either|each)\b(?![- ]?hand)", re.IGNORECASE)
"""A side of the knife; who is left-handed has named none."""

_DARK: Final = re.compile(r"\b(?:dark|black|patina|etch)|\b(?:blued|bluing)\b", re.IGNORECASE)
"""What makes the steel dark."""


@dataclass(frozen=True, kw_only=True)
class OpenPlace:
    """A question to the customer: something is wanted that may be in either of two places, or in both.

    Args:
        requirement: Whose.
        way: Of it, that leaves the place open.
        choices: To tick one of.

    >>> import datetime
    >>> from bladegeom import Order, Requirement
    >>> wish = Requirement(number=1, text="a carved surface", concerns="surface", met=Feature(what="texture"))
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> [asked.question for asked in open_places(order, knife)]
    ['a carved surface: on the blade? on the handle? on both?']
    """

    requirement: Requirement
    way: Feature | Finish
    choices: tuple[str, ...]

    @property
    def question(self) -> str:
        """In the customer's words."""
        return f"{self.requirement.text}: {'? '.join(self.choices)}?"


def open_places(order: Order, knife: Knife) -> Iterator[OpenPlace]:
    """Every place that neither the order nor the customer's words name, in the order's order."""
    for requirement in order.requirements:
        asked: set[tuple[str, ...]] = set()
        for way in requirement.ways if requirement.weight != "open" else ():
            choices = _choices(requirement, way, knife) if isinstance(way, Feature | Finish) else ()
            # An etch and a dark finish of one wish are one question.
            if isinstance(way, Feature | Finish) and choices and choices not in asked:
                asked.add(choices)
                yield OpenPlace(requirement=requirement, way=way, choices=choices)


@rule(Code("order-place", ("warning",), "it may be in two places, and nobody has said in which"))
def places_are_named(order: Order, knife: Knife) -> Iterator[Finding]:
    """What may be in two places has one."""
    for place in open_places(order, knife):
        text = (
            f"{place.requirement.name} leaves the place open: {'? '.join(place.choices)}? "
            f"Ask the customer, and write {_key(place.way)} into the order"
        )
        yield order_finding("order-place", "warning", text, _SOURCE)
    for requirement, said, has in _said_otherwise(order):
        text = f"{requirement.name} names the {said}, and the order has it on the {has}: settle which counts"
        yield order_finding("order-place", "warning", text, _SOURCE)


def parts_said(words: str) -> frozenset[str]:
    """The parts of the knife that a customer's words name as the place of something.

    >>> sorted(parts_said("carved on the blade and the handle")), sorted(parts_said("carved like my old blade"))
    (['blade', 'handle'], [])
    """
    plain = " ".join(words.split())
    return frozenset(_PART[(found["a"] or found["b"]).lower()] for found in _NAMED.finditer(plain))


def _choices(requirement: Requirement, way: Feature | Finish, knife: Knife) -> tuple[str, ...]:
    """What there is to choose from; nothing where the place is told, or there is but one."""
    said = parts_said(requirement.text)
    if isinstance(way, Finish):
        # A tang in a block is not seen.
        told = not darkens(way) or way.place is not None or said or has_hidden_tang(knife.outline.profiles)
        return () if told else ("on the blade alone", "on the tang too, where it shows round the handle")
    if way.absent:
        return ()
    if way.what == "texture" and way.place is None and said != {"blade"}:
        # Words that name the handle do not settle what the order has on the blade.
        return ("on the blade", "on the handle", "on both")
    if way.what == "mark" and way.side is None and not _SIDED.search(requirement.text):
        return ("on the right side", "on the left side")
    return ()


def darkens(way: Finish) -> bool:
    """Whether it makes the steel dark: an etch, a surface finished dark, or the maker's own step that is called so.

    >>> darkens(Finish(operation="surface", finish="black")), darkens(Finish(operation="mark", finish="etched"))
    (True, False)
    """
    if way.operation == "surface":
        return _DARK.search(way.finish) is not None
    return _DARK.search(way.operation.replace("_", " ")) is not None


def _said_otherwise(order: Order) -> Iterator[tuple[Requirement, str, str]]:
    """Textures and etches whose told places are not those of the customer's words, with both in words."""
    for requirement in order.requirements:
        placed = [
            parts_named(way.place)
            for way in requirement.ways
            if isinstance(way, Feature | Finish) and way.place is not None and not getattr(way, "absent", False)
        ]
        said, has = parts_said(requirement.text), frozenset[str]().union(*placed)
        if requirement.weight != "open" and has and said and said != has:
            yield requirement, " and the ".join(sorted(said)), " and the ".join(sorted(has))


def _key(way: Feature | Finish) -> str:
    """What to write."""
    if isinstance(way, Finish):
        return 'place = "blade" or place = "blade and tang"'
    if way.what == "mark":
        return 'side = "right" or side = "left"'
    return 'place = "blade", place = "handle" or place = "blade and handle"'
