"""Hardware to buy for one knife: sizes, numbers, and rod by its whole length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.drilling.fit import sawn_alike, sawn_length
from bladegeom.drilling.row import grouped
from bladegeom.fasteners.stack import Stack
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_rod import RodStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.knife.hardware.pin import Pin, Tube
from bladegeom.knife.hardware.standoff import StandoffScrews
from bladegeom.quantities.sold_lengths import SoldLength
from bladegeom.quantities.units import show_length, show_room

SAW_CUT = 1.5
"""Lost of a rod at each piece, mm; own choice: a hacksaw's kerf, and what squares the end."""


def hardware_lines(at: Sequence[Stack]) -> tuple[str, ...]:
    """A line for everything that is bought, from the stacks of all fasteners."""
    return (
        *_standoffs([one for one in at if isinstance(one, StandoffStack)]),
        *_bolts([one for one in at if isinstance(one, BoltStack)]),
        *_rods([one for one in at if isinstance(one, RodStack)]),
    )


def _standoffs(at: Sequence[StandoffStack]) -> Iterator[str]:
    sleeves = (
        (one.standoff.screw, one.standoff.diameter, one.standoff.length, one.standoff.materials[0][1]) for one in at
    )
    for (thread, diameter, length, metal), group in grouped(zip(sleeves, at, strict=True)):
        yield (
            f"Standoffs: {len(group)} of {metal.name}, round, tapped {thread.name} right through, "
            f"{show_length(diameter)} in diameter, {show_length(length)} long."
        )
    screws = ((one.standoff.screw, one.standoff.screw_head, one.screw, one.standoff.materials[1][1]) for one in at)
    for (thread, head, screw, metal), group in grouped(zip(screws, at, strict=True)):
        yield (
            f"Screws: {2 * len(group)} of {metal.name}, "
            f"{thread.name} x {_over_all(group[0].standoff, screw)} over all, "
            f"countersunk {head.angle_deg:g} degrees, {head.standard}."
        )


def box_length(one: StandoffScrews, screw: SoldLength) -> str:
    """The length on the box; of a screw to be cut, the next one that is sold."""
    longer = next((sold for sold in one.lengths if sold.length > screw.length), None)
    return screw.name if screw in one.lengths else longer.name if longer else "any longer"


def _over_all(one: StandoffScrews, screw: SoldLength) -> str:
    box = box_length(one, screw)
    return box if screw in one.lengths else f"{box}, cut to {screw.name}"


def _bolts(at: Sequence[BoltStack]) -> Iterator[str]:
    for one, group in grouped((stack.bolt, stack) for stack in at):
        yield (
            f"Shouldered bolts: {len(group)} pairs of {one.materials[0][1].name}, {one.screw.name}: "
            f"heads {show_length(one.head_diameter)} by {show_length(one.head_height)}, "
            f"shoulders {show_length(one.shoulder_diameter)} by {show_length(one.shoulder_length)}, "
            f"stud {show_length(one.stud_length)}."
        )


def _rods(at: Sequence[RodStack]) -> Iterator[str]:
    for words, group in grouped((_rod(one.rod), one) for one in at):
        sawn = [(len(alike), sawn_length(alike)) for alike in sawn_alike(group)]
        pieces = ", ".join(f"{count} of {show_length(long)}" for count, long in sawn)
        whole = sum(count * (long + SAW_CUT) for count, long in sawn)
        yield f"{words}: {show_room(whole)} in all for {pieces}, {show_length(SAW_CUT)} a saw cut."


def _rod(one: Pin | Tube) -> str:
    metal = one.materials[0][1].name
    match one:
        case Pin():
            return f"Rod of {metal}, {show_length(one.diameter)} in diameter"
        case Tube():
            return f"Tube of {metal}, {show_length(one.outside)} outside, {show_length(one.inside)} inside"
