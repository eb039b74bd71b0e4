"""What a heat treater outside the shop has to know of blades that are sent, in words.

Source:
    Common practice, no source, where no number of a table stands in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.design.design import Design
from bladegeom.knife.knife import Knife
from bladegeom.quantities.shown import (
    caliper_length,
    oven_range,
    oven_temperature,
    rule_length,
    scale_mass,
    sold_thickness,
)
from bladegeom.quantities.temper_table import often
from bladegeom.workshop.heat_treat import HeatTreatCard
from bladegeom.workshop.heat_work import WARP

MOST_SKIN: Final = 0.1
"""Scale and decarburised steel on each side that is put up with, mm. Source: common practice, no source."""


def sent_lines(design: Design) -> Iterator[str]:
    """In what state the blades come."""
    knife = design.knife
    _, y0, _, y1 = knife.outline.bounds
    x0, _, x1, _ = knife.outline.bounds
    size = f"{rule_length(x1 - x0)} long, {rule_length(y1 - y0)} high"
    yield f"{knife.stock.material.name}, annealed; each {size}, of stock {sold_thickness(knife.stock.thickness)} thick."
    yield _ground(knife)
    if card := design.heat_treat_card:
        yield f"Each weighs about {scale_mass(1000 * card.mass_kg)}."
    count = len(knife.openings)
    holes = "no holes" if not count else f"{count} hole{'' if count == 1 else 's'} in each, deburred"
    yield f"{holes[0].upper()}{holes[1:]}. Free of oil, scratches lengthwise; one alloy, marked on the tang."


def _ground(knife: Knife) -> str:
    edge, sides = knife.grind.rough_edge, "" if knife.grind.only is None else f" on the {knife.grind.only} side alone"
    if edge is None:
        return "Not ground: flat and of one thickness all over, the edge as thick as the rest."
    taper = ", tapered along its length" if knife.stock.taper else ""
    return f"Bevels ground before hardening{sides}{taper}: the edge is {caliper_length(edge)} thick, not sharp."


def wanted_lines(design: Design) -> Iterator[str]:
    """What is to be done."""
    hard = design.route.settled.hardness
    if hard is None:
        yield "Hardness after tempering: to be agreed on, see above; tested as the picture shows."
    else:
        low, high = hard
        yield f"{low:g} to {high:g} HRC after tempering, on each blade, tested as the picture shows (ISO 6508-1)."
    yield f"Straight: no more than {caliper_length(WARP)} of bow over the whole length, laid on a flat plate."
    yield (
        f"Vacuum, protective gas or foil: no more than {caliper_length(MOST_SKIN)} of scale or decarburised steel on "
        "a side."
    )
    yield "No cracks; tempered at once after the quench."
    if card := design.heat_treat_card:
        yield from _recipe(card)


def _recipe(card: HeatTreatCard) -> Iterator[str]:
    """What our table has, to compare with."""
    steel, advice = card.treatment, card.temper
    low, high = steel.austenitize_range_c
    hot = oven_temperature(low) if low == high else oven_range(low, high)
    warm = "" if advice is None else f" at {oven_range(advice.least, advice.most)}"
    yield (
        f"Your own recipe, by the steel maker's data sheet, comes first. To compare with: hardened from {hot}, "
        f"{'a cold treatment, ' if steel.cold else ''}tempered {often(steel.temper_count)}{warm}."
    )
    for avoided in steel.avoid:
        yield f"Not tempered from {oven_range(avoided.low_c, avoided.high_c)}: {avoided.why}."


def never_done(design: Design) -> Iterator[str]:
    """What must not be done to them."""
    yield "No straightening cold before the blades are tempered; later only warm, below the tempering temperature."
    yield "No blasting, tumbling or pickling: surfaces and edges stay as they are."
    if design.knife.openings:
        yield "No hole filled, welded or widened; hang a blade by a hole in its tang alone."
    yield "No mark, stamp or test print ahead of the handle front: that steel is seen."
    yield "No grinding, no sanding."
    yield "Not in one batch with another steel, and no blade unmarked."


def back_lines() -> Iterator[str]:
    """What comes back with them."""
    yield "All blades, also those that cracked or warped: say so, and do nothing more to them."
    yield "The hardness of each, and how it was treated: hardened from, quenched in, tempered at, times, cold."
    yield "Dry and oiled, each wrapped, the edges kept apart."


def count_of(design: Design) -> int | None:
    """How many blades; None where no order tells it."""
    return None if design.order is None else design.order.quantity


def hardness_words(design: Design) -> str:
    """Wanted after tempering; empty where nobody has told it."""
    hard = design.route.settled.hardness
    if hard is None:
        return ""
    low, high = hard
    return f"{low:g} HRC" if low == high else f"{low:g} to {high:g} HRC"
