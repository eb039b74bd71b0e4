"""What the knife does not come with: what was declined, and what people usually think is included."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.agreement.plain_words import sentence
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.order.measures import measure
from bladegeom.order.order import Order
from bladegeom.order.order_places import darkens
from bladegeom.order.order_ways import Feature, Finish
from bladegeom.signoff.traceability import Landing


def left_out(order: Order | None, knife: Knife, landed: Sequence[Landing], steps: Sequence[str]) -> tuple[str, ...]:
    """A sentence for each thing that is not included.

    Args:
        order: The order; None has none.
        knife: The design.
        landed: Where its requirements land.
        steps: Keys of the steps of the work.
    """
    told = (*(_of_order(order, landed) if order is not None else ()), *_usually(order, knife, landed, steps))
    return tuple(dict.fromkeys(sentence(text) for text in told))


def _of_order(order: Order, landed: Sequence[Landing]) -> Iterator[str]:
    for change in order.changes:
        if change.answer == "refused":
            yield f"declined, asked for on {change.date}: {change.text}"
    for landing in landed:
        wanted = landing.requirement
        if landing.state == "missed":
            yield f"not as asked for: {wanted.number}. {wanted.text}"
        elif landing.state == "open":
            yield f"as long as it is open: {wanted.number}. {wanted.text}"


def _usually(order: Order | None, knife: Knife, landed: Sequence[Landing], steps: Sequence[str]) -> Iterator[str]:
    """Own choice of what customers are known to think of as included; common practice, no source."""
    if order is None or order.sheath is None:
        yield "a sheath or another cover for the blade"
    yield from _surfaces(knife, landed, steps)
    if measure("lanyard bore").of(knife) is None:
        yield "an opening for a cord"
    else:
        yield "the cord itself"
    yield "a box, a gift wrapping or a certificate"
    yield "sharpening again, care and repairs after the knife is handed over"
    if order is not None and order.payment is not None and order.payment.shipping == "none":
        yield "shipping: the knife is fetched"


def _surfaces(knife: Knife, landed: Sequence[Landing], steps: Sequence[str]) -> Iterator[str]:
    carved_by_hand = any(
        isinstance(landing.way, Feature) and landing.way.what == "texture" and landing.state == "later"
        for landing in landed
    )
    textured = any(isinstance(zone, TextureZone) for zone in knife.zones)
    if not textured and not carved_by_hand:
        yield "a carved, textured or patterned surface"
    elif not carved_by_hand:
        yield "a carved or textured surface on the handle: only the blade has one"
    if "etch" not in steps and not any(isinstance(made.way, Finish) and darkens(made.way) for made in landed):
        yield "an etched or darkened blade"
    if not any(isinstance(zone, MarkZone) for zone in knife.zones):
        yield "a name, a text or a mark"
