"""What the customer's page says of a design, its order and its price: gathered from where each is known."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.agreement.care_words import SAFETY
from bladegeom.agreement.hand_work import hand_rows
from bladegeom.agreement.left_out import left_out
from bladegeom.agreement.measured_words import MEASURE_WORDS, shown_measure
from bladegeom.agreement.open_questions import open_questions
from bladegeom.agreement.page_parts import CustomersPage, PageItem, PageRow
from bladegeom.agreement.plain_words import (
    PART_WORDS,
    landing_words,
    mark_words,
    material_words,
    sentence,
    texture_words,
)
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_date, revision_id
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.order.measures import measure
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_features import parts_of
from bladegeom.order.order_mark_texts import open_texts
from bladegeom.order.order_places import open_places
from bladegeom.order.ordered import hardness
from bladegeom.price.quote import Quote
from bladegeom.price.quote_copy import QuoteSection
from bladegeom.price.quote_words import customers_copy
from bladegeom.quantities.customer_units import asked_length
from bladegeom.quantities.materials import SWELLS
from bladegeom.signoff.traceability import Landing
from bladegeom.workshop.route import Route

_SIZES: Final = (
    "overall length",
    "blade length",
    "blade height",
    "thickness",
    "handle length",
    "handle thickness",
    "handle girth",
    "mass",
    "balance",
    "sharpening angle",
)
"""Measures that matter to who gets the knife, as far as it has them."""

_WISHES: Final = {"must": "", "wish": "a wish, where it can be had", "open": "not decided yet"}


def customers_page(
    work: Route,
    landed: Sequence[Landing],
    *,
    quote: Quote | None = None,
    currency: str = "",
    maker: str = "",
    date: datetime.date | None = None,
) -> CustomersPage:
    """All that the page says.

    Args:
        work: The route, with the knife and the order.
        landed: Where the requirements of the order land.
        quote: What it costs; None tells no price.
        currency: Of prices in the order, where no quote tells it.
        maker: Who makes it; empty leaves a line to write on.
        date: Of the page; None takes the last day on which the order was spoken of, else that of the revision.

    Raises:
        QuoteError: Something has no price.
    """
    knife, order = work.knife, work.order
    copy = None if quote is None else customers_copy(quote)
    return CustomersPage(
        name=knife.name,
        mark=revision_id(knife),
        maker=maker,
        customer="" if order is None else order.customer,
        date=date if date is not None else _last_day(order, knife),
        facts=() if order is None else tuple(_facts(order)),
        items=tuple(_items(landed, work)),
        sizes=tuple(_sizes(knife)),
        made_of=(*_made_of(work), *_on_the_blade(work)),
        left_out=left_out(order, knife, landed, work.keys),
        hand=tuple(hand_rows(knife)),
        price=() if copy is None else tuple(section for section in copy.sections if _is_price(section)),
        currency="" if copy is None else copy.currency,
        questions=()
        if order is None
        else open_questions(order, knife, landed, currency=currency if copy is None else copy.currency),
        care=(*SAFETY, *_care(knife)),
    )


def _last_day(order: Order | None, knife: Knife) -> datetime.date | None:
    if order is None:
        return revision_date(knife)
    return max(order.date, *(change.date for change in order.changes), order.date)


def _items(landed: Sequence[Landing], work: Route) -> Iterator[PageItem]:
    unsaid = {text.requirement.number for text in open_texts(work.order, work.knife)} if work.order else set()
    unplaced = {place.requirement.number for place in open_places(work.order, work.knife)} if work.order else set()
    titles = {operation.key: operation.title.lower() for operation in work.operations}
    for wanted in dict.fromkeys(landing.requirement for landing in landed):
        made = [landing_words(landing, work.knife, titles) for landing in landed if landing.requirement is wanted]
        if wanted.number in unsaid:
            made.append("What exactly is to stand there is still to be answered, see below.")
        if wanted.number in unplaced:
            made.append("Where exactly is still to be answered, see below.")
        yield PageItem(number=wanted.number, words=wanted.text, aside=_aside(wanted), made=tuple(dict.fromkeys(made)))


def _aside(wanted: Requirement) -> str:
    since = "" if wanted.since is None else f"since {wanted.since}"
    return "; ".join(filter(None, (_WISHES[wanted.weight], since)))


def _facts(order: Order) -> Iterator[PageRow]:
    yield PageRow(what="Order", value=f"{order.number} of {order.date}")
    yield PageRow(what="Number of knives", value=str(order.quantity))
    if order.needed_by is not None:
        yield PageRow(what="Needed by", value=str(order.needed_by))
    if (to := order.delivery) is not None:
        yield PageRow(what="Handed over", value=f"{to.ship_to}{', as a gift' if to.gift else ''}")
    if (sheath := order.sheath) is not None:
        belt = "" if sheath.belt is None else f", for a belt of {asked_length(float(sheath.belt))}"
        side = "" if sheath.side is None else f", worn on the {sheath.side}"
        yield PageRow(what="Sheath", value=f"{sheath.material}{side}{belt}")
    for own in order.own_materials:
        risk = f"; if it breaks: {own.risk}" if own.risk else ""
        yield PageRow(what="Brought by you", value=f"{own.what}, for the {PART_WORDS.get(own.part, own.part)}{risk}")
    if order.allergies:
        yield PageRow(what="Allergies", value=", ".join(order.allergies))


def _sizes(knife: Knife) -> Iterator[PageRow]:
    for name in _SIZES:
        quantity = measure(name)
        value = quantity.of(knife)
        if value is not None:
            yield PageRow(what=sentence(MEASURE_WORDS[name]).removesuffix("."), value=shown_measure(quantity, value))


def _made_of(work: Route) -> Iterator[PageRow]:
    knife = work.knife
    window = hardness(work.order) if work.work.hardness is None else work.work.hardness
    hard = "" if window is None else f", {window[0]:g} to {window[1]:g} HRC hard"
    yield PageRow(what="Steel", value=f"{material_words(knife.stock.material)}{hard}")
    names = {"scales": "Handle", "liners": "Sheets under the handle", "fasteners": "Pins and screws"}
    for part, of in parts_of(knife).items():
        if part in names:
            yield PageRow(what=names[part], value=" and ".join(map(material_words, of)))


def _on_the_blade(work: Route) -> Iterator[PageRow]:
    """What is seen on the blade; also where no wish asks for it."""
    how = f", {work.work.mark}" if work.work.mark else ""
    for zone in work.knife.zones:
        if isinstance(zone, MarkZone):
            yield PageRow(what="Mark", value=f"{mark_words(zone)}{how}")
        elif isinstance(zone, TextureZone):
            yield PageRow(what="Carved or textured surface", value=texture_words(zone))
    for what, value in (("Surface of the blade", work.work.finish), ("Etched with", work.work.etch)):
        if value:
            yield PageRow(what=what, value=value)


def _is_price(section: QuoteSection) -> bool:
    """What is made and what was asked for stand on the page anyway."""
    return section.title not in ("What is made", "What you asked for")


def _care(knife: Knife) -> Iterator[str]:
    if knife.stock.material.stainless is False:
        yield "This steel is not stainless: wipe it dry after use, and oil it lightly before it is put away."
    if knife.scales is not None and knife.scales.material.kind in SWELLS:
        yield "Keep the handle out of standing water and out of the dishwasher."
