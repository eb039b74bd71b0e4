"""Where on the knife each wish lands: places in mm that a picture's pointers show, with the view that shows them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import shapely
from shapely.geometry import LineString

from bladegeom.fasteners.stack import stacks
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.grind import Flank
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import weigh
from bladegeom.order.order import Requirement
from bladegeom.order.order_ways import Feature, Finish, MadeOf, Measured, Way, parts_named
from bladegeom.signoff.traceability import Landing

Seen = Literal["right", "left", "spine"]
"""Views that a customer's page may have."""

_INSIDE: Final = 1.0
"""So far inside a border a pointer ends, mm, so that it is seen to lie on the knife; own choice."""


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A place on the knife.

    Args:
        view: That shows it.
        x: In the design's frame, mm.
        y: In the design's frame, mm.
        z: In the design's frame, mm.
    """

    view: Seen
    x: float
    y: float
    z: float = 0.0


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
    yield from by_ways or list(_of_words(wanted.text, knife)) or _at(_CONCERNS.get(wanted.concerns, ""), knife)


def _of_way(way: Way, state: str, knife: Knife) -> Iterator[Spot]:
    if state in ("nowhere", "unknown"):
        return
    if isinstance(way, Measured):
        yield from _at(_MEASURED.get(way.measure, ""), knife)
    elif isinstance(way, MadeOf):
        yield from _at(_MADE.get(way.part, "fastener"), knife)
    elif isinstance(way, Feature):
        yield from _of_feature(way, knife)
    elif isinstance(way, Finish):
        if way.place is not None:
            yield from (spot for part in sorted(parts_named(way.place)) for spot in _at(part, knife))
        else:
            yield from _at(_STEPS.get(way.operation, ""), knife)


def _of_feature(way: Feature, knife: Knife) -> Iterator[Spot]:
    if way.what == "texture":
        parts = parts_named(way.place or "blade")
        if "blade" in parts:
            yield from list(_textures(knife)) or _at("blade", knife)
        if "handle" in parts:
            yield from _at("handle", knife)
    elif not way.absent:
        yield from _marks(knife, way.text) if way.what == "mark" else _at(_FEATURED.get(way.what, ""), knife)


def _at(part: str, knife: Knife) -> Iterator[Spot]:
    """The places that a part has, none where the knife does not have it."""
    if part:
        yield from _PARTS[part](knife)


def _of_words(words: str, knife: Knife) -> Iterator[Spot]:
    """The first part that the customer's words name."""
    found = _WORDS.search(words.lower())
    if found:
        yield from _at(_NAMED[found[1]], knife)


def across(knife: Knife, x: float) -> tuple[float, float]:
    """Lowest and highest place of the outline at a station, mm."""
    y0, y1 = knife.outline.bounds[1] - 1.0, knife.outline.bounds[3] + 1.0
    cut = shapely.intersection(knife.outline.polygon, LineString([(x, y0), (x, y1)]))
    _, low, _, high = cut.bounds
    return low, high


def _blade_at(knife: Knife, share: float, height: float, view: Seen = "right") -> Spot:
    """A place on the blade: a share of the way to the tip, a share of the way from edge to spine."""
    x = share * knife.outline.tip[0]
    low, high = across(knife, x)
    return Spot(view=view, x=x, y=low + height * (high - low))


def _face(knife: Knife) -> Seen:
    """The side on which the blade is ground."""
    only: Flank | None = knife.grind.only
    return only or "right"


def _blade(knife: Knife) -> Iterable[Spot]:
    return (_blade_at(knife, 0.4, 0.62),)


def _bevel(knife: Knife) -> Iterable[Spot]:
    return (_blade_at(knife, 0.52, 0.35, _face(knife)),)


def _edge(knife: Knife) -> Iterable[Spot]:
    x = 0.62 * knife.outline.tip[0]
    return (Spot(view=_face(knife), x=x, y=across(knife, x)[0] + _INSIDE),)


def _tip(knife: Knife) -> Iterable[Spot]:
    x = knife.outline.tip[0] - 2 * _INSIDE
    return (Spot(view="right", x=x, y=sum(across(knife, x)) / 2),)


def _heel(knife: Knife) -> Iterable[Spot]:
    x, y = knife.outline.heel
    return (Spot(view="right", x=x + 2 * _INSIDE, y=y + 1.5 * _INSIDE),)


