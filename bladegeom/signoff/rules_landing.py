"""Rules of an order beside its design: every requirement must land, every fact must reach somebody who checks it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.checks.letters import letter_findings
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rule import Code, rule
from bladegeom.order.measures import LENGTHS
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.signoff.asked import Asked
from bladegeom.signoff.traceability import Landing

_OWN: Final = "the order"
OF_REQUIREMENT: Final = f"{_OWN}, requirement "
"""So begins the source of a finding that says where one requirement does not land."""

_LATER: Final = {
    "order-feature": "declare it in the design, or settle it with the customer and date it as a change",
    "order-material": "change the design, or settle it with the customer and date it as a change",
    "order-measure": "change the design, or settle it with the customer and date it as a change",
}
"""Ways out that hold for all findings of a code."""


@rule(
    Code("order-unbound", ("error", "warning"), "it lands nowhere", missed=True),
    Code("order-unknown", ("error", "warning"), "it points at something that does not exist", missed=True),
    Code(
        "order-measure",
        ("error", "warning"),
        "design or steel lies outside the limits",
        missed=True,
    ),
    Code("order-feature", ("error", "warning"), "the design has it not, or has what is to be absent", missed=True),
    Code("order-material", ("error", "warning"), "the design is made of something else", missed=True),
    Code("order-open-must", ("error",), "it is not decided, and nothing can be made before it is", missed=True),
    Code("order-open", ("warning",), "it is not decided"),
)
def requirements_land(asked: Asked) -> Iterator[Finding]:
    """Every requirement lands somewhere."""
    return (finding for landing in asked.landed if (finding := _finding(landing)))


def _finding(landing: Landing) -> Finding | None:
    """What to say of a requirement that does not land."""
    if landing.lands:
        return None
    requirement = landing.requirement
    way_out = _LATER.get(landing.code, "")
    message = f"{requirement.name}, a {requirement.weight}: {landing.words}" + (f"; {way_out}" if way_out else "")
    if landing.state == "open":
        asked = "the knife cannot be made before it is decided" if requirement.open_must else "ask the customer"
        message = f"{requirement.name} is open: {asked}"
    return Finding(
        code="order-open-must" if requirement.open_must else landing.code,
        severity=_severity(landing),
        part="order",
        message=message,
        measured=landing.measured,
        limit=landing.limit,
        source=f"{OF_REQUIREMENT}{requirement.number}",
    )


def _severity(landing: Landing) -> Severity:
    requirement = landing.requirement
    return "error" if requirement.weight == "must" or requirement.open_must else "warning"


@rule(Code("order-fact", ("warning",), "a fact of the order has no requirement that carries it to the bench"))
def facts_have_requirements(asked: Asked) -> Iterator[Finding]:
    """Facts that only a requirement carries to the bench; the rest is compared with the design or printed."""
    order = asked.order
    subjects = {requirement.concerns for requirement in order.requirements}
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


@rule(Code("order-unknown", ("error",), "a length is limited by a convention that does not exist"))
def length_is_known(asked: Asked) -> Iterator[Finding]:
    """A limit of length names a convention that there is."""
    order = asked.order
    if order.length_limit is not None and order.length_measure not in LENGTHS:
        error = UnknownNameError("convention of a length", order.length_measure, LENGTHS)
        text = f"length limit: {error}"
        yield Finding(code="order-unknown", severity="error", part="order", message=text, source=_OWN)


@rule(Code("order-empty", ("error",), "there is none", missed=True))
def something_is_asked(asked: Asked) -> Iterator[Finding]:
    """An order has requirements."""
    if not asked.order.requirements:
        text = "the order has no requirements: write down each wish, with how it is met"
        yield Finding(code="order-empty", severity="error", part="order", message=text, source=_OWN)


@rule(Code("letter-missing", ("error",), "a text has letters that no page can show"))
def texts_can_be_printed(asked: Asked) -> Iterator[Finding]:
    """Every text of the order can be printed."""
    return letter_findings(asked.order, "order")
