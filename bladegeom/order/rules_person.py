"""Contradictions round the person: hand, sheath, material that was brought, dates, and what was only pointed at."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.order import Order
from bladegeom.order.order_ways import Feature
from bladegeom.order.rules_use import order_finding, wanted
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

_OTHER: Final = {"left": "right", "right": "left"}

BELT_PLAY: Final = (2.0, 4.0)
"""By how much a slot is wider than the belt, mm. Source: common practice, no source."""

_UNWANTED: Final = re.compile(r"\b(?:no|without|not\b.{0,20}\ba|without a) (?:sheath|scabbard|holster)")
"""Words of a customer who wants none."""

_SAME_HAND: Final = 0.5
"""Nobody measures a hand better than this, mm; own choice."""


@rule(
    Code("order-hand-grind", ("error",), "the one-sided grind is for the other hand"),
    Code("order-hand-size", ("error",), "the design is for another hand than the order tells"),
)
def hands(order: Order, knife: Knife) -> Iterator[Finding]:
    """A one-sided grind for the other hand, and a handle that is not made for the hand that was measured."""
    other = _OTHER.get(order.hand or "")
    asked = [
        requirement for requirement, way in wanted(order, Feature) if isinstance(way, Feature) and _ground(way, other)
    ]
    if other and (knife.grind.only == other or asked):
        who = asked[0].name if asked else "the design"
        yield order_finding(
            "order-hand-grind",
            "error",
            f"the knife is for the {order.hand} hand, and {who} has the {other} face ground alone, as for the {other} "
            f"hand: grind the {order.hand} face (only={order.hand!r})",
        )
    if order.hand_breadth is None:
        return
    breadth, made_for = float(order.hand_breadth), knife.hand_breadth
    if made_for is None or abs(made_for - breadth) > _SAME_HAND:
        has = "is made for no hand" if made_for is None else f"is made for one of {show_length(made_for)}"
        yield order_finding(
            "order-hand-size",
            "error",
            f"the customer's hand is {show_length(breadth)} broad, and the design {has}: hand_breadth={breadth:g}",
            "the order and the design",
        )


def _no_sheath(order: Order) -> Iterator[Finding]:
    """A wish about a sheath, and no sheath in the order."""
    for requirement in order.requirements:
        if (
            requirement.concerns == "sheath"
            and requirement.weight != "open"
            and not _UNWANTED.search(requirement.text.lower())
        ):
            asked = "material, side, belt, slot? Ask, and add sheath=Sheath(...)"
            text = f"{requirement.name} concerns a sheath, and the order tells nothing of it: {asked}"
            yield order_finding("order-sheath-open", "warning", text)


def _ground(way: Feature, side: str | None) -> bool:
    return way.what == "one-sided grind" and not way.absent and side is not None and way.side == side


@rule(
    Code("order-sheath-open", ("warning",), "something of the sheath is not told"),
    Code("order-sheath-unwanted", ("warning",), "a sheath is described and not wanted"),
    Code("order-sheath", ("error",), "the sheath does not suit the carrier"),
    Code("order-belt", ("warning",), "the belt does not fit the sheath"),
)
def sheath(order: Order, _: Knife) -> Iterator[Finding]:
    """A sheath that nobody can make yet, one on the other side, and a slot that the belt does not go through."""
    wish = order.sheath
    if wish is None:
        yield from _no_sheath(order)
        return
    for asked in order.requirements:
        if asked.concerns == "sheath" and asked.weight != "open" and _UNWANTED.search(asked.text.lower()):
            text = f"{asked.name} wants no sheath, and the order has one, of {wish.material}: which counts?"
            yield order_finding("order-sheath-unwanted", "warning", text, "the order")
    untold = [name for name in ("side", "belt", "slot") if getattr(wish, name) is None]
    if untold:
        yield order_finding(
            "order-sheath-open",
            "warning",
            f"the order does not tell the {' and the '.join(untold)} of the sheath. Ask on which side it hangs, "
            f"measure the belt, and cut the slot {show_length(BELT_PLAY[0])} to {show_length(BELT_PLAY[1])} wider "
            "than it",
        )
    if wish.side is not None and _OTHER.get(order.hand or "") == wish.side:
        yield order_finding(
            "order-sheath",
            "error",
            f"the knife is for the {order.hand} hand, and the sheath hangs on the {wish.side} side: its pattern is the "
            f"mirror image. Order side={order.hand!r}, or allow order-sheath for a cross draw",
        )
    if wish.belt is not None and wish.slot is not None:
        (slot, belt), (least, most) = (float(wish.slot), float(wish.belt)), BELT_PLAY
        play = slot - belt
        if not least - SHOP <= play <= most + SHOP:
            yield order_finding(
                "order-belt",
                "warning",
                f"the sheath's slot is {show_length(slot)} for a belt {show_length(belt)} wide: "
                f"{show_length(belt + least)} to {show_length(belt + most)} lets it pass and not slide",
                measured=slot,
                limit=belt + (least if play < least else most),
            )


@rule(
    Code("order-date-unknown", ("note",), "whether the date can be kept is not known"),
    Code("order-date", ("error",), "the date cannot be kept"),
)
def delivery(order: Order, _: Knife) -> Iterator[Finding]:
    """A date before the work can be done."""
    if order.needed_by is None:
        return
    if order.lead is None:
        text = f"the knife is needed by {order.needed_by}, and no lead=Lead(...) tells how long the work takes"
        yield order_finding("order-date-unknown", "note", text)
        return
    last = max((change.date for change in order.changes if change.answer == "accepted"), default=order.date)
    ready = order.date + datetime.timedelta(days=order.lead.days)
    if ready > order.needed_by:
        late = (ready - order.needed_by).days
        yield order_finding(
            "order-date",
            "error",
            f"the knife is needed by {order.needed_by}, and the work takes {order.lead.days:g} days from {order.date}: "
            f"ready on {ready}, {late} day{'' if late == 1 else 's'} late; tell the customer, or shorten the queue",
            measured=float((ready - order.date).days),
            limit=float((order.needed_by - order.date).days),
        )
    elif last > order.needed_by:
        text = f"a change of {last} was accepted after the day on which it is needed, {order.needed_by}"
        yield order_finding("order-date", "error", text)


@rule(
    Code("order-deposit", ("error",), "the deposit is more than the budget"),
    Code("order-liked", ("warning",), "what is liked in a reference is not told"),
)
def money_and_reference(order: Order, _: Knife) -> Iterator[Finding]:
    """A deposit over the budget, and a picture of which nobody said what is liked."""
    paid = order.payment
    budget, deposit = (None, None) if paid is None else (paid.budget, paid.deposit)
    if budget is not None and deposit is not None and deposit > budget:
        text = f"the deposit, {deposit:g}, is more than the whole budget, {budget:g}"
        yield order_finding("order-deposit", "error", text, measured=deposit, limit=budget)
    for reference in order.references:
        if not reference.liked:
            text = (
                f"{reference.what} is pointed at, and not what is liked on it: shape, size, colour? Ask, and write it "
                "down"
            )
            yield order_finding("order-liked", "warning", text)
