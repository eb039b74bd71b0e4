"""An order as lines of text: its facts, and where each requirement lands."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.order.order import Change, Order
from bladegeom.quantities.customer_units import asked_length
from bladegeom.quantities.shown import rule_length, sold_thickness
from bladegeom.signoff.rules_landing import OF_REQUIREMENT
from bladegeom.signoff.traceability import Landing, State

STATES: Final[dict[State, str]] = {
    "met": "met",
    "later": "at the bench",
    "missed": "NOT MET",
    "unknown": "NO SUCH",
    "nowhere": "NOWHERE",
    "open": "OPEN",
}


def fact_lines(order: Order) -> tuple[str, ...]:
    """Everything that the order tells besides its requirements, one fact to a line; what was not told is left out."""
    return (*_person(order), *_use(order), *_things(order), *_terms(order))


def traceability_lines(order: Order, landed: Sequence[Landing], findings: Sequence[Finding]) -> tuple[str, ...]:
    """Head, facts, every requirement with where it lands, changes, findings, and whether it is complete.

    Args:
        order: The order.
        landed: Its landings on the design.
        findings: Of the order.
    """
    return (
        *_head(order),
        *(f"  {line}" for line in fact_lines(order)),
        *_requirements(order, landed),
        *_changes(order.changes),
        *(
            f"{finding.severity} [{finding.code}] {finding.message}"
            for finding in findings
            if not finding.source.startswith(OF_REQUIREMENT)
        ),
        verdict(landed, findings),
    )


def is_complete(landed: Sequence[Landing], findings: Sequence[Finding]) -> bool:
    """Whether every requirement lands and no error stands."""
    return all(landing.lands for landing in landed) and not any(finding.severity == "error" for finding in findings)


def to_settle(findings: Sequence[Finding]) -> Iterator[Finding]:
    """Errors and warnings of an order besides what does not land."""
    return (
        finding for finding in findings if finding.severity != "note" and not finding.source.startswith(OF_REQUIREMENT)
    )


def verdict(landed: Sequence[Landing], findings: Sequence[Finding]) -> str:
    """The last line: complete, or what is missing, counted."""
    numbers = dict.fromkeys(landing.requirement.number for landing in landed)
    left = dict.fromkeys(landing.requirement.number for landing in landed if not landing.lands)
    errors = sum(finding.severity == "error" for finding in findings)
    if not numbers:
        return "NOT COMPLETE: the order has no requirements"
    if is_complete(landed, findings):
        later = sum(landing.state == "later" for landing in landed)
        count = f"{len(numbers)} requirement{' lands' if len(numbers) == 1 else 's land'}"
        ask = len(tuple(to_settle(findings)))
        but = f" but for {ask} question{'' if ask == 1 else 's'} to settle" if ask else ""
        return f"complete{but}: {count}; {len(landed) - later} met by the design, {later} to be shown at the bench"
    named = f" (number {', '.join(map(str, left))})" if left else ""
    wrong = f"{errors} error{'' if errors == 1 else 's'} of the order"
    return f"NOT COMPLETE: {len(left)} of {len(numbers)} requirements do not land{named}, {wrong}"


def _head(order: Order) -> Iterator[str]:
    count = "" if order.quantity == 1 else f", {order.quantity} of this design"
    until = f", needed by {order.needed_by}" if order.needed_by else ""
    yield f"order {order.number} for {order.customer}, of {order.date}{until}{count}"


def _person(order: Order) -> Iterator[str]:
    if order.hand is not None:
        yield f"hand: {order.hand}"
    if order.gloves:
        yield "held with gloves"
    if order.hand_breadth is not None:
        yield f"hand breadth: {rule_length(float(order.hand_breadth))}"
    if order.grip:
        yield f"grip: {order.grip}"
    if order.sharpening:
        yield f"sharpens with: {order.sharpening}"
    if order.allergies:
        yield f"allergies: {', '.join(order.allergies)}"


def _use(order: Order) -> Iterator[str]:
    for name, words in (("use", order.use), ("environment", order.environment)):
        if words:
            yield f"{name}: {', '.join(words)}"
    if order.cleaning is not None:
        yield f"cleaning: {order.cleaning}"
    if order.tang is not None:
        yield f"tang: {order.tang}"
    if order.length_limit is not None:
        yield f"length limit: {asked_length(float(order.length_limit))} by the measure {order.length_measure!r}"


def _things(order: Order) -> Iterator[str]:
    if (sheath := order.sheath) is not None:
        belt = "" if sheath.belt is None else f", belt {rule_length(float(sheath.belt))}"
        slot = "" if sheath.slot is None else f", slot {rule_length(float(sheath.slot))}"
        held = f", held by {sheath.retention}" if sheath.retention else ""
        lean = f", {sheath.angle_deg:g} degrees to upright" if sheath.angle_deg else ""
        loop = ", loop for a fire steel" if sheath.loop else ""
        yield f"sheath: {sheath.material}, {sheath.side_words}, {sheath.ride} ride{belt}{slot}{lean}{held}{loop}"
    for own in order.own_materials:
        thick = "" if own.thickness is None else f", {sold_thickness(float(own.thickness))}"
        enough = "" if own.enough_for is None else f", enough for {own.enough_for}"
        alone = ", there is no second piece" if own.irreplaceable else ""
        risk = f"; if it breaks: {own.risk}" if own.risk else ""
        yield f"brought by the customer: {own.what} for the {own.part}{thick}{enough}{alone}{risk}"
    for reference in order.references:
        yield f"like: {reference.what}; liked: {', '.join(reference.liked) or 'not told'}"


def _terms(order: Order) -> Iterator[str]:
    if (to := order.delivery) is not None:
        why = f" ({to.why})" if to.why else ""
        gift = "; a gift, no invoice in the box" if to.gift else ""
        yield f"delivery: {to.ship_to}{why}{gift}; pictures {'may' if to.photos else 'must not'} be shown"
    if (paid := order.payment) is not None:
        budget = "not told" if paid.budget is None else f"{paid.budget:g}"
        deposit = "by the price list" if paid.deposit is None else f"{paid.deposit:g}"
        yield f"budget: {budget}, deposit {deposit}; shipping: {paid.shipping}, tax: {paid.tax}"
    if order.lead is not None:
        each = (
            (field.name.replace("_", " "), getattr(order.lead, field.name)) for field in dataclasses.fields(order.lead)
        )
        parts = ", ".join(f"{name} {days:g}" for name, days in each if days)
        yield f"lead time: {order.lead.days:g} days from the order{f' ({parts})' if parts else ''}"
    if order.note:
        yield f"note: {order.note}"


def _requirements(order: Order, landed: Sequence[Landing]) -> Iterator[str]:
    for requirement in order.requirements:
        since = f", since {requirement.since}" if requirement.since else ""
        yield f"{requirement.number:3d}  {requirement.weight:<4}  {requirement.concerns}: {requirement.text}{since}"
        for landing in landed:
            if landing.requirement is requirement:
                yield f"           {STATES[landing.state]:<12}  {landing.words}"


def _changes(changes: Sequence[Change]) -> Iterator[str]:
    for change in changes:
        price = "" if change.price is None else f", price {change.price:g}"
        into = "" if change.requirement is None else f", requirement {change.requirement}"
        yield (
            f"change of {change.date}: {change.text}: "
            f"{change.answer}{price}{f', {change.gate}' if change.gate else ''}{into}"
        )