def _highest(knife: Knife) -> Iterable[Spot]:
    return (_blade_at(knife, 0.25, 0.3),)


def _spine(knife: Knife) -> Iterable[Spot]:
    x = 0.12 * knife.outline.tip[0]
    return (Spot(view="spine", x=x, y=across(knife, x)[1]),)


def _spine_ahead(knife: Knife) -> Iterable[Spot]:
    x = knife.outline.tip[0] - 10.0
    return (Spot(view="spine", x=x, y=across(knife, x)[1]),)


def _handle(knife: Knife) -> Iterable[Spot]:
    x = 0.42 * knife.outline.bounds[0]
    return (Spot(view="right", x=x, y=sum(across(knife, x)) / 2),)


def _handle_sides(knife: Knife) -> Iterable[Spot]:
    x = 0.55 * knife.outline.bounds[0]
    return (Spot(view="spine", x=x, y=across(knife, x)[1]),)


def _girth(knife: Knife) -> Iterable[Spot]:
    x = 0.68 * knife.outline.bounds[0]
    low, high = across(knife, x)
    return (Spot(view="right", x=x, y=low + 0.3 * (high - low)),)


def _tang(knife: Knife) -> Iterable[Spot]:
    x = 0.3 * knife.outline.bounds[0]
    return (Spot(view="spine", x=x, y=across(knife, x)[1]),)


def _liners(knife: Knife) -> Iterable[Spot]:
    if knife.scales is None or not knife.scales.liners:
        return ()
    x = 0.42 * knife.outline.bounds[0]
    z = knife.stock.thickness / 2 + knife.scales.liners[0].thickness / 2
    return (Spot(view="spine", x=x, y=across(knife, x)[1], z=z),)


def _butt(knife: Knife) -> Iterable[Spot]:
    x = knife.outline.bounds[0] + 3 * _INSIDE
    return (Spot(view="right", x=x, y=sum(across(knife, x)) / 2),)


def _balance(knife: Knife) -> Iterable[Spot]:
    if unweighed(knife):
        return ()
    x = weigh(knife).balance_from_front
    low, high = across(knife, x)
    return (Spot(view="right", x=x, y=low + 0.25 * (high - low)),)


def _hardware(knife: Knife, *, passed: bool) -> Iterator[tuple[float, float]]:
    """Where pieces of hardware stand that a cord passes through, or those that none does."""
    for stack in stacks(knife):
        if (stack.hardware.passage is not None) is passed:
            yield stack.layers.fastener.x, stack.layers.fastener.y


def _fastener(knife: Knife) -> Iterable[Spot]:
    return tuple(Spot(view="right", x=x, y=y) for x, y in sorted(_hardware(knife, passed=False))[:1])


def _lanyard(knife: Knife) -> Iterable[Spot]:
    places = [*_hardware(knife, passed=True)]
    places += [(hole.x, hole.y) for hole in knife.holes if isinstance(hole, Hole) and hole.purpose == "lanyard"]
    return tuple(Spot(view="right", x=x, y=y) for x, y in places)


def _marks(knife: Knife, text: str | None = None) -> Iterator[Spot]:
    for zone in knife.zones:
        if isinstance(zone, MarkZone) and text in (None, zone.text):
            # At its upper border, so that no letter is hidden.
            yield Spot(view=zone.side, x=zone.x, y=zone.y + 0.46 * zone.height)


def _textures(knife: Knife) -> Iterator[Spot]:
    for placed in placed_zones(knife):
        if isinstance(placed.zone, TextureZone) and not placed.region.is_empty:
            inside = placed.region.representative_point()
            yield from (Spot(view=flank, x=inside.x, y=inside.y) for flank in placed.zone.flanks)


_PARTS: Final[dict[str, Callable[[Knife], Iterable[Spot]]]] = {
    "blade": _blade,
    "bevel": _bevel,
    "edge": _edge,
    "tip": _tip,
    "heel": _heel,
    "highest": _highest,
    "spine": _spine,
    "spine ahead": _spine_ahead,
    "handle": _handle,
    "handle sides": _handle_sides,
    "girth": _girth,
    "tang": _tang,
    "liners": _liners,
    "butt": _butt,
    "balance": _balance,
    "fastener": _fastener,
    "lanyard": _lanyard,
    "mark": _marks,
}
"""What a pointer may point at."""

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
