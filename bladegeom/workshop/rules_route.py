"""Rules of a route: its order, what is left out of it, and what the work as it is settled does to the knife."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule
from bladegeom.order.ordered import HARDNESS, contradict
from bladegeom.quantities.errors import UnknownTreatmentError
from bladegeom.quantities.steel_treatments import treated_steels
from bladegeom.workshop.check_work import allergens_in_work, marks_against_work, unused_work
from bladegeom.workshop.heat_treat import HeatTreatCard
from bladegeom.workshop.route import Route
from bladegeom.workshop.sequence import broken_sequence

_TABLE: Final = "the table of heat treatments"


@rule(
    Code("route-order", ("error",), "a step stands before another that must come first"),
    Code("route-at-once", ("error",), "a step stands between two that follow each other at once"),
    Code("route-hole-after-hardening", ("error",), "a step drills hard steel"),
)
def order_of_steps(work: Route) -> Iterator[Finding]:
    """Every step stands where it can."""
    return broken_sequence(work.operations)


@rule(Code("route-step-dropped", ("error",), "a step is dropped that the design or the order needs"))
def dropped_steps(work: Route) -> Iterator[Finding]:
    """Nothing that is needed is dropped."""
    for operation, why in work.dropped:
        if operation.need:
            yield Finding(
                code="route-step-dropped",
                severity="error",
                part="route",
                message=f"{operation.title!r} ({operation.key}) is dropped{f' ({why})' if why else ''}, and "
                f"{operation.need}; take "
                f"DropStep(key={operation.key!r}) out of steps, or change the design",
                source="the steps as declared",
            )


@rule(
    Code("heat-treat-unknown", ("warning",), "the heat treatment of the steel is not known here"),
    Code("quench-plates", ("warning",), "the plates are too thin to take the blade's heat"),
    Code("hardness-window", ("warning",), "the hardness that is wanted cannot be had"),
    Code("temper-avoided", ("warning",), "the temper for the hardness lies in a brittle range"),
    Code("temper-narrow", ("warning",), "the temper for the hardness lies close to a brittle range"),
)
def heat_treatment_is_known(work: Route) -> Iterator[Finding]:
    """How the steel is hardened is known, and gives the hardness that is wanted."""
    if not work.hardened:
        return
    if work.card is None:
        told = UnknownTreatmentError(work.knife.stock.material.name, treated_steels())
        yield Finding(code="heat-treat-unknown", severity="warning", part="blade", message=str(told), source=_TABLE)
        return
    yield from _hardness(work, work.card)
    quench = work.card.plate_quench
    if quench is not None and not quench.ends:
        yield Finding(
            code="quench-plates",
            severity="warning",
            part="blade",
            message=f"plates of {quench.plates.words} warm by {quench.rise:.0f} K and end too warm for the "
            f"blade to become hand-warm: their thickness must {quench.thicker_words}",
            measured=quench.plates.celsius + quench.rise,
            limit=quench.end_c,
            source="heat balance",
        )


def _hardness(work: Route, card: HeatTreatCard) -> Iterator[Finding]:
    torn = contradict(work.order, HARDNESS)
    if torn is not None:
        low, high = torn
        yield _hardness_finding(
            f"the order wants a hardness of at least {low:g} and at most {high:g} HRC: no steel has both; ask the "
            "customer which of the two counts",
            "the order",
        )
    elif card.work.hardness is not None and not card.gives_all:
        least, most = card.work.hardness
        yield _hardness_finding(
            f"hardness of {card.treatment.steel}, {least:g} to {most:g} HRC: it must {card.treatment.given_words}",
            card.treatment.source,
        )
    elif card.temper is not None and (avoided := card.temper.within or card.temper.narrow) is not None:
        yield Finding(
            code="temper-avoided" if card.temper.within else "temper-narrow",
            severity="warning",
            part="blade",
            message=f"hardness of {card.treatment.steel}: {card.temper.warning}",
            measured=card.temper.aim,
            limit=avoided.low_c,
            source=avoided.source,
        )


@rule(Code("work-unused", ("warning",), "the work settles what has no place on the knife"))
def work_has_a_place(work: Route) -> Iterator[Finding]:
    """All that is settled is done somewhere."""
    return unused_work(work.work, work.knife)


@rule(Code("work-mark", ("warning",), "the work makes a mark in another way than its field tells"))
def work_and_fields_mark_alike(work: Route) -> Iterator[Finding]:
    """A mark is checked for the way in which it is made."""
    return marks_against_work(work.work, work.knife)


@rule(Code("work-allergy", ("warning",), "the work brings what the customer is allergic to"))
def work_spares_allergies(work: Route) -> Iterator[Finding]:
    """Neither glue nor a step of the maker's own brings it."""
    return allergens_in_work(work.work, work.own_steps, work.order, work.knife)


def _hardness_finding(message: str, source: str) -> Finding:
    return Finding(code="hardness-window", severity="warning", part="blade", message=message, source=source)
