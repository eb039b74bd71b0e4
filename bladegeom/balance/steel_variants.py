"""Changes of the steel that move the balance: lightening holes, taper, thickness, bevel, length of the blade."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Final

import numpy as np

from bladegeom.balance.sensitivity import Variant
from bladegeom.curves.flatten import flatten
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import DesignPart
from bladegeom.knife.stock import Stock
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.placing.lighten import add_lightening
from bladegeom.placing.lightened import Placer, lightened, unlightened
from bladegeom.placing.place import add_lightening_row
from bladegeom.placing.slots import add_lightening_slots
from bladegeom.placing.staggered_rows import add_staggered_rows
from bladegeom.quantities.tolerances import CHORD, JOINED, SHOP
from bladegeom.quantities.units import show_length

# How far each change goes is our own choice: steps that a maker can really take.
_THICKNESS_STEP = 0.5
_BEVEL_STEP = 2.0
_BLADE_STEP = 10.0
"""mm."""

_TAPER_TOUCHES: Final[tuple[DesignPart, ...]] = ("bevel", "stack")

QUICK_PATTERNS: Final[tuple[tuple[str, Placer], ...]] = (("a graded row along the mid line", add_lightening_row),)
"""Lightening holes that are set in place of those declared, the fasteners staying."""

PATTERNS: Final[tuple[tuple[str, Placer], ...]] = (
    *QUICK_PATTERNS,
    ("as much out as the rules allow", add_lightening),
    ("two staggered rows", add_staggered_rows),
    ("slots", add_lightening_slots),
)
"""With those that are searched for, some tenths of a second each."""


def steel_variants(knife: Knife, patterns: Sequence[tuple[str, Placer]]) -> Iterator[Variant]:
    """All changes of the steel of a design, with some patterns of lightening holes."""
    yield from _holes(knife, patterns)
    yield from _taper(knife)
    yield from _thickness(knife)
    yield from _bevel(knife)
    yield from _blade(knife)


def _holes(knife: Knife, patterns: Sequence[tuple[str, Placer]]) -> Iterator[Variant]:
    name, bare = "lightening holes", unlightened(knife)
    yield Variant(name=name, change="none", make=lambda: bare)
    for words, place in patterns:
        yield Variant(name=name, change=words, make=partial(lightened, bare, place), touches=("holes",))


def _taper(knife: Knife) -> Iterator[Variant]:
    """The tang thinned to half the bar at the butt, or left as thick as at the handle front."""
    butt, front = knife.outline.bounds[0], float(flatten(knife.handle_front, CHORD)[:, 0].min())
    rear, ahead = (2 * knife.stock.half_thickness(np.array([butt, front]))).tolist()
    half = knife.stock.thickness / 2
    name, touches = "tang taper", _TAPER_TOUCHES
    kept = tuple(station for station in knife.stock.taper if station[0] > front + JOINED)
    if rear > half + SHOP:
        change = f"from {show_length(ahead)} just behind the handle front to {show_length(half)} at the butt"
        tapered = ((butt, half), (front, ahead), *kept)
        yield Variant(name=name, change=change, make=partial(_tapered, knife, tapered), touches=touches)
    if rear < ahead - SHOP:
        level = ((front, ahead), *kept) if kept or ahead < knife.stock.thickness - SHOP else ()
        change = f"none, {show_length(ahead)} from behind the handle front to the butt"
        yield Variant(name=name, change=change, make=partial(_tapered, knife, level), touches=touches)


def _tapered(knife: Knife, taper: tuple[tuple[float, float], ...]) -> Knife:
    return dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, taper=taper))


def _thickness(knife: Knife) -> Iterator[Variant]:
    for step, words in ((-_THICKNESS_STEP, "thinner"), (_THICKNESS_STEP, "thicker")):
        thick = round(knife.stock.thickness + step, 9)
        yield Variant(
            name="stock thickness",
            change=f"{show_length(thick)}, {show_length(abs(step))} {words}",
            make=partial(_of_bar, knife, thick),
            touches=("bevel", "holes", "stack"),
        )


def _of_bar(knife: Knife, thick: float) -> Knife:
    """From another bar: stations of a taper as thick as the bar go with it, the others stay if they can."""
    was: Stock = knife.stock
    taper = tuple((x, thick if t >= was.thickness else min(t, thick)) for x, t in was.taper)
    return dataclasses.replace(knife, stock=dataclasses.replace(was, thickness=thick, taper=taper))


def _bevel(knife: Knife) -> Iterator[Variant]:
    """Where a face is declared by its height: the highest one, and with it what lies under it."""
    declared = [(face.height, face) for face in knife.grind.faces if face.height is not None and not face.lies_under]
    if not declared:
        return
    height, highest = max(declared, key=lambda row: row[0])
    for step, words in ((_BEVEL_STEP, "higher"), (-_BEVEL_STEP, "lower")):
        high = height + step
        yield Variant(
            name="bevel height",
            change=f"{show_length(high)}, {show_length(abs(step))} {words}",
            make=partial(_of_height, knife, highest, high),
            touches=("bevel",),
        )


def _of_height(knife: Knife, face: Face, height: float) -> Knife:
    other = face.of_height(height)
    faces = tuple(_in_place(old, face, other) for old in knife.grind.faces)
    return dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=faces))


def _in_place(old: Face, face: Face, other: Face) -> Face:
    """A face of the grind where another takes one's place, which it may itself be or lie under."""
    under = old.lies_under
    if old == face or under is None:
        return other if old == face else old
    names = (field.name for field in dataclasses.fields(old) if getattr(old, field.name) is under)
    return dataclasses.replace(old, **dict.fromkeys(names, _in_place(under, face, other)))


def _blade(knife: Knife) -> Iterator[Variant]:
    """Where the outline is joined from profiles, and the blade's is declared by a length of that name."""
    match knife.outline.profiles:
        case (BladeProfile() as blade, HandleProfile() as handle) if _has_length(blade):
            long = float(blade.blade_length)  # type: ignore[attr-defined]  # seen to be there
        case _:
            return
    for step, words in ((_BLADE_STEP, "longer"), (-_BLADE_STEP, "shorter")):
        yield Variant(
            name="blade length",
            change=f"{show_length(long + step)}, {show_length(abs(step))} {words}",
            make=partial(_of_length, knife, blade, handle, long + step),
            touches=("outline", "bevel"),
        )


def _has_length(blade: object) -> bool:
    return dataclasses.is_dataclass(blade) and any(field.name == "blade_length" for field in dataclasses.fields(blade))


def _of_length(knife: Knife, blade: BladeProfile, handle: HandleProfile, long: float) -> Knife:
    other: BladeProfile = dataclasses.replace(blade, blade_length=long)  # type: ignore[type-var]  # seen to be one
    return dataclasses.replace(knife, outline=join_halves(other, handle))
