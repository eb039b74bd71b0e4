"""What was said after the order was placed: each change is answered, and an accepted one stands in the requirements."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.order import Change, Order, Requirement
from bladegeom.order.order_ways import Feature

_SOURCE: Final = "written orders: every later word is dated and answered; common practice, no source"


@rule(
    Code("order-change-open", ("error",), "what was said later is not answered", missed=True),
    Code("order-change-lost", ("error",), "what was accepted stands in no requirement", missed=True),
    Code("order-change-missing", ("error",), "it comes from a change that nobody wrote down", missed=True),
    Code("order-change-refused", ("error",), "it was refused", missed=True),
    Code("order-change-date", ("error",), "it was said before the order", missed=True),
    Code("order-change-late", ("error", "warning"), "it needs a hole through hard steel", missed=True),
    Code("order-change-price", ("warning",), "an accepted change has no price"),
)
def check_changes(order: Order, _: Knife) -> Iterator[Finding]:
    """Findings about the changes of an order."""
    for change in order.changes:
        if change.date < order.date:
            yield _found("order-change-date", "error", f"{change.name} is dated before the order, {order.date}")
        if change.answer == "open":
            yield _found(
                "order-change-open", "error", f"{change.name} is not answered: accept or refuse it, with a price"
            )
        elif change.answer == "accepted":
            yield from _accepted(order, change)
        elif change.requirement is not None and _carries(order, change):
            text = f"{change.name} was refused, and requirement {change.requirement} carries its date: take it out"
            yield _found("order-change-refused", "error", text)
    for requirement in order.requirements:
        yield from _stray(order, requirement)


def _accepted(order: Order, change: Change) -> Iterator[Finding]:
    if change.requirement is None:
        text = f"{change.name} was accepted and names no requirement that says it: set requirement= to its number"
        yield _found("order-change-lost", "error", text)
    elif order.requirement(change.requirement) is None:
        text = (
            f"{change.name} was accepted into requirement {change.requirement}, which the order does not have: write it"
        )
        yield _found("order-change-lost", "error", text)
    elif not _carries(order, change):
        text = (
            f"{change.name} was accepted into requirement {change.requirement}, which does not say since when it "
            f"holds: reword it, and give it since={change.date}"
        )
        yield _found("order-change-lost", "error", text)
    elif change.gate == "after hardening" and (holes := _holes(order, change.requirement)):
        text = (
            f"{change.name} was accepted after hardening and needs a hole in the steel ({', '.join(holes)}): hard "
            "steel takes no twist drill; refuse it, or settle how it is done and its price"
        )
        wanted = order.requirement(change.requirement)
        must = wanted is not None and wanted.weight == "must"
        yield _found("order-change-late", "error" if must else "warning", text)
    missing = [name for name, value in (("price", change.price), ("gate", change.gate)) if value is None]
    if missing:
        text = f"{change.name} was accepted without its {' and its '.join(missing)}; a price of 0 is an answer too"
        yield _found("order-change-price", "warning", text)


def _holes(order: Order, number: int) -> tuple[str, ...]:
    """Features of a requirement that are drilled through the steel."""
    requirement = order.requirement(number)
    ways = requirement.ways if requirement else ()
    return tuple(
        way.what
        for way in ways
        if isinstance(way, Feature) and not way.absent and way.what in ("lanyard", "lightening")
    )


def _carries(order: Order, change: Change) -> bool:
    """Whether the requirement holds since this change, or since a later one that reworded it again."""
    requirement = order.requirement(change.requirement) if change.requirement else None
    if requirement is None or requirement.since is None:
        return False
    later = {
        other.date for other in order.changes if other.requirement == requirement.number and other.answer == "accepted"
    }
    return requirement.since == change.date or (requirement.since > change.date and requirement.since in later)


def _stray(order: Order, requirement: Requirement) -> Iterator[Finding]:
    if requirement.since is None:
        return
    if not any(
        change.date == requirement.since and change.requirement == requirement.number for change in order.changes
    ):
        text = (
            f"{requirement.name} holds since {requirement.since}, and no change of that date names it: write the "
            "change too"
        )
        yield _found("order-change-missing", "error", text)


def _found(code: str, severity: Severity, message: str) -> Finding:
    return Finding(code=code, severity=severity, part="order", message=message, source=_SOURCE)
