"""Standoffs and screws on the papers: what to buy, what to do at the bench, and screws that differ."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.fasteners.alike import grouped
from bladegeom.fasteners.stack_fix import fits
from bladegeom.fasteners.stack_parts import Fitting
from bladegeom.fasteners.standoff.declared import DeclaredStandoff
from bladegeom.fasteners.standoff.numbers import StandoffNumbers
from bladegeom.knife.finding import Finding
from bladegeom.quantities.sold_lengths import SoldLength
from bladegeom.quantities.units import show_length, show_mm


def standoffs_to_buy(at: Sequence[StandoffNumbers]) -> Iterator[str]:
    """Sleeves, and screws."""
    sleeves = (
        (stack.hardware.screw, stack.hardware.diameter, stack.hardware.length, stack.hardware.materials[0][1])
        for stack in at
    )
    for (thread, diameter, length, metal), group in grouped(zip(sleeves, at, strict=True)):
        yield (
            f"Standoffs: {len(group)} of {metal.name}, round, tapped {thread.name} right through, "
            f"{show_length(diameter)} in diameter, {show_length(length)} long."
        )
    screws = (
        (stack.hardware.screw, stack.hardware.screw_head, stack.screw, stack.hardware.materials[1][1]) for stack in at
    )
    for (thread, head, screw, metal), group in grouped(zip(screws, at, strict=True)):
        yield (
            f"Screws: {2 * len(group)} of {metal.name}, "
            f"{thread.name} x {_over_all(group[0].hardware, screw)} over all, "
            f"countersunk {head.angle_deg:g} degrees, {head.standard}."
        )


def standoff_pieces(stack: StandoffNumbers) -> tuple[str, ...]:
    """Names by which a price list knows a sleeve and two screws."""
    standoff = stack.hardware
    (_, sleeve), (_, screw) = standoff.materials
    thread = standoff.screw.name
    screws = f"screw {thread}, {screw.name}, {_box_length(standoff, stack.screw)}"
    return (
        f"standoff {thread}, {sleeve.name}, {show_mm(standoff.diameter)} x {show_mm(standoff.length)} mm",
        screws,
        screws,
    )


def _box_length(standoff: DeclaredStandoff, screw: SoldLength) -> str:
    """The length on the box; of a screw to be cut, the next one that is sold."""
    longer = next((sold for sold in standoff.lengths if sold.length > screw.length), None)
    return screw.name if screw in standoff.lengths else longer.name if longer else "any longer"


def _over_all(standoff: DeclaredStandoff, screw: SoldLength) -> str:
    box = _box_length(standoff, screw)
    return box if screw in standoff.lengths else f"{box}, cut to {screw.name}"


def standoff_work(at: Sequence[StandoffNumbers]) -> Iterator[Fitting]:
    """Sleeves to length, then screws that are not sold so short."""
    for standoff, group in grouped((stack.hardware, stack) for stack in at):
        yield Fitting(
            holes=tuple(stack.layers.name for stack in group),
            part="standoffs",
            operation=f"face the sleeve to {show_length(standoff.length)}, "
            f"within {show_length(group[0].layers.knife.shop.tolerances.sleeve)}",
            tool=f"standoff {standoff.screw.name}, {show_length(standoff.diameter)}; lathe or file in a jig, caliper",
            note=f"{len(group)} to face, or to measure as bought; ends square, thread clear at both ends.",
            measures=True,
        )
    cut = [stack for stack in at if stack.screw not in stack.hardware.lengths]
    for (thread, screw), group in grouped(((stack.hardware.screw, stack.screw), stack) for stack in cut):
        yield Fitting(
            holes=tuple(stack.layers.name for stack in group),
            part="screws",
            operation=f"cut to {show_length(screw.length)} over all, "
            f"within {show_length(group[0].layers.knife.shop.tolerances.screw)}",
            tool=f"screw {thread.name}, hacksaw or disc",
            note=f"{2 * len(group)} to cut. A nut on first: run off over the cut, it clears the thread.",
            measures=True,
        )


def screws_differ(at: Sequence[StandoffNumbers]) -> Iterator[Finding]:
    """Screws chosen for each place that come out of different lengths, where the standoffs are alike."""
    for hardware, group in grouped((stack.hardware, stack) for stack in at):
        names = {stack.layers.name: stack.screw.name for stack in group}
        if hardware.screw_length is not None or len(set(names.values())) == 1:
            continue
        told = ", ".join(f"{name} takes {names[name]}" for name in sorted(names))
        yield Finding(
            code="screws-differ",
            severity="note",
            part=min(names),
            message=f"standoffs that are alike take screws of different lengths: {told}; {_common(group)}",
            source="the layers at each place",
        )


def _common(group: Sequence[StandoffNumbers]) -> str:
    """The longest screws as they are sold that serve everywhere."""
    shortest = min(stack.screw.length for stack in group)
    # Whose tips clash in one place, by more than a rounding can hide, serve in none: one step longer is tried at most.
    longer = sum(sold.length <= shortest for sold in group[0].hardware.lengths) + 1
    for sold in reversed(group[0].hardware.lengths[:longer]):
        if fits(group, {"screw_length": sold.name}):
            return f"{sold.name} screws serve in all of them (screw_length={sold.name!r})"
    return "do not mix them up, no one length serves in all of them"
