"""Price lists for tests; every number is invented."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal as D  # noqa: N817
from functools import cache
from typing import Any

import specimens

from bladegeom.knife.knife import Knife
from bladegeom.price.price_items import BarPrice, Consumable, Gate, Outside, Sawing, TimedWork
from bladegeom.price.price_list import PriceList

OTHERS = ("template", "drill", "straighten", "surface", "sharpen", "inspect", "temper", "mark", "sheath")
"""Steps that one kind of work covers in the plain list."""


@cache
def plank() -> Knife:
    """A rectangle of 300 by 30 by 4 mm, no holes, no scales; the bevel takes off two prisms of 200 x 18 x 1.75 / 2."""
    return specimens.ground(specimens.bar_outline())


def plain_list(**more: Any) -> PriceList:
    """Everything that the plank needs."""
    values: dict[str, Any] = {
        "currency": "EUR",
        "date": datetime.date(2026, 3, 1),
        "coin": D("0.01"),
        "round_to": D("0.50"),
        "hour_rate": D(40),
        "overhead_per_hour": D(6),
        "margin_percent": D(10),
        "tax_percent": D(7),
        "deposit_percent": D(50),
        "validity_days": 30,
        "remnant": "kept",
        "saw": Sawing(kerf=2.0, allowance=5.0, end_trim=10.0),
        "bars": (BarPrice(steel="1084", thickness=4.0, height=40.0, length=1000.0, price=D(50)),),
        "consumables": (Consumable(name="belts", price=D(6), lasts_mm3=D(9000)),),
        "outside": (
            Outside(name="cutting", covers=("cut",), per_order=D(20), per_metre=D(10), per_pierce=D("0.5")),
            Outside(name="hardening", covers=("heat_treat",), per_knife=D(5)),
        ),
        "work": (
            TimedWork(name="finish grinding", covers=("finish_grind",), grinding="finish", mm3_per_minute=D(90)),
            TimedWork(name="all else", covers=OTHERS, minutes_per_order=D(10), minutes_per_knife=D(20)),
        ),
        "gates": (Gate(name="the blank is cut", fee=D(25), percent=D(20)),),
    }
    return PriceList(**(values | more))


def without(prices: PriceList, field: str, index: int) -> PriceList:
    """The list without one entry of a field."""
    entries = getattr(prices, field)
    return dataclasses.replace(prices, **{field: entries[:index] + entries[index + 1 :]})
