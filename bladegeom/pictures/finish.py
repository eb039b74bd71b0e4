"""How the steel's surface is finished, as the route's words have it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bladegeom.design.design import Design
from bladegeom.order.order_places import darkens, parts_said
from bladegeom.order.order_ways import Finish, parts_named


@dataclass(frozen=True, kw_only=True)
class SteelFinish:
    """What the picture shows of a finish.

    Args:
        lengthwise: Whether the faces are brushed along the blade too, not across as they are ground.
        scratches: How much of them is seen, 0 to 1.
        spread: How far they spread the light, 0 to 1.
        light: What is left of the metal's light on the blade, 0 to 1: less where it is etched or darkened.
        tang_light: The same behind the handle front.
    """

    lengthwise: bool = False
    scratches: float = 1.0
    spread: float = 1.0
    light: float = 1.0
    tang_light: float = 1.0


_DARKNESS = ((r"black|blued?\b|oxide|parkeri", 0.16), (r"patina|dark|brown|coffee|mustard|vinegar", 0.34), (r"", 0.45))
"""Words for what darkens steel, and the light that is left; the last is any etch. Own choice by eye."""

_STEEL = frozenset(("blade", "tang"))
"""Parts of the knife that are of steel."""

_SMOOTH = r"mirror|polish"
_LENGTHWISE = r"length|along|hand[- ]rubbed"
_BLASTED = r"blast|bead|stone ?wash|tumbl|matt"


def finish_of(design: Design) -> SteelFinish:
    """Of a design; without any words it is ground across and brushed along the flats."""
    if not design.settles_work:
        return SteelFinish()
    route = design.route
    told = {operation.key: operation.finish.lower() for operation in route.operations}
    surface = f"{route.settled.finish.lower()} {told.get('surface', '')}"
    etch = f"{route.settled.etch.lower()} {told.get('etch', '')}" if "etch" in told else None
    light = 1.0 if etch is None else next(left for words, left in _DARKNESS if re.search(words, etch))
    if etch is None and re.search(_DARKNESS[0][0], surface):
        light = _DARKNESS[0][1]
    parts = _darkened(design)
    blasted, smooth = re.search(_BLASTED, surface), re.search(_SMOOTH, surface)
    return SteelFinish(
        lengthwise=bool(re.search(_LENGTHWISE, surface)),
        scratches=0.0 if blasted else 0.25 if smooth else 0.45 if etch is not None else 1.0,
        spread=0.12 if smooth and not blasted else 1.0,
        light=light if "blade" in parts else 1.0,
        tang_light=light if "tang" in parts else 1.0,
    )


def _darkened(design: Design) -> frozenset[str]:
    """What is made dark, if anything is: what the order, the customer's words or the work name; blade and tang else."""
    requirements = design.order.requirements if design.order else ()
    ways = ((requirement, way) for requirement in requirements for way in requirement.ways)
    settled = design.route.settled
    said = [
        parts_said(settled.etch),
        parts_said(settled.finish),
        *(
            parts_named(way.place) if way.place else parts_said(requirement.text)
            for requirement, way in ways
            if isinstance(way, Finish) and darkens(way)
        ),
    ]
    return (frozenset().union(*said) & _STEEL) or _STEEL
