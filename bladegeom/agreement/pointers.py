"""Where on the knife each wish lands: places in mm that a picture's pointers show, with the view that shows them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.agreement.spots import Spot, mark_spots, spots_of, texture_spots
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Requirement
from bladegeom.order.order_ways import Feature, Finish, MadeOf, Measured, Way, parts_named
from bladegeom.signoff.traceability import Landing


@dataclass(frozen=True, kw_only=True)
class Pointer:
    """A place with the numbers of all requirements that land there."""

    spot: Spot
    numbers: tuple[int, ...]


def pointers(landed: Sequence[Landing], knife: Knife) -> tuple[Pointer, ...]:
    """Every place that a wish points at, with the numbers of the wishes, in the order of the first of them.

    A wish that has no place on the knife, such as a date, has no pointer; one that lands in two places has two.

    Args:
        landed: Where the requirements of an order land.
        knife: The design.

    >>> import datetime
    >>> from bladegeom import Measured, Order, Requirement, landings
    >>> way = Measured(measure="blade length", nominal=110.0, tolerance=1.0)
    >>> wish = Requirement(number=1, text="a blade of 110 mm", concerns="blade", met=way)
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> [(pointer.numbers, pointer.spot.view) for pointer in pointers(landings(order, knife), knife)]
    [((1,), 'right')]
    """
    found: dict[Spot, list[int]] = {}
    for wanted in dict.fromkeys(landing.requirement for landing in landed):
        states = {landing.way: landing.state for landing in landed if landing.requirement is wanted}
        for spot in dict.fromkeys(_spots(wanted, states, knife)):
            found.setdefault(spot, []).append(wanted.number)
    return tuple(Pointer(spot=spot, numbers=tuple(numbers)) for spot, numbers in found.items())


def _spots(wanted: Requirement, states: Mapping[Way | None, str], knife: Knife) -> Iterator[Spot]:
    """By its ways; where none has a place, by its words; and where these name none, by what it concerns."""
    by_ways = [spot for way in wanted.ways for spot in _of_way(way, states.get(way, "open"), knife)]
    yield from by_ways or list(_of_words(wanted.text, knife)) or spots_of(_CONCERNS.get(wanted.concerns, ""), knife)


def _of_way(way: Way, state: str, knife: Knife) -> Iterator[Spot]:
    if state in ("nowhere", "unknown"):
        return
    if isinstance(way, Measured):
        yield from spots_of(_MEASURED.get(way.measure, ""), knife)
    elif isinstance(way, MadeOf):
        yield from spots_of(_MADE.get(way.part, "fastener"), knife)
    elif isinstance(way, Feature):
        yield from _of_feature(way, knife)
    elif isinstance(way, Finish):
        if way.place is not None:
            yield from (spot for part in sorted(parts_named(way.place)) for spot in spots_of(part, knife))
        else:
            yield from spots_of(_STEPS.get(way.operation, ""), knife)


def _of_feature(way: Feature, knife: Knife) -> Iterator[Spot]:
    if way.what == "texture":
        parts = parts_named(way.place or "blade")
        if "blade" in parts:
            yield from list(texture_spots(knife)) or spots_of("blade", knife)
        if "handle" in parts:
            yield from spots_of("handle", knife)
    elif not way.absent:
        yield from mark_spots(knife, way.text) if way.what == "mark" else spots_of(_FEATURED.get(way.what, ""), knife)


def _of_words(words: str, knife: Knife) -> Iterator[Spot]:
    """The first part that the customer's words name."""
    found = _WORDS.search(words.lower())
    if found:
        yield from spots_of(_NAMED[found[1]], knife)


_MEASURED: Final = {
    **dict.fromkeys(("blade length", "blade length to handle", "blade length to plunge"), "tip"),
    **dict.fromkeys(
        ("edge length", "edge thickness", "first edge thickness", "rough edge", "sharpening angle"), "edge"
    ),
    **dict.fromkeys(("bevel height", "bevel angle"), "bevel"),
    **dict.fromkeys(("mass", "balance"), "balance"),
    **dict.fromkeys(("handle girth", "least handle girth", "hand breadth", "handle height"), "girth"),
    **dict.fromkeys(("handle thickness", "scale thickness", "slab thickness"), "handle sides"),
    "overall length": "butt",
    "blade height": "highest",
    "knuckle clearance": "heel",
    "thickness": "spine",
    "tip thickness": "spine ahead",
    "butt thickness": "tang",
    "handle length": "handle",
    "lanyard bore": "lanyard",
    "hardness": "blade",
}

_FEATURED: Final = {
    "lanyard": "lanyard",
    "liners": "liners",
    "tang taper": "tang",
    "distal taper": "spine ahead",
    "one-sided grind": "bevel",
    "grind": "bevel",
    "swell": "handle sides",
    "fasteners": "fastener",
    "scales": "handle",
}
"""Where a feature shows; lightening holes show nowhere."""

_MADE: Final = {"steel": "blade", "scales": "handle", "liners": "liners", "lanyard tube": "lanyard"}

_STEPS: Final = {"surface": "blade", "etch": "blade", "sharpen": "edge", "mark": "mark", "contour": "handle"}

_NAMED: Final = {
    "spine": "spine",
    "tip": "tip",
    "point": "tip",
    "edge": "edge",
    "butt": "butt",
    "pommel": "butt",
    "pins": "fastener",
    "pin": "fastener",
    "screws": "fastener",
    "lanyard": "lanyard",
    "blade": "blade",
    "handle": "handle",
    "grip": "handle",
    "scales": "handle",
}
"""Words of customers for a part."""

_WORDS: Final = re.compile(rf"\b({'|'.join(_NAMED)})\b")

_CONCERNS: Final = {
    "blade": "blade",
    "edge": "edge",
    "steel": "blade",
    "surface": "blade",
    "handle": "handle",
    "weight": "balance",
    "lanyard": "lanyard",
    "mark": "mark",
}
"""Where a wish lands of which nothing else tells the place; a sheath, a date or a price has none."""
