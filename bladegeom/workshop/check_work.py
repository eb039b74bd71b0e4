"""The work as the maker has settled it: what contradicts the order, and what has no place on the design."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.order.excluding import exclude
from bladegeom.order.order import Order
from bladegeom.order.order_ways import Finish
from bladegeom.order.ordered import HARDNESS, measure_name, measured_ways, ordered_limits
from bladegeom.order.rules_use import wanted
from bladegeom.quantities.allergens import names_allergen
from bladegeom.workshop.blade_work import made_words, marked_apart, marks_of
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.said_in_ways import said_in_ways
from bladegeom.workshop.work import Glue, Work


def work_against_order(work: Work, order: Order, knife: Knife) -> Iterator[Finding]:
    """Where the work as it is settled, and what the order asks of it in numbers or in words, do not go together."""
    yield from _hardness(work, order)
    yield from _finishes(work, order, knife)
    yield from said_in_ways(work, order, knife)


def _hardness(work: Work, order: Order) -> Iterator[Finding]:
    """A window of hardness of the maker's that reaches out of the order's: the blade may end up in what is left over.

    Windows that have nothing in common are told where the requirement lands.
    """
    if work.hardness is None:
        return
    low, high = work.hardness
    least, most = ordered_limits(order, HARDNESS)
    under, over = least is not None and low < least, most is not None and high > most
    apart = (least is not None and high < least) or (most is not None and low > most)
    if apart or not (under or over):
        return
    asking = [requirement for requirement, way in measured_ways(order) if measure_name(way) == HARDNESS]
    yield Finding(
        code="work-hardness",
        severity="error" if any(requirement.weight == "must" for requirement in asking) else "warning",
        part="order",
        message=f"the work tempers to {low:g} to {high:g} HRC, and the order wants {_window(least, most)} "
        f"({', '.join(requirement.name for requirement in asking)}): temper inside it, or settle it with the customer",
        measured=low if under else high,
        limit=least if under else most,
        source="the order",
    )


def _finishes(work: Work, order: Order, knife: Knife) -> Iterator[Finding]:
    """A surface or a mark that the work makes in one way, and the order wants in another."""
    mark = work.mark or "; ".join(filter(None, map(made_words, marks_of(knife))))
    for requirement, way in wanted(order, Finish):
        made = {"surface": work.finish, "mark": mark}.get(way.operation, "")  # type: ignore[union-attr]  # a Finish
        if exclude(made, way.finish):  # type: ignore[union-attr]
            yield Finding(
                code="work-finish",
                severity="error" if requirement.weight == "must" else "warning",
                part="order",
                message=f"the work says {made!r}, and {requirement.name} wants {way.finish!r}: settle which counts",  # type: ignore[union-attr]
                source="the order",
            )


def allergens_in_work(work: Work, steps: Sequence[Operation], order: Order | None, knife: Knife) -> Iterator[Finding]:
    """What the work, or a step of the maker's own, brings to the knife and the customer is allergic to.

    Args:
        work: As settled; its glue counts where there are scales.
        steps: Of the maker's own.
        order: Of the customer; None has no allergies.
        knife: The design.
    """
    texts = [(f"the step {step.title!r}", " ".join((step.title, *step.tasks, step.finish))) for step in steps]
    if knife.scales is not None:
        texts.append(("the glue", work.glue.name))
    for allergy in () if order is None else order.allergies:
        for where, text in texts:
            if names_allergen(allergy, text):
                yield Finding(
                    code="work-allergy",
                    severity="warning",
                    part="order",
                    message=f"an allergy to {allergy} is named, and {where} says {text!r}: take another, or let the "
                    "customer decide. How much reaches the skin nobody knows here; a doctor does",
                    source="the order and the work as declared",
                )


def unused_work(work: Work, knife: Knife) -> Iterator[Finding]:
    """What is settled and has no place on this knife."""
    for what, why in _unused(work, knife):
        yield Finding(
            code="work-unused",
            severity="warning",
            part="route",
            message=f"the work names {what}, and {why}: it is done nowhere; take it out, or change the design",
            source="the work as declared",
        )


def marks_against_work(work: Work, knife: Knife) -> Iterator[Finding]:
    """A mark whose field tells another way to make it than the work does."""
    for mark, told in marked_apart(work, marks_of(knife)):
        yield Finding(
            code="work-mark",
            severity="warning",
            part="route",
            message=f"the work says {work.mark!r}, and the field of the mark {mark.text!r} says {told}: its lines are "
            "checked for the latter; settle which counts",
            source="the work as declared",
            x=mark.x,
            y=mark.y,
        )


def _window(least: float | None, most: float | None) -> str:
    if least is None:
        return f"at most {most:g} HRC"
    return f"at least {least:g} HRC" if most is None else f"{least:g} to {most:g} HRC"


def _unused(work: Work, knife: Knife) -> Iterator[tuple[str, str]]:
    """What has no place on this knife, and why."""
    metal = knife.stock.material
    if metal.kind != "steel":
        hot = {"a hardness": work.hardness, "a heat treatment": work.treatment, "quench plates": work.plates}
        yield from ((what, f"{metal.name} is not hardened") for what, value in hot.items() if value is not None)
    if work.mark and not marks_of(knife):
        yield f"a way to mark ({work.mark})", "the design has no field for a mark"
    if work.glue != Glue() and knife.scales is None:
        yield f"a glue ({work.glue.name})", "the design has no scales"
