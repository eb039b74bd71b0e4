"""A maker's own price list: what things cost to buy again today, what an hour is worth, and the terms of an offer.

Nothing in it is ours: no price, rate or percentage has a default that would pass for one.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal, get_args

from bladegeom.price.money import require_amounts, require_positive_amounts
from bladegeom.price.price_items import (
    BarPrice,
    Consumable,
    Gate,
    OpenPrice,
    Outside,
    RodPrice,
    Sawing,
    SheetPrice,
    Work,
    require_percents,
    require_word,
)
from bladegeom.quantities.errors import ParameterError

Remnant = Literal["kept", "charged"]


@dataclass(frozen=True, kw_only=True)
class PriceList:
    """All of it, in one currency, before tax.

    Args:
        currency: As it is to be printed, such as "EUR".
        date: Of the prices.
        coin: The smallest amount there is; every line is rounded to it, half up.
        round_to: The price of a knife is rounded up to a multiple of this.
        hour_rate: Of the maker's own work.
        overhead_per_hour: Rent, power, machines, for each hour worked.
        margin_percent: Added to the cost.
        tax_percent: Added to the price; 0 where none is charged.
        deposit_percent: Of what is to pay, before the work begins, where the order agrees on no other.
        validity_days: How long an offer stands.
        remnant: "kept": what is left of a bar or sheet is of use, and only the part used is charged; "charged": whole.
        saw: What sawing takes.
        bars: Steel.
        sheets: Slabs and liners.
        rods: For pins and tubes.
        hardware: Price of one piece by the name that the bill gives it.
        consumables: What the work uses up.
        outside: What others do.
        work: What the maker does.
        gates: In working order.
        open: What open items may add.
        shipping: Of sending an order, packing and insurance with it; None leaves it out.
        note: Said on the maker's copy.
        terms: Last lines of the offer, in the maker's own words; empty by default, for they bind.
    """

    currency: str
    date: datetime.date
    coin: Decimal
    round_to: Decimal
    hour_rate: Decimal
    overhead_per_hour: Decimal
    margin_percent: Decimal
    tax_percent: Decimal
    deposit_percent: Decimal
    validity_days: int
    remnant: Remnant
    saw: Sawing
    bars: tuple[BarPrice, ...] = ()
    sheets: tuple[SheetPrice, ...] = ()
    rods: tuple[RodPrice, ...] = ()
    hardware: Mapping[str, Decimal] = field(default_factory=dict)
    consumables: tuple[Consumable, ...] = ()
    outside: tuple[Outside, ...] = ()
    work: tuple[Work, ...] = ()
    gates: tuple[Gate, ...] = ()
    open: tuple[OpenPrice, ...] = ()
    shipping: Decimal | None = None
    note: str = ""
    terms: str = ""

    def __post_init__(self) -> None:
        if not self.currency.strip():
            raise ParameterError("currency", repr(self.currency), 'be named, such as "EUR"')
        require_positive_amounts("prices", coin=self.coin, round_to=self.round_to)
        require_amounts("prices", hour_rate=self.hour_rate, overhead_per_hour=self.overhead_per_hour)
        require_amounts("prices", shipping=self.shipping)
        for name, price in self.hardware.items():
            require_amounts("hardware", **{name: price})
        require_percents(
            "prices",
            margin_percent=self.margin_percent,
            tax_percent=self.tax_percent,
            deposit_percent=self.deposit_percent,
        )
        if self.round_to % self.coin:
            raise ParameterError("round_to", self.round_to, f"be a multiple of coin, {self.coin}")
        if self.deposit_percent > 100:
            raise ParameterError("deposit_percent", self.deposit_percent, "be at most 100")
        if self.validity_days < 1:
            raise ParameterError("validity_days", self.validity_days, "be 1 or more")
        require_word("prices: remnant", self.remnant, get_args(Remnant))
