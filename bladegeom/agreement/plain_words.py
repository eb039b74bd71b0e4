"""What was made of a wish, in words that a customer knows: no codes, no keys, nothing of how it is worked."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final

from bladegeom.agreement.measured_words import measured_words
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.order.measures import measure
from bladegeom.order.order_features import cord_room, parts_of
from bladegeom.order.order_ways import Feature, Finish, HandCheck, MadeOf, Measured
from bladegeom.quantities.customer_units import asked_length, customer_length
from bladegeom.quantities.materials import Material, materials
from bladegeom.signoff.traceability import Landing

_FEATURES: Final = {
    "texture": "carved or textured surface",
    "mark": "mark or text",
    "lanyard": "opening for a cord",
    "liners": "thin sheets under the handle",
    "lightening": "holes that make the steel lighter",
    "tang taper": "steel that gets thinner towards the end of the handle",
    "distal taper": "blade that gets thinner towards the tip",
    "one-sided grind": "blade ground on one side alone",
    "grind": "grind",
    "swell": "handle that swells towards the palm",
    "fasteners": "pins, tubes or screws",
    "scales": "slabs on the steel that make the handle",
}
"""Each feature as a customer would say it."""

_STEPS: Final = {
    "surface": "surface of the blade",
    "etch": "etched",
    "mark": "how the mark is made",
    "sharpen": "edge",
    "contour": "shape of the handle",
    "sheath": "sheath",
}
"""Steps that customers ask a finish of; a maker's own is called by its title."""

PART_WORDS: Final = {
    "steel": "blade",
    "scales": "handle",
    "liners": "sheets under the handle",
    "fasteners": "pins and screws",
}

_COMMON: Final = re.compile(r"(.+?)(?: at 12 %|[,;:]|$)")
"""The common name at the beginning of a note."""

_BOTANICAL: Final = re.compile(r"[A-Z][a-z]+ ")


def material_words(of: Material) -> str:
    """A material by its common name, with the name that tells exactly what it is.

    >>> from bladegeom import material
    >>> material_words(material("Juglans nigra")), material_words(material("1.4116"))
    ('black walnut (Juglans nigra)', 'steel 1.4116, stainless')
    """
    if of.kind == "steel":
        kinds = {True: ", stainless", False: ", which is not stainless", None: ""}
        return f"steel {of.name}{kinds[of.stainless]}"
    named = of.kind in ("metal", "laminate") or (of.kind == "wood" and _BOTANICAL.match(of.name))
    # The note of a material of the maker's own may say anything.
    if named and of in materials() and (found := _COMMON.match(of.note)) and found[1] != of.name:
        return f"{found[1].removeprefix('NEMA ')} ({of.name})"
    return of.name


def landing_words(landing: Landing, knife: Knife, titles: Mapping[str, str]) -> str:
    """What was made of one way of a wish.

    Args:
        landing: Where it lands.
        knife: The design.
        titles: Of the steps of the work, by their keys.
    """
    way = landing.way
    if landing.state == "open":
        return "Open: to be decided, see below."
    if landing.state in ("nowhere", "unknown") or way is None:
        return "How this is done is still to be settled, see below."
    if isinstance(way, Measured):
        words = measured_words(way, landing.measured)
    elif isinstance(way, Feature):
        words = _feature(way, landing, knife)
    elif isinstance(way, MadeOf):
        words = _made_of(way, landing, knife)
    elif isinstance(way, Finish):
        words = f"{_STEPS.get(way.operation, titles.get(way.operation, way.operation))}: {way.words}"
    else:
        words = _look(way)
    if landing.state == "missed":
        words = f"not as you asked: {words}"
    return sentence(words)


def sentence(words: str) -> str:
    """With a capital in front and a full stop behind."""
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith(('.', '?', '!')) else '.'}"


def _feature(way: Feature, landing: Landing, knife: Knife) -> str:
    plain = _FEATURES[way.what]
    if way.text is not None and way.what == "mark":
        plain = f"mark '{way.text}'"
    on = f" on the {way.place}" if way.place else ""
    side = f" on {'both sides' if way.side == 'both' else f'the {way.side} side'}" if way.side else ""
    if way.absent:
        return f"no {plain}{on}{side}" if landing.state == "met" else f"there is a {plain}{on}{side}"
    if landing.state == "later":
        return f"{plain}{on}{side}, made by hand"
    if landing.state == "missed":
        bore = measure("lanyard bore").of(knife) if way.what == "lanyard" else None
        if bore is not None and way.cord is not None:
            cord, room = asked_length(float(way.cord)), customer_length(cord_room(float(way.cord)))
            return f"the opening is {customer_length(bore)} wide, and a cord of {cord}, laid double, needs {room}"
        kind = f", {way.text}" if way.text and way.what != "mark" else ""
        return f"there is no {plain}{kind}{on}{side} in this design"
    return _HAS[way.what](knife, way)


