"""What the material of a run costs at today's prices; whatever has no price is named."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from bladegeom.handle.scale_blank import SlabBlank
from bladegeom.price.bill import Bill
from bladegeom.price.lay_out import StockUse, of_bars, of_rods, of_sheets
from bladegeom.price.money import counted, rounded, trimmed
from bladegeom.price.price_items import BarPrice, Consumable, Grinding
from bladegeom.price.price_list import PriceList
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import show_length
from bladegeom.solids.part import G_PER_MM3

SAME_THICKNESS = 0.05
"""Bars and sheets whose thickness differs by less are one, mm; own choice: below what calipers in a shop tell."""

Group = Literal["material", "consumables", "outside work"]


@dataclass(frozen=True, kw_only=True)
class QuoteLine:
    """One amount.

    Args:
        group: Where it is added up.
        what: It is for.
        how: The quantity, in words.
        amount: Rounded to the coin of the list.
    """

    group: Group
    what: str
    how: str
    amount: Decimal


@dataclass(frozen=True)
class Missing:
    """Something without a price: what, and what to write into the price list."""

    text: str


def material_lines(bill: Bill, prices: PriceList, brought: Sequence[str]) -> Iterator[QuoteLine | Missing]:
    """Of steel, slabs, liners, rods and hardware.

    Args:
        bill: What the run takes.
        prices: Of it.
        brought: Parts whose material the customer brings: "steel", "scales", "liners", "pin".
    """
    if "steel" in brought:
        yield _brought(f"Steel: {bill.bar.words}")
    else:
        yield _bar(bill, prices)
    for blank in bill.sheets:
        what = f"{blank.part.capitalize()}: {blank.material.name}, {show_length(blank.thickness)}"
        own = blank.part.split()[0]
        yield _brought(what) if {own, own.rstrip("s")} & set(brought) else _sheet(blank, bill, prices, what)
    yield from _rods(bill, prices, brought)
    for name, count in bill.hardware:
        price = prices.hardware.get(name)
        if price is None:
            yield Missing(f'{name}: write "{name}" = price of one under [hardware]')
        else:
            yield QuoteLine(
                group="material", what=name, how=_some(count, "piece"), amount=_coins(price * count, prices)
            )


def consumable_lines(bill: Bill, prices: PriceList) -> Iterator[QuoteLine]:
    """What the work uses up, by the order, the knife, the hole and the steel that is ground off."""
    for consumable in prices.consumables:
        if count := _count(consumable, bill):
            amount = _coins(count * consumable.price, prices)
            yield QuoteLine(group="consumables", what=consumable.name, how=f"{trimmed(count)} of it", amount=amount)


def _count(consumable: Consumable, bill: Bill) -> Decimal:
    n, none = Decimal(bill.copies), Decimal(0)
    count = (consumable.per_order or none) + n * (
        (consumable.per_knife or none) + bill.holes * (consumable.per_hole or none)
    )
    if consumable.lasts_mm3 is None:
        return count
    steps: tuple[Grinding, ...] = (consumable.grinding,) if consumable.grinding else ("rough", "finish")
    return count + n * sum(counted(bill.ground_off(step)) for step in steps) / consumable.lasts_mm3


def _bar(bill: Bill, prices: PriceList) -> QuoteLine | Missing:
    blank = bill.bar
    fitting = [
        (bar, use)
        for bar in prices.bars
        if bar.steel == blank.steel.name and abs(bar.thickness - blank.thickness) < SAME_THICKNESS
        if (use := of_bars(blank, bill.copies, bar, prices.saw))
    ]
    if not fitting:
        return Missing(
            f"bar of {blank.steel.name}, {show_length(blank.thickness)} thick, at least {room_to_buy(blank.height)} "
            f"high and {room_to_buy(blank.length + 2 * prices.saw.end_trim)} long: write one under [[bar]]"
        )
    amount, _, bar, use = min(
        (_charged(_bar_price(bar, bill), use, prices), i, bar, use) for i, (bar, use) in enumerate(fitting)
    )
    how = (
        f"{_some(bill.copies, 'blank')} on {_some(use.whole, 'bar')} of {show_length(bar.length)}, "
        f"{show_length(bar.height)} high{_remnant(use, prices)}"
    )
    return QuoteLine(group="material", what=f"Steel: {blank.words}", how=how, amount=amount)


def _bar_price(bar: BarPrice, bill: Bill) -> Decimal:
    if bar.price is not None:
        return bar.price
    volume = bar.length * bar.height * bar.thickness
    kg = counted(volume * bill.bar.steel.density_g_cm3 * G_PER_MM3 / 1000)
    return kg * (bar.price_per_kg or Decimal(0))


def _sheet(blank: SlabBlank, bill: Bill, prices: PriceList, what: str) -> QuoteLine | Missing:
    pieces, slab = blank.pieces * bill.copies, blank.part == "scales"
    found = []
    for i, sheet in enumerate(prices.sheets):
        more = sheet.thickness - blank.thickness
        thick = more > -SAME_THICKNESS if slab else abs(more) < SAME_THICKNESS
        use = of_sheets(blank, pieces, sheet, prices.saw)
        if sheet.material == blank.material.name and thick and use is not None:
            found.append((_charged(sheet.price, use, prices), i, sheet, use))
    if not found:
        least = "at least " if slab else ""
        return Missing(
            f"{blank.part} of {blank.material.name}, {least}{show_length(blank.thickness)} thick, at least "
            f"{room_to_buy(blank.length)} by {room_to_buy(blank.width)}: write a piece of it under [[sheet]]"
        )
    amount, _, sheet, use = min(found, key=lambda choice: choice[:2])
    how = (
        f"{_some(pieces, 'piece')} of {room_to_buy(blank.length)} by {room_to_buy(blank.width)} "
        f"from {_some(use.whole, 'piece')} of {show_length(sheet.length)} by {show_length(sheet.width)}, "
        f"{show_length(sheet.thickness)} thick{_remnant(use, prices)}"
    )
    return QuoteLine(group="material", what=what, how=how, amount=amount)


def _rods(bill: Bill, prices: PriceList, brought: Sequence[str]) -> Iterator[QuoteLine | Missing]:
    for pieces in bill.rods:
        what = pieces.words[0].upper() + pieces.words[1:]
        if ("tube" if pieces.inside else "pin") in brought:
            yield _brought(what)
            continue
        found = [
            (_charged(rod.price, use, prices), i, rod, use)
            for i, rod in enumerate(prices.rods)
            if rod.metal == pieces.metal.name
            and abs(rod.diameter - pieces.diameter) < SAME_THICKNESS
            and (rod.inside is None) == (pieces.inside is None)
            and abs((rod.inside or 0.0) - (pieces.inside or 0.0)) < SAME_THICKNESS
            if (use := of_rods(pieces, rod))
        ]
        if not found:
            yield Missing(f"{pieces.words}, at least {room_to_buy(max(pieces.lengths))} long: write one under [[rod]]")
            continue
        amount, _, rod, use = min(found, key=lambda choice: choice[:2])
        how = (
            f"{_some(len(pieces.lengths), 'piece')}, {room_to_buy(pieces.whole)} in all with the saw cuts, "
            f"from {_some(use.whole, 'rod')} of {show_length(rod.length)}{_remnant(use, prices)}"
        )
        yield QuoteLine(group="material", what=what, how=how, amount=amount)


def _charged(price: Decimal, use: StockUse, prices: PriceList) -> Decimal:
    """Of stock: what is used of it, or all of it."""
    if prices.remnant == "charged":
        return _coins(price * use.whole, prices)
    return _coins(price * use.share.numerator / use.share.denominator, prices)


def _remnant(use: StockUse, prices: PriceList) -> str:
    left = "" if use.remnant is None else f"; {show_length(use.remnant)} left of the last"
    if prices.remnant == "charged":
        return f"{left}; charged whole"
    return f"{left}; {float(use.share):.3f} of one charged"


def _some(count: int, name: str) -> str:
    return f"{count} {name}{'' if count == 1 else 's'}"


def _brought(what: str) -> QuoteLine:
    return QuoteLine(group="material", what=what, how="brought by the customer", amount=Decimal(0))


def _coins(amount: Decimal, prices: PriceList) -> Decimal:
    return rounded(amount, prices.coin)
