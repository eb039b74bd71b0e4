"""What is measured on the finished knife, and what has been measured on the way: nominal, limits, and a blank."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from typing import Final

from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.knife import Knife
from bladegeom.order.measures import Measure, measure, measures
from bladegeom.order.order import Order
from bladegeom.order.ordered import HARDNESS, hand_checks, measure_name, measured_ways, ordered_limits
from bladegeom.workshop.heat_treat import HeatTreatCard
from bladegeom.workshop.operation import Number, Operation, own_blank
from bladegeom.workshop.pitches import grown_pitches, pitches
from bladegeom.workshop.sheath_work import sheath_blanks
from bladegeom.workshop.soft_work import drilled_when, edges

ALWAYS = (
    "overall length",
    "blade length",
    "blade height",
    "thickness",
    "mass",
    "balance",
    "handle length",
    "handle girth",
    "handle thickness",
)
"""Measures that every knife is inspected for, as far as it has them; the order's come on top."""


OPEN: Final = "no limits: written down as it is"
"""Of a measure that neither the order nor the shop limits."""

_CONTOURED: Final = "handle thickness"
"""A measure that both sides of a handle stray in as far as the shop contours them."""

_OF_THE_HAND: Final = "hand breadth"
"""A measure that no tool finds on the finished knife."""


def inspection(
    knife: Knife, sheet: GrindSheet, order: Order | None, card: HeatTreatCard | None, *, hardened: bool
) -> tuple[Number, ...]:
    """The list of a knife: lengths and weight, edge before and after hardening, pitches, hardness, fit.

    Args:
        knife: The design.
        sheet: Of its grind.
        order: Whose limits bind; None has none.
        card: Of its heat treatment, if there is one.
        hardened: Whether the blade is hardened at all.
    """
    # A measure that there is not is a finding of the check of the order, and has no line here.
    asked = dict.fromkeys(measure_name(way) for _, way in measured_ways(order) if measure_name(way) in measures())
    names = [name for name in dict.fromkeys((*ALWAYS, *asked)) if name not in (HARDNESS, _OF_THE_HAND)]
    return (
        *(line for name in names for line in _line(knife, measure(name), order)),
        *(tuple(edges(sheet, "rough")) if knife.grind.rough_edge is not None else ()),
        *edges(sheet, "finished"),
        *_pitches(knife, card, hardened=hardened),
        *((_hardness(order, card),) if hardened else ()),
        *_fit(knife),
        *(() if order is None or order.sheath is None else sheath_blanks(order.sheath)),
        *(
            Number(what=f"{way.look} (requirement {requirement.number})", unit="yes/no", note=f"signed by {way.signed}")
            for requirement, way in hand_checks(order)
        ),
    )


def carried_over(operations: Iterable[Operation]) -> Iterator[Number]:
    """What is measured or answered in steps of the maker's own; plain words stay on the step."""
    for operation in operations:
        for blank in operation.blanks:
            if blank.unit != "text":
                yield dataclasses.replace(blank, what=f"{blank.what} ({operation.title})")


def inspect_step(lines: tuple[Number, ...]) -> Operation:
    """The last step: all lines of the list."""
    return Operation(
        key="inspect",
        title="Inspect",
        tasks=(
            "Fill in every line; carry over what was measured before.",
            "A line outside its limits is told to the customer before the knife leaves.",
        ),
        blanks=lines,
        cautions=("It is sharp. Pack it so that the tip cannot pierce.",),
        need="what is not measured is not promised",
    )


def _line(knife: Knife, quantity: Measure, order: Order | None) -> Iterator[Number]:
    value, (low, high) = quantity.of(knife), ordered_limits(order, quantity.name)
    source = "the order" if (low, high) != (None, None) else ""
    if quantity.name == "balance" and not source and knife.balance_band is not None:
        band = knife.balance_band
        low, high, source = band.low, band.high, band.source
    if quantity.name == _CONTOURED and not source and value is not None:
        stray = 2 * knife.shop.tolerances.contour
        low, high, source = value - stray, value + stray, knife.shop.tolerances.source("contour")
    left_out = quantity.left_out(knife)
    before = "; told unsharpened" if quantity.name == "mass" and value is not None else ""
    if value is not None or source or left_out:
        yield Number(
            what=quantity.name,
            unit=quantity.unit,
            value=value,
            low=low,
            high=high,
            source=source,
            note=f"{quantity.how}; {quantity.tool}{before}{f'; with its {left_out}' if left_out else ''}",
            measure=quantity.name,
        )


def _hardness(order: Order | None, card: HeatTreatCard | None) -> Number:
    low, high = ordered_limits(order, HARDNESS)
    source = "the order" if (low, high) != (None, None) else ""
    if not source and card is not None and card.work.hardness is not None:
        (low, high), source = card.work.hardness, "set by the maker"
    return Number(
        what=HARDNESS, unit="HRC", low=low, high=high, source=source, note=measure(HARDNESS).how, measure=HARDNESS
    )


def _pitches(knife: Knife, card: HeatTreatCard | None, *, hardened: bool) -> Iterator[Number]:
    yield from pitches(knife, drilled_when(knife))
    if card is not None:
        yield from grown_pitches(knife, card.growth, card.growth_source)
    elif hardened:
        yield from grown_pitches(knife)


def _fit(knife: Knife) -> Iterator[Number]:
    if knife.scales is None:
        return
    yield own_blank("no gap between scales and tang", "yes/no")
    yield own_blank("fronts of the scales alike, no glue on the blade", "yes/no")
    if knife.fasteners:
        yield own_blank("hardware flush, nothing catches the hand", "yes/no")