def _made_of(way: MadeOf, landing: Landing, knife: Knife) -> str:
    has = " and ".join(material_words(of) for of in parts_of(knife)[way.part])
    part = PART_WORDS.get(way.part, way.part)
    return f"{part}: {has}" if landing.state == "met" else f"{part}: {has}, not {way.material}"


def _look(way: HandCheck) -> str:
    if way.signed == "customer":
        return f"shown to you before you take it: {way.look}"
    return f"looked at and signed for by the {way.signed}: {way.look}"


def texture_words(zone: TextureZone) -> str:
    """Where a carved surface lies."""
    return (
        f"on {_side(zone.side)} of the blade, from {customer_length(zone.start)} to {customer_length(zone.end)} "
        f"ahead of the handle, at most {customer_length(zone.depth)} deep"
    )


def mark_words(zone: MarkZone) -> str:
    """What a mark says, and where."""
    drawn = "a drawing of " if zone.artwork else ""
    made = {None: "", "stencil": ", etched", "electro-etch": ", etched", "laser": ", marked by laser"}[zone.made]
    return f"{drawn}'{zone.text}' on {_side(zone.side)}{made}"


def _texture(knife: Knife, _: Feature) -> str:
    zones = [zone for zone in knife.zones if isinstance(zone, TextureZone)]
    return "; ".join(f"carved or textured surface {texture_words(zone)}" for zone in zones)


def _mark(knife: Knife, wanted: Feature) -> str:
    zones = [zone for zone in knife.zones if isinstance(zone, MarkZone) and wanted.text in (None, zone.text)]
    return "; ".join(f"{mark_words(zone)}, letter by letter as it stands here" for zone in zones)


def _side(side: str) -> str:
    return "both sides" if side == "both" else f"the {side} side"


def _lanyard(knife: Knife, _: Feature) -> str:
    bore = measure("lanyard bore").of(knife)
    return f"opening for a cord, {customer_length(bore)} wide" if bore is not None else _FEATURES["lanyard"]


def _liners(knife: Knife, _: Feature) -> str:
    liners = knife.scales.liners if knife.scales else ()
    return "under the handle: " + ", ".join(
        f"{material_words(liner.material)}, {customer_length(liner.thickness)}" for liner in liners
    )


def _lightening(knife: Knife, _: Feature) -> str:
    count = sum(hole.purpose == "lightening" for hole in knife.holes)
    covered = ", covered by the handle" if knife.scales is not None else ""
    return f"{count} hole{'' if count == 1 else 's'} in the steel make{'s' if count == 1 else ''} it lighter{covered}"


def _one_sided(knife: Knife, _: Feature) -> str:
    return f"ground on the {knife.grind.only} side alone"


def _grind(knife: Knife, _: Feature) -> str:
    return f"grind: {knife.grind.kind}"


def _fasteners(knife: Knife, _: Feature) -> str:
    kinds = [fastener.hardware.kind for fastener in knife.fasteners]
    told = (f"{kinds.count(kind)} {kind}{'' if kinds.count(kind) == 1 else 's'}" for kind in dict.fromkeys(kinds))
    return f"held by {' and '.join(told)}"


def _scales(knife: Knife, _: Feature) -> str:
    return f"handle of {material_words(knife.scales.material)}" if knife.scales else _FEATURES["scales"]


def _plain(_: Knife, wanted: Feature) -> str:
    return _FEATURES[wanted.what]


_HAS: Final[dict[str, Callable[[Knife, Feature], str]]] = {
    **dict.fromkeys(_FEATURES, _plain),
    "texture": _texture,
    "mark": _mark,
    "lanyard": _lanyard,
    "liners": _liners,
    "lightening": _lightening,
    "one-sided grind": _one_sided,
    "grind": _grind,
    "fasteners": _fasteners,
    "scales": _scales,
}
