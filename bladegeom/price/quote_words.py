"""What a quote says: the maker's copy with everything, and the customer's with nothing of how the price came about."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from decimal import Decimal

from bladegeom.knife.revision_id import revision_id
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.price.check_quote import check_quote
from bladegeom.price.hours import as_hours
from bladegeom.price.money import in_coin, rounded, total, trimmed
from bladegeom.price.quote import Offer, Quote
from bladegeom.price.quote_copy import Copy, QuoteRow, QuoteSection
from bladegeom.quantities.customer_units import customer_length

NO_PRICE = "INCOMPLETE: this is no price"


def makers_copy(quote: Quote) -> Copy:
    """With hours, rates, floor and margin; an incomplete one says so and sums up nothing to a price."""
    prices = quote.prices
    remarks = [f"Maker's copy, not for the customer. Prices of {prices.date.isoformat()}, before tax unless said."]
    if prices.note:
        remarks.append(prices.note)
    if quote.missing:
        remarks.insert(0, f"{NO_PRICE}. What is missing stands at the end.")
    sections = [*_groups(quote), _hours(quote)]
    if quote.missing:
        known = QuoteRow(
            what="what has a price so far", amount=_money(quote, quote.known), how="no price: more is to come"
        )
        sections.append(QuoteSection(title="Missing", rows=(*(QuoteRow(what=text) for text in quote.missing), known)))
    else:
        sections += [_price(quote, quote.offer), *_still_open(quote)]
    if differing := check_quote(quote):
        rows = tuple(QuoteRow(what=f"{finding.severity} [{finding.code}] {finding.message}") for finding in differing)
        sections.append(QuoteSection(title="Order and price list differ", rows=rows))
    return Copy(
        title=f"Quote: {_name(quote)}",
        mark=revision_id(quote.bill.knife),
        remarks=tuple(remarks),
        currency=prices.currency,
        sections=tuple(sections),
        foot=(
            f"Every line is rounded to {prices.coin} {prices.currency}, half up, before it is added; "
            f"the price of a knife is rounded up to a multiple of {prices.round_to} {prices.currency}.",
            "Hours and rates are the maker's own; check them against the last jobs before the offer goes out.",
        ),
    )


def customers_copy(quote: Quote) -> Copy:
    """What is made, of what, and what it costs; no hours, no rates, no floor, no margin.

    Raises:
        QuoteError: Something has no price.
    """
    offer, prices = quote.offer, quote.prices
    made = QuoteSection(title="What is made", rows=tuple(_made(quote)))
    return Copy(
        title=f"Offer: {_name(quote)}",
        mark=revision_id(quote.bill.knife),
        remarks=tuple(_addressed(quote)),
        currency=prices.currency,
        sections=(
            made,
            *_wanted(quote),
            QuoteSection(title="Price", rows=tuple(_to_pay(quote, offer))),
            *_still_open(quote),
            *_gates(quote, offer),
        ),
        foot=(
            f"This offer stands for {prices.validity_days} days from the day it is sent.",
            *(text for line in prices.terms.splitlines() if (text := line.strip())),
        ),
    )


def _groups(quote: Quote) -> Iterator[QuoteSection]:
    for group, lines in itertools.groupby(quote.lines, key=lambda line: line.group):
        rows = [QuoteRow(what=line.what, how=line.how, amount=_money(quote, line.amount)) for line in lines]
        rows.append(QuoteRow(what=f"{group} in all", amount=_money(quote, quote.sum_of(group)), strong=True))
        yield QuoteSection(title=group.capitalize(), rows=tuple(rows))


def _hours(quote: Quote) -> QuoteSection:
    rows = []
    for stage in quote.stages:
        spread = (
            "" if stage.slow == stage.quick else f"; {as_hours(stage.quick)} to {as_hours(stage.slow)} with that spread"
        )
        how = f"{as_hours(stage.minutes)}: {stage.how}{spread}"
        rows.append(QuoteRow(what=stage.work.name, how=how, amount=_money(quote, quote.wage(stage))))
    rate = f"{_money(quote, quote.prices.hour_rate)} {quote.prices.currency} an hour where the work names no other"
    rows.append(
        QuoteRow(
            what=f"hours in all: {as_hours(quote.minutes)}",
            how=rate,
            amount=_money(quote, total(quote.wage(stage) for stage in quote.stages)),
            strong=True,
        )
    )
    return QuoteSection(title="Hours", rows=tuple(rows))


def _price(quote: Quote, offer: Offer) -> QuoteSection:
    prices = quote.prices
    over = f"{as_hours(quote.minutes)} at {_money(quote, prices.overhead_per_hour)} {prices.currency}"
    rows = [
        QuoteRow(what="overhead", how=over, amount=_money(quote, quote.overhead)),
        QuoteRow(
            what="FLOOR: out of pocket",
            how="material, consumables, outside work, overhead; below it you pay to work",
            amount=_money(quote, offer.floor),
            strong=True,
        ),
        QuoteRow(
            what="cost with your hours paid", how="floor and hours", amount=_money(quote, offer.cost), strong=True
        ),
        QuoteRow(
            what="margin",
            how=f"{trimmed(prices.margin_percent)} % on the cost, and rounding up",
            amount=_money(quote, offer.net - offer.cost),
        ),
        *_to_pay(quote, offer),
        *_budget(quote, offer),
    ]
    return QuoteSection(title="Price", rows=tuple(rows))


def _budget(quote: Quote, offer: Offer) -> Iterator[QuoteRow]:
    """What the customer wants to spend, beside what is to pay."""
    payment = None if quote.order is None else quote.order.payment
    if payment is None or payment.budget is None:
        return
    budget = rounded(Decimal(repr(payment.budget)), quote.prices.coin)
    over = offer.to_pay - budget
    how = f"what is to pay is {_money(quote, abs(over))} {'ABOVE it' if over > 0 else 'below it'}"
    yield QuoteRow(what="budget that the order names", how=how, amount=_money(quote, budget))


def _to_pay(quote: Quote, offer: Offer) -> Iterator[QuoteRow]:
    prices, n = quote.prices, quote.bill.copies
    if n > 1:
        yield QuoteRow(what="a knife", amount=_money(quote, offer.each))
    yield QuoteRow(what="price" if n == 1 else f"price of {n} knives", amount=_money(quote, offer.net), strong=True)
    if offer.changes:
        yield QuoteRow(what="changes agreed since the order", amount=_money(quote, offer.changes))
    yield from _sent(quote, offer)
    tax = f"tax, {trimmed(prices.tax_percent)} %"
    if not offer.tax_within:
        yield QuoteRow(what=tax, amount=_money(quote, offer.tax))
    yield QuoteRow(what="to pay", amount=_money(quote, offer.to_pay), strong=True)
    if offer.tax_within:
        yield QuoteRow(what=f"of that {tax}", how="contained in the price", amount=_money(quote, offer.tax))
    agreed = quote.terms.deposit is not None
    share = "as agreed" if agreed else f"{trimmed(prices.deposit_percent)} % of what is to pay"
    yield QuoteRow(what="deposit", how=f"{share}, before the work begins", amount=_money(quote, offer.deposit))


def _sent(quote: Quote, offer: Offer) -> Iterator[QuoteRow]:
    """Who pays for shipping, where it is told or charged."""
    payer = quote.terms.shipping
    if offer.shipping:
        yield QuoteRow(what="shipping", amount=_money(quote, offer.shipping))
    elif payer == "customer" and quote.terms.shipping_price is None:
        yield QuoteRow(what="shipping", how="paid by the customer, and not in this price")
    elif payer == "maker":
        yield QuoteRow(what="shipping", how="in the price")


def _still_open(quote: Quote) -> Iterator[QuoteSection]:
    """What open items may add, and the range that the price then lies in."""
    priced = [(requirement, price) for requirement, price in quote.open_items if price is not None]
    if not priced:
        return
    offer, on_top = quote.offer, "" if quote.terms.tax_within else ", before tax"
    rows = [
        QuoteRow(
            what=f"{requirement.number}: {requirement.text}",
            how=f"adds{on_top}",
            amount=_range(quote, price.least, price.most),
        )
        for requirement, price in priced
    ]
    ends = [quote.terms.with_tax(offer.before_tax + add) for add in (offer.least_more, offer.most_more)]
    rows.append(QuoteRow(what="to pay, with what is open", how="with tax", amount=_range(quote, *ends), strong=True))
    yield QuoteSection(title="Not decided yet", rows=tuple(rows))


def _gates(quote: Quote, offer: Offer) -> Iterator[QuoteSection]:
    if not quote.prices.gates:
        return
    rows = []
    for gate in quote.prices.gates:
        cost = rounded(gate.fee + offer.net * gate.percent / 100, quote.prices.coin)
        rows.append(QuoteRow(what=f"after {gate.name}", amount=_money(quote, cost)))
    on_top = "" if offer.tax_within else ", before tax"
    yield QuoteSection(
        title=f"What a change costs{on_top}, besides the work and material that it takes", rows=tuple(rows)
    )


def _made(quote: Quote) -> Iterator[QuoteRow]:
    knife, n = quote.bill.knife, quote.bill.copies
    x0, _, x1, _ = knife.outline.bounds
    yield QuoteRow(what=f"{n} x {knife.name}", how=f"revision {knife.revision}")
    yield QuoteRow(
        what="Sizes",
        how=f"blade {customer_length(knife.outline.tip[0])} from the handle front at the spine to the tip, "
        f"overall {customer_length(x1 - x0)}{without_words(unweighed(knife))}",
    )
    yield QuoteRow(what="Steel", how=f"{knife.stock.material.name}, {customer_length(knife.stock.thickness)} thick")
    for blank in quote.bill.sheets:
        yield QuoteRow(what=blank.part.capitalize(), how=blank.material.name)
    metals = [rod.words for rod in quote.bill.rods] + [name for name, _ in quote.bill.hardware]
    if metals:
        yield QuoteRow(what="Fasteners", how="; ".join(metals))
    order = quote.order
    if order is not None and order.sheath is not None:
        yield QuoteRow(what="Sheath", how=f"{order.sheath.material}, {order.sheath.side_words}")
    for material in () if order is None else order.own_materials:
        yield QuoteRow(what=f"Brought by you, for the {material.part}", how=material.what)


def _wanted(quote: Quote) -> Iterator[QuoteSection]:
    """What was asked for and is decided; what is open stands with its price."""
    if quote.order is not None:
        rows = [
            QuoteRow(
                what=f"{requirement.number}: {requirement.text}", how="a wish" if requirement.weight == "wish" else ""
            )
            for requirement in quote.order.requirements
            if requirement.weight != "open"
        ]
        if rows:
            yield QuoteSection(title="What you asked for", rows=tuple(rows))


def _addressed(quote: Quote) -> Iterator[str]:
    if quote.order is not None:
        yield f"For {quote.order.customer}, order {quote.order.number} of {quote.order.date.isoformat()}."
    yield f"All amounts in {quote.prices.currency}."


def _name(quote: Quote) -> str:
    knife = quote.bill.knife
    return f"{quote.bill.copies} x {knife.name}, revision {knife.revision}"


def _money(quote: Quote, amount: Decimal) -> str:
    return in_coin(amount, quote.prices.coin)


def _range(quote: Quote, least: Decimal, most: Decimal) -> str:
    return f"{_money(quote, least)} to {_money(quote, most)}"
