"""Places on a knife that a pointer may show, each with the view that shows it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
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

Seen = Literal["right", "left", "spine"]
"""Views that a customer's page may have."""

_INSIDE: Final = 1.0
"""So far inside a border a pointer ends, mm, so that it is seen to lie on the knife; own choice."""

_ABOVE: Final = 2.0
"""So far above the field of a mark a pointer ends, mm: its dot in its ring is 1.9 mm across on paper, where a knife
of 340 mm lies at half its size."""


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


def spots_of(part: str, knife: Knife) -> Iterator[Spot]:
    """The places that a part has, by a name of ``_PARTS``; none where the knife does not have it."""
    if part:
        yield from _PARTS[part](knife)


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


def mark_spots(knife: Knife, text: str | None = None) -> Iterator[Spot]:
    """Above the fields of marks, or of the mark with a text, so that no letter is hidden where the steel has room."""
    for zone in knife.zones:
        if isinstance(zone, MarkZone) and text in (None, zone.text):
            top = zone.y + zone.height / 2
            room = across(knife, zone.x)[1] - _INSIDE - top
            yield Spot(view=zone.side, x=zone.x, y=top + min(max(room, 0.0), _ABOVE))


def texture_spots(knife: Knife) -> Iterator[Spot]:
    """A place inside each textured zone, on each face that carries it."""
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
    "mark": mark_spots,
}
"""What a pointer may point at."""
