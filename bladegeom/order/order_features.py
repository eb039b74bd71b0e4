"""Whether a design has the feature or the material that an order asks for, and what it has instead."""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Callable, Collection, Set
from typing import Final

import numpy as np

from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.order.measures import measure
from bladegeom.order.order import Requirement
from bladegeom.order.order_ways import Feature, Finish
from bladegeom.quantities.materials import Material, material, row_name
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

CORD_PLAY: Final = 0.5
"""A lanyard goes through double, with this much room, mm. Source: common practice, no source."""

_EVEN: Final = 0.05
"""A taper of less than this is none, mm; own choice: a bar is no more even than that."""

TIP_BACK: Final = 10.0
"""So far behind the tip a distal taper is read, mm; own choice: further ahead nothing can be gripped."""


OF_HANDLE: Final = ("lanyard", "liners", "fasteners", "scales", "swell")
"""Features of the handle: a design without its handle block does not tell that they are not there."""

_METALS: Final = ("steel", "metal")
"""For a part of one of these no wood or horn is suggested."""


def features_of(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    """Whether the design has what is named, its side and text too, and what it has, in words.

    On both faces means each of them where it is wanted, and either of them where it is to be absent.
    """
    return _HAS[wanted.what](knife, wanted)


def nearly(knife: Knife, wanted: Feature) -> str:
    """Which letter of a mark differs from the nearest that the design has, in words; empty where none is near."""
    stand = [text for zone in knife.zones if (text := getattr(zone, "text", None))]
    if wanted.absent or not (wanted.what == "mark" and wanted.text) or wanted.text in stand:
        return ""
    close = difflib.get_close_matches(wanted.text, stand, n=1, cutoff=0.5)
    if not close:
        return ""
    at = next((i for i, (a, b) in enumerate(zip(wanted.text, close[0], strict=False)) if a != b), None)
    place = min(len(wanted.text), len(close[0])) if at is None else at
    return f"; {close[0]!r} differs from {wanted.text!r} at letter {place + 1}"


def step_on_handle(knife: Knife, requirement: Requirement, wanted: Feature, steps: Collection[str]) -> Finish | None:
    """The step that makes a texture on the handle; None where none does, or the blade lacks what belongs on it.

    Args:
        knife: The design.
        requirement: Whose feature it is; the step is another way of it, with its place on the handle.
        wanted: The feature.
        steps: Keys of the route.
    """
    if wanted.what != "texture" or wanted.absent or wanted.place in (None, "blade"):
        return None
    of_blade = dataclasses.replace(wanted, place="blade")
    if wanted.place == "blade and handle" and not features_of(knife, of_blade)[0]:
        return None
    ways = (way for way in requirement.ways if isinstance(way, Finish) and way.operation in steps)
    return next((way for way in ways if way.place in ("handle", "blade and handle")), None)


def parts_of(knife: Knife) -> dict[str, tuple[Material, ...]]:
    """What each part of the design is made of; parts that it does not have are left out."""
    out: dict[str, tuple[Material, ...]] = {"steel": (knife.stock.material,)}
    if knife.scales is not None:
        out["scales"] = (knife.scales.material,)
        if knife.scales.liners:
            out["liners"] = tuple(dict.fromkeys(liner.material for liner in knife.scales.liners))
    pieces = [pair for fastener in knife.fasteners for pair in fastener.hardware.materials]
    if pieces:
        out["fasteners"] = tuple(dict.fromkeys(of for _, of in pieces))
    for name, of in pieces:
        out[name] = tuple(dict.fromkeys((*out.get(name, ()), of)))
    return out


def same_material(name: str, of: Material) -> bool:
    """Whether a name in an order means a material of the design: by the table, or letter by letter.

    Raises:
        UnknownNameError: It is neither of the design nor in the table.
    """
    if row_name(name) == row_name(of.name):
        return True
    material(name, *(_METALS if of.kind in _METALS else ()))
    return False


def _texture(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    zones = [zone for zone in knife.zones if isinstance(zone, TextureZone)]
    covered = {flank for zone in zones for flank in zone.flanks}
    told = "; ".join(f"texture on {_faces(zone.side)}" for zone in zones) or "no texture zone"
    if wanted.place in (None, "blade"):
        return _on(wanted, covered), told
    # No zone of a design lies on its handle: a step of the route makes what is wanted there.
    on_blade = wanted.absent and wanted.place == "blade and handle" and _on(wanted, covered)
    return on_blade, f"{told}, and none on the handle, where no zone lies"


def _mark(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    zones = [zone for zone in knife.zones if isinstance(zone, MarkZone)]
    carry = {flank for zone in zones if wanted.text in (None, zone.text) for flank in zone.flanks}
    told = "; ".join(f"mark {zone.text!r} on the {zone.side} face" for zone in zones)
    return _on(wanted, carry), told or "no mark zone"


def _lanyard(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    bore = measure("lanyard bore").of(knife)
    if bore is None:
        return False, "no hole or tube for a lanyard"
    if wanted.cord is None:
        return True, f"lanyard bore {show_length(bore)}"
    least = cord_room(float(wanted.cord))
    return bore >= least - SHOP, f"lanyard bore {show_length(bore)}, {show_length(least)} needed for the cord, double"


def cord_room(cord: float) -> float:
    """Least bore for a cord that goes through double, mm."""
    return 2 * cord + CORD_PLAY


def _liners(knife: Knife, _: Feature) -> tuple[bool, str]:
    liners = knife.scales.liners if knife.scales else ()
    told = ", ".join(f"{liner.material.name} {show_length(liner.thickness)}" for liner in liners)
    return bool(liners), f"liners {told}" if liners else "no liners"


def _lightening(knife: Knife, _: Feature) -> tuple[bool, str]:
    count = sum(hole.purpose == "lightening" for hole in knife.holes)
    return count > 0, f"{count} lightening hole{'' if count == 1 else 's'}"


def _taper(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    # Of the bar: a bevel that reaches the spine thins it too, and is no taper.
    x = knife.outline.bounds[0] if wanted.what == "tang taper" else knife.outline.tip[0] - TIP_BACK
    front, end = (2 * float(half) for half in knife.stock.half_thickness(np.array([0.0, x])))
    return end < front - _EVEN, f"bar of {show_length(front)} at the handle front, {show_length(end)} at its end"


def _one_sided(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    only = knife.grind.only
    return only is not None and wanted.side in (None, only), f"{only} face only" if only else "both faces ground alike"


def _grind(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    return _words_in(wanted.text, knife.grind.kind), f"grind: {knife.grind.kind}"


def _swell(knife: Knife, _: Feature) -> tuple[bool, str]:
    swell = knife.scales.swell if knife.scales else ()
    return bool(swell), "scales that swell" if swell else "scales of one thickness"


def _fasteners(knife: Knife, wanted: Feature) -> tuple[bool, str]:
    kinds = tuple(dict.fromkeys(fastener.hardware.kind for fastener in knife.fasteners))
    fits = any(_words_in(wanted.text, kind) for kind in kinds)
    return fits, f"fasteners: {', '.join(kinds)}" if kinds else "no fasteners"


def _scales(knife: Knife, _: Feature) -> tuple[bool, str]:
    scales = knife.scales
    return scales is not None, f"scales of {scales.material.name}" if scales else "no scales"


def _words_in(wanted: str | None, kind: str) -> bool:
    return wanted is None or set(wanted.lower().split()) <= set(kind.lower().replace(",", "").split())


def _on(wanted: Feature, covered: Set[str]) -> bool:
    """Whether the faces that are covered are those that the feature names."""
    if wanted.side is None:
        return bool(covered)
    sides = {"right", "left"} if wanted.side == "both" else {wanted.side}
    return not sides.isdisjoint(covered) if wanted.absent else sides <= covered


def _faces(side: str) -> str:
    return "both faces" if side == "both" else f"the {side} face"


_HAS: Final[dict[str, Callable[[Knife, Feature], tuple[bool, str]]]] = {
    "texture": _texture,
    "mark": _mark,
    "lanyard": _lanyard,
    "liners": _liners,
    "lightening": _lightening,
    "tang taper": _taper,
    "distal taper": _taper,
    "one-sided grind": _one_sided,
    "grind": _grind,
    "swell": _swell,
    "fasteners": _fasteners,
    "scales": _scales,
}
