"""Where a maker's price list says otherwise than the order: the order counts, and the maker is told."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rule import Code, rule, rules_in
from bladegeom.price.money import in_coin, rounded, trimmed
from bladegeom.price.quote import AnyQuote, Offer, Quote
from bladegeom.quantities.declared import checked


def check_quote(quote: Quote) -> tuple[Finding, ...]:
    """Everything in which order and price list differ; amounts are told where everything has a price.

    Raises:
        ParameterError: No quote.

    >>> from bladegeom import starter_prices
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> from bladegeom import quote
    >>> check_quote(quote(design, path))
    ()
    """
    checked("check_quote: quote", quote, AnyQuote)
    offer = None if quote.missing else quote.offer
    return tuple(finding for look in rules_in("bladegeom.price") for finding in look(quote, offer))


@rule(Code("quote-budget", ("warning",), "there is more to pay than the order's budget"))
def budget_is_kept(quote: Quote, offer: Offer | None) -> Iterator[Finding]:
    """What there is to pay is within the order's budget."""
    paid = None if quote.order is None else quote.order.payment
    if offer is None or paid is None or paid.budget is None or float(offer.to_pay) <= paid.budget:
        return
    budget = rounded(Decimal(repr(paid.budget)), quote.prices.coin)
    message = (
        f"the order's budget is {_money(quote, budget)}, and there is {_money(quote, offer.to_pay)} to pay, "
        f"{_money(quote, offer.to_pay - budget)} more: settle it with the customer before the offer goes out"
    )
    yield _found("quote-budget", message, measured=float(offer.to_pay), limit=paid.budget)


@rule(Code("quote-deposit", ("error", "warning"), "the agreed deposit is another than the price list asks"))
def deposit_agrees(quote: Quote, offer: Offer | None) -> Iterator[Finding]:
    """The deposit is the one that the price list asks."""
    terms = quote.terms
    if terms.deposit is None:
        return
    agreed = f"{_money(quote, terms.deposit)} of deposit are agreed in the order"
    if offer is not None and terms.deposit > offer.to_pay:
        message = f"{agreed}, more than there is to pay, {_money(quote, offer.to_pay)}: settle it with the customer"
        yield _found("quote-deposit", message, "error", float(terms.deposit), float(offer.to_pay))
    elif offer is None or terms.deposit != terms.deposit_by_list(offer.to_pay):
        worth = "" if offer is None else f", {_money(quote, terms.deposit_by_list(offer.to_pay))}"
        message = f"{agreed}, and the price list asks {trimmed(terms.deposit_percent)} % of what is to pay{worth}"
        yield _found("quote-deposit", f"{message}: the order counts")


@rule(Code("quote-tax", ("warning",), "order and price list put the tax on different sides"))
def tax_agrees(quote: Quote, offer: Offer | None) -> Iterator[Finding]:
    """The tax is on the same side."""
    terms = quote.terms
    if not (terms.tax_within and terms.tax_percent):
        return
    message = (
        f"the order puts the tax on the maker, and the price list adds {trimmed(terms.tax_percent)} % to the price: "
        "the order counts, and the price contains the tax"
    )
    if offer is not None:
        left = offer.net + offer.changes - offer.tax - offer.cost
        rest = "are left over the cost" if left >= 0 else "of the cost are NOT covered: raise the price, or the margin"
        message += f"; {_money(quote, offer.tax)} of it go to the tax, {_money(quote, abs(left))} {rest}"
    yield _found("quote-tax", message)


@rule(Code("quote-shipping", ("warning",), "order and price list put the shipping on different sides"))
def shipping_agrees(quote: Quote, _: Offer | None) -> Iterator[Finding]:
    """The shipping is on the same side."""
    terms = quote.terms
    if terms.shipping == "maker" and terms.shipping_price:
        price = _money(quote, terms.shipping_price)
        message = f"the order puts shipping on the maker, and the price list charges {price} for it: the order counts"
        yield _found("quote-shipping", f"{message}, and it stands among your costs")


def _found(
    code: str,
    message: str,
    severity: Severity = "warning",
    measured: float | None = None,
    limit: float | None = None,
) -> Finding:
    source = "the order and the price list"
    return Finding(
        code=code, severity=severity, part="quote", message=message, measured=measured, limit=limit, source=source
    )


def _money(quote: Quote, amount: Decimal) -> str:
    return f"{in_coin(amount, quote.prices.coin)} {quote.prices.currency}"
