"""Rows of the drill card for what is sunk into the scales: pockets, counterbores, countersinks."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, TypeVar

from bladegeom.drilling.level import Level, level
from bladegeom.drilling.row import CardRow, Phase, PieceBore, point_depth
from bladegeom.drilling.tool import flat_tool, span
from bladegeom.fasteners.alike import by_name, grouped, to_compare
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack_parts import Counterbore, Countersink, Cut, Pocket, Sunk
from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.knife import Knife
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.shown import caliper_length
from bladegeom.quantities.units import show_length

_HARD: Phase = "after hardening"


def sunk(knife: Knife, at: Sequence[Stack]) -> Iterator[CardRow]:
    """Everything with a depth, both scales alike, while their outsides are flat."""
    tilt = level(knife)
    for pocket in _alike(at, Pocket):
        yield _pocket(pocket, tilt)
    for counterbore in _alike(at, Counterbore):
        yield _counterbore(counterbore, tilt, counterbore.sunk.depth, counterbore.makes)
    for countersink in _alike(at, Countersink):
        yield from _countersink(countersink, tilt)


S = TypeVar("S", Pocket, Counterbore, Countersink)


@dataclass(frozen=True)
class _Alike(Generic[S]):
    """Bores of one size and depth, at one fastener each."""

    at: Sequence[tuple[Stack, Cut, S]]

    @property
    def stack(self) -> Stack:
        """The first of them."""
        return self.at[0][0]

    @property
    def bore(self) -> Bore:
        """Of all of them."""
        return self.at[0][1].bore

    @property
    def sunk(self) -> S:
        """How deep and for what, all of them."""
        return self.at[0][2]

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Of the holes."""
        return by_name(stack.layers.name for stack, _, _ in self.at)

    @property
    def makes(self) -> tuple[PieceBore, ...]:
        """What is finished."""
        shape = self.bore.shape
        return tuple(
            feature
            for name in self.names
            for feature in (
                PieceBore(hole=name, piece="right scale", shape=shape),
                PieceBore(hole=name, piece="left scale", shape=shape),
            )
        )

    @property
    def allowed(self) -> float:
        """By which a depth may stray, mm."""
        return self.stack.layers.knife.shop.tolerances.depth_stop


def _alike(at: Sequence[Stack], kind: type[S]) -> Iterator[_Alike[S]]:
    found = [(stack, cut, cut.sunk) for stack in at for cut in stack.cuts if isinstance(cut.sunk, kind)]
    for _, group in grouped((_reads(*each_sunk), each_sunk) for each_sunk in found):
        yield _Alike(group)


def _reads(stack: Stack, cut: Cut, sunk: Sunk) -> Hashable:
    """What makes two bores one row: size, depth, what goes in, and what lies on and under them."""
    layers = stack.layers
    return (
        cut.bore,
        sunk.lets_in,
        to_compare(sunk.depth.nominal),
        to_compare(layers.liner.nominal),
        layers.hole.diameter,
    )


def _pocket(group: _Alike[Pocket], tilt: Level) -> CardRow:
    layers, bore = group.stack.layers, group.bore
    sheets, glued = layers.liner.nominal, layers.glued_liner.nominal > 0
    liners = f" Liners off; with them on, set {show_length(group.sunk.depth.nominal + sheets)}." if sheets else ""
    if glued:
        liners = f" Through the glued liners, {show_length(sheets)}, into the scale."
    return CardRow(
        holes=group.names,
        part="both scales",
        operation="sink the pocket, flat-bottomed",
        tool=flat_tool(bore, group.sunk.lets_in),
        phase=_HARD,
        makes=(*_liners_opened(group), *group.makes) if glued else group.makes,
        depth=group.sunk.depth,
        face="liner's inside face" if glued else "bare inside face" if sheets else "inside face",
        note=f"{_CENTRED}{liners} {_no_twist_drill(group)}"
        + tilt.loose(bore.diameter, inside_up=True, allowed=group.allowed),
    )


def _liners_opened(group: _Alike[Pocket]) -> Iterator[PieceBore]:
    """Glued liners, which the pocket goes through, where the screw's hole has not opened them as wide."""
    if group.stack.layers.hole.diameter < group.bore.diameter:
        for name in group.names:
            yield PieceBore(hole=name, piece="right liner", shape="through hole")
            yield PieceBore(hole=name, piece="left liner", shape="through hole")


_CENTRED = "Bring the hole under a rod of its size in the chuck, clamp the scale, then change tools."
_FLAT = "On the flat slab, depth from its face."


def _no_twist_drill(group: _Alike[Pocket]) -> str:
    """What a twist drill would do to the floor; at the screw's hole, where the floor is thinnest."""
    deeper = point_depth(group.bore.diameter)
    text = f"Not with a twist drill's point: it goes {show_length(deeper)} deeper than its rim"
    floor = min(sunk.floor.nominal for _, _, sunk in group.at)
    left = floor - (deeper - point_depth(group.stack.layers.hole.diameter))
    if floor <= 0:
        return "There is no floor: pocket and countersink meet."
    if left <= 0:
        return f"{text} and would break through the floor of {show_length(floor)}."
    return f"{text} and would leave {caliper_length(left)} of the floor of {caliper_length(floor)} at the screw's hole."


def _counterbore(group: _Alike[S], tilt: Level, depth: Interval, makes: tuple[PieceBore, ...]) -> CardRow:
    bore = group.bore
    return CardRow(
        holes=group.names,
        part="both scales",
        operation="counterbore for the head, before contouring",
        tool=flat_tool(bore, group.sunk.lets_in),
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


def _countersink(group: _Alike[Countersink], tilt: Level) -> Iterator[CardRow]:
    seat, bore = group.sunk.straight, group.bore
    bored = to_compare(seat.nominal) > 0
    if bored:
        yield _counterbore(group, tilt, seat, ())
    deep = group.sunk.depth
    feed = Interval(deep.low - seat.low, deep.nominal - seat.nominal, deep.high - seat.high) if bored else deep
    least = group.sunk.measured
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
