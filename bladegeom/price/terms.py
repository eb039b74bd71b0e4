"""Tax, deposit and shipping of an offer: what the order has agreed rules, the price list speaks where it is silent."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from bladegeom.order.order import Order
from bladegeom.order.order_facts import Payer
from bladegeom.price.money import NOTHING, rounded
from bladegeom.price.price_list import PriceList

_HUNDRED = Decimal(100)


@dataclass(frozen=True, kw_only=True)
class Terms:
    """Who pays what besides the price.

    Args:
        coin: The smallest amount there is.
        tax_percent: Of the price without it.
        tax_within: Whether the price contains it, for the maker pays it; else it comes on top.
        deposit: Agreed as an amount; None takes the percentage.
        deposit_percent: Of what is to pay.
        shipping: Who pays for it: "none" where nothing is sent; empty where nobody has told.
        shipping_price: Of sending the order, before tax; None where the list has none.
    """

    coin: Decimal
    tax_percent: Decimal
    tax_within: bool
    deposit: Decimal | None
    deposit_percent: Decimal
    shipping: Payer | None
    shipping_price: Decimal | None

    @property
    def shipping_charged(self) -> Decimal:
        """To the customer, on top of the price."""
        on_top = self.shipping in (None, "customer")
        return self.shipping_price if on_top and self.shipping_price is not None else NOTHING

    @property
    def shipping_missing(self) -> bool:
        """Whether the maker pays for it, and no list tells how much."""
        return self.shipping == "maker" and self.shipping_price is None

    def tax(self, amount: Decimal) -> Decimal:
        """On an amount or contained in it, rounded to the coin."""
        whole = _HUNDRED + self.tax_percent if self.tax_within else _HUNDRED
        return rounded(amount * self.tax_percent / whole, self.coin)

    def with_tax(self, amount: Decimal) -> Decimal:
        """What is paid for an amount."""
        return amount if self.tax_within else amount + self.tax(amount)

    def deposit_by_list(self, to_pay: Decimal) -> Decimal:
        """What the list's percentage makes of it, rounded to the coin."""
        return rounded(to_pay * self.deposit_percent / _HUNDRED, self.coin)


def terms(prices: PriceList, order: Order | None) -> Terms:
    """What holds for an order at a maker's prices."""
    agreed = None if order is None else order.payment
    deposit = None if agreed is None else agreed.deposit
    return Terms(
        coin=prices.coin,
        tax_percent=prices.tax_percent,
        tax_within=agreed is not None and agreed.tax == "maker",
        deposit=None if deposit is None else rounded(Decimal(repr(deposit)), prices.coin),
        deposit_percent=prices.deposit_percent,
        shipping=None if agreed is None else agreed.shipping,
        shipping_price=None if prices.shipping is None else rounded(prices.shipping, prices.coin),
    )
