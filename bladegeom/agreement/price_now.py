"""What the customer would pay today, to be set beside the price that was agreed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bladegeom.agreement.signed import AgreedPrice
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.quote import quote_run


def price_now(knife: Knife, order: Order | None, operations: Sequence[str], prices: Path) -> AgreedPrice | None:
    """The whole order at a maker's prices, without hours learned from past jobs; None where something has no price.

    Args:
        knife: The design.
        order: That it is made for; without one a single knife is priced.
        operations: Keys of the steps of its route.
        prices: File of the price list.

    Raises:
        UnreadableFileError: The price list cannot be read, or says what none can say.
    """
    listed = read_prices(prices)
    made = quote_run(knife, listed, copies=1 if order is None else order.quantity, order=order, operations=operations)
    return None if made.missing else AgreedPrice(amount=str(made.offer.to_pay), currency=listed.currency)
