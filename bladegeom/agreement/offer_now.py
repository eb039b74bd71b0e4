"""What the customer is offered at the maker's prices: the sum, and the terms that stand beside it on the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Final

from bladegeom.agreement.signed import AgreedPrice, AgreedTerm
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.price.money import in_coin, trimmed
from bladegeom.price.price_items import Gate
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.quote import Quote, quote_run

BY_ORDER: Final = "as the order says"
"""The value of a term on which the order rules: what differs there is told of the order."""


@dataclass(frozen=True, kw_only=True)
class OfferNow:
    """An offer as far as a customer reads it.

    Args:
        price: Of the whole order; None where something has no price.
        terms: Beside it.
    """

    price: AgreedPrice | None
    terms: tuple[AgreedTerm, ...]


def offer_now(knife: Knife, order: Order | None, operations: Sequence[str], prices: Path) -> OfferNow:
    """The whole order at a maker's prices, without hours learned from past jobs.

    Args:
        knife: The design.
        order: That it is made for; without one a single knife is priced.
        operations: Keys of the steps of its route.
        prices: File of the price list.

    Raises:
        UnreadableFileError: The price list cannot be read, or says what none can say.
    """
    copies = 1 if order is None else order.quantity
    return offer_of(quote_run(knife, read_prices(prices), copies=copies, order=order, operations=operations))


def offer_of(made: Quote) -> OfferNow:
    """What of a quote the customer's page tells and both sign for."""
    amount = None if made.missing else str(made.offer.to_pay)
    return OfferNow(
        price=None if amount is None else AgreedPrice(amount=amount, currency=made.prices.currency),
        terms=tuple(AgreedTerm(what=what, value=value) for what, value in _terms(made)),
    )


def _terms(made: Quote) -> Iterator[tuple[str, str]]:
    """By the maker's own numbers, not by amounts that follow the price: these are the maker's cost in other words."""
    prices, terms = made.prices, made.terms
    yield "tax", f"{trimmed(prices.tax_percent)} %"
    yield "deposit", f"{trimmed(prices.deposit_percent)} % of what is to pay" if terms.deposit is None else BY_ORDER
    if terms.shipping not in (None, "customer"):
        yield "shipping", BY_ORDER
    else:
        price = terms.shipping_price
        yield "shipping", "not in the price" if price is None else _money(made, price)
    for gate in prices.gates:
        yield f"fee for a change after {gate.name}", _fee(made, gate)
    for wanted, price_open in made.open_items:
        if price_open is not None:
            least, most = _money(made, price_open.least), _money(made, price_open.most)
            yield f"what requirement {wanted.number}, still open, may add", f"{least} to {most}"


def _fee(made: Quote, gate: Gate) -> str:
    parts = [_money(made, gate.fee)] if gate.fee or not gate.percent else []
    parts += [f"{trimmed(gate.percent)} % of the price"] if gate.percent else []
    return " and ".join(parts)


def _money(made: Quote, amount: Decimal) -> str:
    return f"{in_coin(amount, made.prices.coin)} {made.prices.currency}"
