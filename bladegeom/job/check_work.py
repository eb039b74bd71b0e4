"""The work as the maker has settled it: what contradicts the order, and what has no place on the design."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.body.knife import Knife
from bladegeom.job.blade_work import marks_of
from bladegeom.job.order import Order
from bladegeom.job.ordered import HARDNESS, limits, measured, spelled
from bladegeom.job.work import Glue, Work
from bladegeom.reason.finding import Finding


def work_against_order(work: Work, order: Order) -> Iterator[Finding]:
    """A window of hardness of the maker's that reaches out of the order's: the blade may end up in what is left over.

    Windows that have nothing in common are told where the requirement lands.
    """
    if work.hardness is None:
        return
    low, high = work.hardness
    least, most = limits(order, HARDNESS)
    under, over = least is not None and low < least, most is not None and high > most
    apart = (least is not None and high < least) or (most is not None and low > most)
    if apart or not (under or over):
        return
    asking = [one for one, way in measured(order) if spelled(way) == HARDNESS]
    yield Finding(
        code="work-hardness",
        severity="error" if any(one.weight == "must" for one in asking) else "warning",
        part="order",
        message=f"the work tempers to {low:g} to {high:g} HRC, and the order wants {_window(least, most)} "
        f"({', '.join(one.name for one in asking)}): temper inside it, or settle it with the customer",
        measured=low if under else high,
        limit=least if under else most,
        source="the order",
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
