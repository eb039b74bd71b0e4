"""Rows of the drill card for what is sunk into the scales: pockets, counterbores, countersinks."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from bladegeom.drilling.level import Level, level
from bladegeom.drilling.row import CardRow, Feature, Phase, by_name, grouped, point_depth, shown
from bladegeom.drilling.tool import flat_tool, span
from bladegeom.fasteners.stack import Stack
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_parts import Cut
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.knife.knife import Knife
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.units import show_length, show_mm

_HARD: Phase = "after hardening"


def sunk(knife: Knife, at: Sequence[Stack]) -> Iterator[CardRow]:
    """Everything with a depth, both scales alike, while their outsides are flat."""
    tilt = level(knife)
    for group in _alike(at, "pocket"):
        yield _pocket(group, tilt)
    for group in _alike(at, "counterbore"):
        yield _counterbore(group, tilt, group.depth, group.makes)
    for group in _alike(at, "countersink"):
        yield from _countersink(group, tilt)


@dataclass(frozen=True)
class _Sunk:
    """Bores of one size and depth, at one fastener each."""

    at: Sequence[tuple[Stack, Cut, Interval]]

    @property
    def stack(self) -> Stack:
        """The first of them."""
        return self.at[0][0]

    @property
    def cut(self) -> Cut:
        """Of all of them."""
        return self.at[0][1]

    @property
    def depth(self) -> Interval:
        """Of all of them, mm."""
        return self.at[0][2]

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Of the holes."""
        return by_name(stack.site.name for stack, _, _ in self.at)

    @property
    def makes(self) -> tuple[Feature, ...]:
        """What is finished."""
        shape = self.cut.bore.shape
        return tuple(
            feature
            for name in self.names
            for feature in (
                Feature(hole=name, piece="right scale", shape=shape),
                Feature(hole=name, piece="left scale", shape=shape),
            )
        )

    @property
    def allowed(self) -> float:
        """By which a depth may stray, mm."""
        return self.stack.site.knife.shop.tolerances.depth_stop

    @property
    def lets_in(self) -> float:
        """Diameter of what goes into the bore, mm."""
        return _lets_in(self.stack, self.cut)


def _alike(at: Sequence[Stack], shape: str) -> Iterator[_Sunk]:
    found = [(stack, cut, cut.depth) for stack in at for cut in stack.cuts if cut.bore.shape == shape and cut.depth]
    for _, group in grouped((_reads(*one), one) for one in found):
        yield _Sunk(group)


def _reads(stack: Stack, cut: Cut, depth: Interval) -> Hashable:
    """What makes two bores one row: size, depth, what goes in, and what lies on and under them."""
    site = stack.site
    return cut.bore, _lets_in(stack, cut), shown(depth.nominal), shown(site.liner.nominal), site.hole.diameter


def _lets_in(stack: Stack, cut: Cut) -> float:
    match stack:
        case StandoffStack() as one if cut.bore.shape == "pocket":
            return one.standoff.diameter
        case StandoffStack() as one:
            return one.standoff.screw_head.sharp_diameter
        case BoltStack() as one:
            return one.bolt.head_diameter
        case _:
            return cut.bore.diameter


def _pocket(group: _Sunk, tilt: Level) -> CardRow:
    site, bore = group.stack.site, group.cut.bore
    sheets, glued = site.liner.nominal, site.glued_liner.nominal > 0
    liners = f" Liners off; with them on, set {show_length(group.depth.nominal + sheets)}." if sheets else ""
    if glued:
        liners = f" Through the glued liners, {show_length(sheets)}, into the scale."
    return CardRow(
        holes=group.names,
        part="both scales",
        operation="sink the pocket, flat-bottomed",
        tool=flat_tool(bore, group.lets_in),
        phase=_HARD,
        makes=(*_liners_opened(group), *group.makes) if glued else group.makes,
        depth=group.depth,
        face="liner's inside face" if glued else "bare inside face" if sheets else "inside face",
        note=f"{_CENTRED}{liners} {_no_twist_drill(group)}"
        + tilt.loose(bore.diameter, inside_up=True, allowed=group.allowed),
    )


def _liners_opened(group: _Sunk) -> Iterator[Feature]:
    """Glued liners, which the pocket goes through, where the screw's hole has not opened them as wide."""
    if group.stack.site.hole.diameter < group.cut.bore.diameter:
        for name in group.names:
            yield Feature(hole=name, piece="right liner", shape="through hole")
            yield Feature(hole=name, piece="left liner", shape="through hole")


_CENTRED = "Bring the hole under a rod of its size in the chuck, clamp the scale, then change tools."
_FLAT = "On the flat slab, depth from its face."


def _no_twist_drill(group: _Sunk) -> str:
    """What a twist drill would do to the floor; at the screw's hole, where the floor is thinnest."""
    deeper = point_depth(group.cut.bore.diameter)
    text = f"Not with a twist drill's point: it goes {show_length(deeper)} deeper than its rim"
    floor = min(stack.floor.nominal for stack, _, _ in group.at if isinstance(stack, StandoffStack))
    left = floor - (deeper - point_depth(group.stack.site.hole.diameter))
    if floor <= 0:
        return "There is no floor: pocket and countersink meet."
    if left <= 0:
        return f"{text} and would break through the floor of {show_length(floor)}."
    return f"{text} and would leave {show_mm(left)} mm of the floor of {show_mm(floor)} mm at the screw's hole."


def _counterbore(group: _Sunk, tilt: Level, depth: Interval, makes: tuple[Feature, ...]) -> CardRow:
    bore = group.cut.bore
    return CardRow(
        holes=group.names,
        part="both scales",
        operation="counterbore for the head, before contouring",
        tool=flat_tool(bore, group.lets_in),
        phase=_HARD,
        makes=makes,
        depth=depth,
        face="outside face",
        note=f"{_FLAT} {_CENTRED} {_NO_POINT[bore.shape]}"
        + tilt.loose(bore.diameter, inside_up=False, allowed=group.allowed),
    )


_NO_POINT = {
    "counterbore": "A twist drill leaves a cone, on which the head does not seat.",
    "countersink": "A twist drill's point would cut away what the countersink is to leave.",
}


def _countersink(group: _Sunk, tilt: Level) -> Iterator[CardRow]:
    seat, bore = group.stack.numbers["seat_depth"], group.cut.bore
    bored = shown(seat.nominal) > 0
    if bored:
        yield _counterbore(group, tilt, seat, ())
    deep = group.depth
    feed = Interval(deep.low - seat.low, deep.nominal - seat.nominal, deep.high - seat.high) if bored else deep
    least = _widest_head(group)
    width = span(least, bore.diameter) if bored else f"{show_length(least)} or more"
    yield CardRow(
        holes=group.names,
        part="both scales",
        operation=f"countersink {'below the counterbore, ' if bored else ''}before contouring",
        tool=f"countersink {bore.angle_deg:g} degrees, {width} wide",
        phase=_HARD,
        makes=group.makes,
        depth=feed,
        face="rim of the screw's hole, where the cutter touches",
        note=f"Check: the cone meets the screw's hole {show_length(deep.nominal)} from the outside face. Try a screw.",
    )


def _widest_head(group: _Sunk) -> float:
    """Diameter of the widest head that can be measured, or the sharp one where the standard does not tell, mm."""
    match group.stack:
        case StandoffStack() as one:
            return one.standoff.screw_head.head_diameter or one.standoff.screw_head.sharp_diameter
        case _:
            return group.lets_in
