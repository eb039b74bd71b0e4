"""What the first page says in words: hardware and depth stops, heat treatment, bevels, the musts of the order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.design.design import Design
from bladegeom.drilling.card import drill_card
from bladegeom.drilling.row import CardRow
from bladegeom.drilling.steel import before_reamer
from bladegeom.drilling.tool import drill_of, shelf_of
from bladegeom.fasteners.alike import by_name, grouped
from bladegeom.fasteners.hardware import Stack
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_summary import declared_numbers, declared_words
from bladegeom.grinding.grind_words import side_words, tang_range, taper_words
from bladegeom.knife.hole import Made
from bladegeom.knife.knife import Knife
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.shown import (
    caliper_length,
    depth_stop,
    hand_angle,
    oven_range,
    oven_temperature,
    sawn_length,
    scribed_length,
    sold_thickness,
)
from bladegeom.quantities.temper_table import often
from bladegeom.quantities.temperature import both_scales
from bladegeom.signoff.order_lines import STATES
from bladegeom.workshop.heat_treat import DEFER, HeatTreatCard

_MARKED: Final = "face on the tang"
"""From where a drill only marks a scale: no depth that a stop is set to for good."""


def bevel_lines(sheet: GrindSheet) -> Iterator[str]:
    """The faces in the order of the work, how it is sharpened, and a taper."""
    knife = sheet.knife
    faces = (declared_words(face.kind, declared_numbers(face, knife.grind.faces)) for face in sheet.in_order)
    sharp = f"Sharpened at {hand_angle(knife.grind.sharpen_deg)} {side_words(knife.grind.only)}."
    yield f"Ground {'; then '.join(faces)}. {sharp}"
    if knife.stock.taper:
        yield f"Bar {taper_words(knife.stock.taper, tang_range(knife))}."


def hole_places(knife: Knife) -> tuple[tuple[str, ...], ...]:
    """A row for each place of the drill card: name, along, off, diameter, with what."""
    return tuple(
        (
            place.name,
            alone(scribed_length(place.along)).text,
            alone(scribed_length(place.off)).text,
            alone(caliper_length(place.diameter)).text,
            _made(knife, place.diameter, place.made),
        )
        for place in drill_card(knife).places
    )


def sections_said(sheet: GrindSheet) -> str:
    """What stands beside the sections, and under them."""
    told = "right face to the right; at heights over the edge and at the spine"
    return f"{told}; below, how far ahead of the front, the angle {side_words(sheet.knife.grind.only)}"


def holes_said(knife: Knife) -> str:
    """From where the places of the table are told."""
    side = drill_card(knife).datum.side
    return f"along from a square at the butt, off from a straightedge on the {side}'s side: chain lines above"


def hardware_lines(knife: Knife) -> Iterator[str]:
    """What goes in at each fastener, then every stop that a depth is set to."""
    card = drill_card(knife)
    for _, alike in grouped((_hardware_words((stack,)), stack) for stack in card.stacks):
        yield f"{', '.join(by_name(stack.layers.name for stack in alike))}: {_hardware_words(alike)}"
    stops = ((_stop_words(row), row) for row in card.steps if row.depth is not None and row.face != _MARKED)
    for told, rows in grouped(stops):
        yield f"{', '.join(by_name({name for row in rows for name in row.holes}))}: {told}"


def heat_lines(design: Design) -> Iterator[str]:
    """Hardening, quench, temper and what comes first; nothing where the blade is not hardened."""
    if not design.knife.stock.hardens:
        return
    card = design.heat_treat_card
    if card is None:
        yield f"No recipe for {design.knife.stock.material.name} is known here: copy it from the data sheet. The route."
        return
    steel = card.treatment
    hot = oven_temperature(steel.austenitize_c)
    soak = both_scales(steel.soak) or "see the data sheet"
    yield f"Harden at {hot}, range {oven_range(*steel.austenitize_range_c)}; soak: {soak}."
    cold = f" Cold treatment: {both_scales(steel.cold)}." if steel.cold else ""
    yield f"Quench: {both_scales(steel.quench) or 'see the data sheet'}.{cold}"
    waits = [wait.text for step in design.route.operations if step.key == "temper" for wait in step.waits]
    yield " ".join(_temper_words(card, waits))
    yield DEFER


def must_rows(design: Design) -> tuple[tuple[str, str], ...]:
    """Number and customer's words of each must, with what does not land."""
    order = design.order
    if order is None:
        return ()
    wrong = {landing.requirement.number: STATES[landing.state] for landing in design.landings if not landing.lands}
    return tuple(
        (f"{wanted.number}", f"{wanted.text}{f' ({wrong[wanted.number]})' if wanted.number in wrong else ''}")
        for wanted in order.requirements
        if wanted.weight == "must"
    )


def musts_title(design: Design) -> str:
    """Whose order it is, and by when."""
    order = design.order
    if order is None:
        return ""
    until = f", needed by {order.needed_by}" if order.needed_by else ""
    return f"Musts of order {order.number} for {order.customer}{until}"


def _made(knife: Knife, diameter: float, made: Made) -> str:
    """The drill by name, or how else the hole comes about."""
    if made == "cut":
        return "cut"
    if made == "reamed":
        return f"{before_reamer(diameter, knife.shop.drills).name}, ream"
    known = drill_of(diameter, shelf_of(knife))
    return known.name if known else "drill"


def _hardware_words(alike: Sequence[Stack]) -> str:
    """What it is, with the length that is picked or sawn; else all that its maker must know to buy it."""
    stack = alike[0]
    if stack.screw is not None:
        return f"{stack.hardware.kind} {stack.screw.name}"
    if (rod := stack.rod) is not None:
        return f"{stack.hardware.kind} {sold_thickness(rod.diameter)}, sawn {sawn_length(rod.length)}"
    return " ".join(type(stack).to_buy(alike))


def _stop_words(row: CardRow) -> str:
    stop = "" if row.depth is None else depth_stop(row.depth.nominal)
    return f"{row.operation}: stop {stop} from the {row.face}"


def _temper_words(card: HeatTreatCard, waits: Sequence[str]) -> Iterator[str]:
    steel, advice, wanted = card.treatment, card.temper, card.work.hardness
    each = " each" if steel.temper_count > 1 else ""
    at = "" if advice is None else f" at {oven_temperature(advice.aim)}"
    yield f"Temper {often(steel.temper_count)}{at}{''.join(f', {wait}{each}' for wait in waits)};"
    yield (
        f"hardness wanted {wanted[0]:g} to {wanted[1]:g} HRC." if wanted else "hardness as the table in The route says."
    )
    for avoided in steel.avoid:
        within = advice is not None and avoided.low_c < advice.aim < avoided.high_c
        but = ": it is, see The route" if within else ""
        yield f"Not from {oven_range(avoided.low_c, avoided.high_c)}{but}."
