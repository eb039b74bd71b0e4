"""A maker's own price list: what things cost to buy again today, what an hour is worth, and the terms of an offer.

Nothing in it is ours: no price, rate or percentage has a default that would pass for one.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal
from typing import Annotated, Literal

from bladegeom.price.money import Amount, Percent, PositiveAmount
from bladegeom.price.price_items import (
    BarPrice,
    Consumable,
    Gate,
    OpenPrice,
    Outside,
    RodPrice,
    Sawing,
    SheetPrice,
    TimedWork,
)
from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, Count, InUnit, Says

Remnant = Literal["kept", "charged"]


@declared("price list")
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

    >>> from bladegeom import starter_prices, read_prices
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> read_prices(path).currency
    'EUR'
    """

    currency: Annotated[str, Says("EUR")]
    date: datetime.date
    coin: PositiveAmount
    round_to: PositiveAmount
    hour_rate: Amount
    overhead_per_hour: Amount
    margin_percent: Percent
    tax_percent: Percent
    deposit_percent: Annotated[Decimal, Between(0, 100), InUnit("%")]
    validity_days: Count
    remnant: Remnant
    saw: Sawing
    bars: tuple[BarPrice, ...] = ()
    sheets: tuple[SheetPrice, ...] = ()
    rods: tuple[RodPrice, ...] = ()
    hardware: Mapping[str, Decimal] = field(default_factory=dict)
    consumables: tuple[Consumable, ...] = ()
    outside: tuple[Outside, ...] = ()
    work: tuple[TimedWork, ...] = ()
    gates: tuple[Gate, ...] = ()
    open: tuple[OpenPrice, ...] = ()
    shipping: Amount | None = None
    note: str = ""
    terms: str = ""

    def __post_init__(self) -> None:
        for name, price in self.hardware.items():
            checked(f"hardware: {name}", price, Amount)
        if self.round_to % self.coin:
            raise ParameterError("price list: round_to", self.round_to, f"be a multiple of coin, {self.coin}")
