"""The order beside the design: every requirement must land somewhere, every change must be answered and arrive."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from bladegeom.checks.letters import letter_findings
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.order.check_changes import check_changes
from bladegeom.order.measures import LENGTHS
from bladegeom.order.order import Order
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.signoff.contradictions import contradictions
from bladegeom.signoff.traceability import Landing, landings
from bladegeom.workshop.check_work import work_against_order
from bladegeom.workshop.route import Route
from bladegeom.workshop.work import Work

_OWN: Final = "the order"
OF_REQUIREMENT: Final = f"{_OWN}, requirement "
"""So begins the source of a finding that says where one requirement does not land."""

_LATER: Final = {
    "order-feature": "declare it in the design, or settle it with the customer and date it as a change",
    "order-material": "change the design, or settle it with the customer and date it as a change",
    "order-measure": "change the design, or settle it with the customer and date it as a change",
}
"""Ways out that hold for all findings of a code."""


def check_order(
    order: Order, knife: Knife, operations: Iterable[str] | None = None, work: Work | None = None
) -> tuple[Finding, ...]:
    """Everything there is to say about an order and a design that is to meet it, errors first.

    Args:
        order: The order.
        knife: The design.
        operations: Keys of the steps of its route, to which requirements are bound; None takes the route that follows
            from design and order.
        work: What the maker has settled, such as the steel's treatment, which must not contradict the order; None has
            settled nothing.
    """
    landed = landings(order, knife, operations, work)
    found = [
        *(finding for landing in landed if (finding := _finding(landing))),
        *_facts_without_requirement(order),
        *check_changes(order),
        *contradictions(order, knife),
        *(() if work is None else work_against_order(work, order, knife)),
        *_unknown_length(order),
        *_empty(order),
        *letter_findings(order, "order"),
    ]
    return tuple(sorted(found, key=lambda finding: finding.rank))


def check_made(work: Route) -> tuple[Finding, ...]:
    """What there is to say about the order of a route: of the order itself, and of work that is not done as it asks.

    Args:
        work: The route, with its order; one without any has nothing to say.
    """
    if work.order is None:
        return ()
    of_work = (one for one in work.findings if one.severity == "error" or one.part == "order")
    of_order = check_order(work.order, work.knife, work.keys, work.settled)
    return tuple(sorted((*of_order, *of_work), key=lambda finding: finding.rank))


def _finding(landing: Landing) -> Finding | None:
    """What to say of a requirement that does not land."""
    if landing.lands:
        return None
    one = landing.requirement
    way_out = _LATER.get(landing.code, "")
    message = f"{one.name}, a {one.weight}: {landing.words}" + (f"; {way_out}" if way_out else "")
    if landing.state == "open":
        asked = "the knife cannot be made before it is decided" if one.open_must else "ask the customer"
        message = f"{one.name} is open: {asked}"
    return Finding(
        code="order-open-must" if one.open_must else landing.code,
        severity=_severity(landing),
        part="order",
        message=message,
        measured=landing.measured,
        limit=landing.limit,
        source=f"{OF_REQUIREMENT}{one.number}",
    )


def _severity(landing: Landing) -> Severity:
    one = landing.requirement
    return "error" if one.weight == "must" or one.open_must else "warning"


def _facts_without_requirement(order: Order) -> Iterator[Finding]:
    """Facts that only a requirement carries to the bench; the rest is compared with the design or printed."""
    subjects = {one.concerns for one in order.requirements}
    for has, subject, told in (
        (order.sheath is not None, "sheath", "a sheath is ordered"),
        (bool(order.allergies), "care", f"an allergy is named ({', '.join(order.allergies)})"),
        (order.delivery is not None and order.delivery.gift, "delivery", "it is a gift, without an invoice in the box"),
    ):
        if has and subject not in subjects:
            yield Finding(
                code="order-fact",
                severity="warning",
                part="order",
                message=(
                    f'{told}, and no requirement concerns "{subject}": nobody will check it; '
                    "write one with how it is met"
                ),
                source="an intake sheet: every field must land somewhere; common practice, no source",
            )


def _unknown_length(order: Order) -> Iterator[Finding]:
    if order.length_limit is not None and order.length_measure not in LENGTHS:
        error = UnknownNameError("convention of a length", order.length_measure, LENGTHS)
        text = f"length limit: {error}"
        yield Finding(code="order-unknown", severity="error", part="order", message=text, source=_OWN)


def _empty(order: Order) -> Iterator[Finding]:
    if not order.requirements:
        text = "the order has no requirements: write down each wish, with how it is met"
        yield Finding(code="order-empty", severity="error", part="order", message=text, source=_OWN)
