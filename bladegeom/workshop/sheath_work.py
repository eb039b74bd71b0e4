"""The step on the sheath, where an order has one: fitted to the finished knife while its edge is still taped."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.knife.knife import Knife
from bladegeom.order.measures import measure
from bladegeom.order.order_facts import Sheath
from bladegeom.order.rules_person import BELT_PLAY
from bladegeom.quantities.shown import from_to, rule_length
from bladegeom.workshop.operation import PRACTICE, Number, Operation, own_blank

SHEATH: Final = "sheath"
"""Key of the step."""

_FITTED: Final = ("blade length to handle", "blade height", "thickness", "handle height", "handle thickness")
"""Measures of the knife that a sheath is cut to."""


def sheath_step(knife: Knife, sheath: Sheath) -> Operation:
    """Pattern, welt, belt and hold, by what the order says of the sheath."""
    return Operation(
        key=SHEATH,
        title="Sheath",
        tasks=tuple(_tasks(sheath)),
        numbers=tuple(_numbers(knife)),
        blanks=sheath_blanks(sheath),
        cautions=(
            "Fitted to the taped blade, before it is sharpened; a hand never stands in the way of the tip.",
            "A blade that leather is wet-formed on rusts: wrap it, and dry the two apart.",
            "Contact glue and dye: fresh air, no flame. A sheet formed hot: heatproof gloves.",
        ),
        need="the order has a sheath",
    )


def sheath_blanks(sheath: Sheath) -> tuple[Number, ...]:
    """What is tried and measured on the sheath, in its step and at the inspection."""
    return (
        *_slot(sheath),
        own_blank(f"sheath for the {sheath.side_words}, as it is worn", "yes/no"),
        own_blank("upside down and shaken, the knife stays in the sheath", "yes/no"),
        own_blank("drawn and put back, the edge meets the welt and no stitch", "yes/no"),
    )


def _tasks(sheath: Sheath) -> Iterator[str]:
    lean = f", {sheath.angle_deg:g} degrees to upright" if sheath.angle_deg else ""
    yield f"Of {sheath.material}; worn on the {sheath.side_words}, {sheath.ride} ride{lean}."
    yield (
        "Trace the blade from the template; the pattern for the other side of the body is its mirror image. A welt "
        f"along the edge, at least as thick as the blade ({PRACTICE})."
    )
    if sheath.belt is not None or sheath.slot is not None:
        slot = "" if sheath.slot is None else f", slot of {rule_length(float(sheath.slot))}"
        belt = "the belt" if sheath.belt is None else f"a belt of {rule_length(float(sheath.belt))}"
        yield f"Carried on {belt}{slot}: a strip as wide as the belt passes before it is sewn."
    if sheath.retention:
        yield f"Held by: {sheath.retention}."
    if sheath.loop:
        yield "A loop for a fire steel."
    yield "Made by somebody else, it is tried and measured here all the same."


def _numbers(knife: Knife) -> Iterator[Number]:
    for quantity in map(measure, _FITTED):
        if (value := quantity.of(knife)) is not None:
            yield Number(what=quantity.name, unit=quantity.unit, value=value, note=quantity.how)


def _slot(sheath: Sheath) -> Iterator[Number]:
    """As wide as the order says, or by the belt's width; nothing where it tells neither."""
    slot = None if sheath.slot is None else float(sheath.slot)
    belt = None if sheath.belt is None else float(sheath.belt)
    if slot is None and belt is None:
        return
    least, most = (None, None) if belt is None else (belt + BELT_PLAY[0], belt + BELT_PLAY[1])
    if least is None or most is None or (slot is not None and not least <= slot <= most):
        # A slot that does not suit the belt is a finding of the order; limits that exclude it would help nobody.
        yield Number(what="slot of the sheath", value=slot, source="the order")
        return
    source = f"{PRACTICE}: {from_to(*map(rule_length, BELT_PLAY))} wider than the belt"
    yield Number(what="slot of the sheath", value=slot, low=least, high=most, source=source)
