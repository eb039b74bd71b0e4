"""The order beside the design: every requirement must land somewhere, every change must be answered and arrive.

Rules of the order and the design alone are files in the room of orders; those that know where requirements land, or the
work, are files here. Nothing else names them.
"""

from __future__ import annotations

from collections.abc import Iterable

from bladegeom.knife.finding import Findings
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import rules_in
from bladegeom.order.order import Order
from bladegeom.quantities.declared import checked
from bladegeom.signoff.asked import Asked
from bladegeom.signoff.traceability import landings
from bladegeom.workshop.route import Route
from bladegeom.workshop.work import Work


def check_order(
    order: Order, knife: Knife, operations: Iterable[str] | None = None, work: Work | None = None
) -> Findings:
    """Everything there is to say about an order and a design that is to meet it, errors first.

    Args:
        order: The order.
        knife: The design.
        operations: Keys of the steps of its route, to which requirements are bound; None takes the route that follows
            from design and order.
        work: What the maker has settled, such as the steel's treatment, which must not contradict the order; None has
            settled nothing.

    Raises:
        ParameterError: No order, no knife, or no work.

    >>> import datetime
    >>> from bladegeom import Measured, Order, Requirement
    >>> way = Measured(measure="blade length", nominal=110.0, tolerance=1.0)
    >>> wish = Requirement(number=1, text="a blade of 110 mm", concerns="blade", met=way)
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> check_order(order, knife)
    ()
    """
    checked("check_order: order", order, Order)
    checked("check_order: knife", knife, Knife)
    checked("check_order: work", work, Work | None)
    asked = Asked(order, knife, landings(order, knife, operations, work), work)
    found = [
        *(finding for rule in rules_in("bladegeom.order") for finding in rule(order, knife)),
        *(finding for rule in rules_in("bladegeom.signoff") for finding in rule(asked)),
    ]
    return Findings.ranked(found)


def check_made(work: Route) -> Findings:
    """What there is to say about the order of a route: of the order itself, and of work that is not done as it asks.

    Args:
        work: The route, with its order; one without any has nothing to say.
    """
    if work.order is None:
        return Findings()
    of_work = (finding for finding in work.findings if finding.severity == "error" or finding.part == "order")
    of_order = check_order(work.order, work.knife, work.keys, work.settled)
    return Findings.ranked((*of_order, *of_work))
