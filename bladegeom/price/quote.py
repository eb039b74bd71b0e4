"""The quote: material, consumables, outside work and hours of a run at the maker's own prices, the floor and the offer.

Every line is rounded to the coin before it is added, half up, so that a sum on paper agrees. An offer is given only
where everything has a price.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Annotated

from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order, Requirement
from bladegeom.price.bill import Bill
from bladegeom.price.hours import LoggedJob, Stage, stage, wages
from bladegeom.price.money import NOTHING, counted, rounded, rounded_up, total
from bladegeom.price.price_items import OpenPrice, Outside
from bladegeom.price.price_list import PriceList
from bladegeom.price.quote_material import Group, Missing, QuoteLine, consumable_lines, material_lines
from bladegeom.price.terms import Terms, terms
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.file_errors import QuoteError
from bladegeom.workshop.route import route

_HUNDRED = Decimal(100)
_NO_SHIPPING = (
    "shipping, which the order puts on you: write shipping = what sending the order costs, 0 where it costs nothing"
)
_MM_PER_METRE = Decimal(1000)


@dataclass(frozen=True, kw_only=True)
class Offer:
    """What a run is offered for, before tax unless said.

    Args:
        floor: What goes out of pocket, overhead counted, and nothing for the hours: below it the maker pays to work.
        cost: With the hours paid.
        each: Of one knife: the cost with the margin, rounded up.
        net: Of all knives.
        changes: Agreed with the customer since, in all.
        shipping: On top of the price; nothing where the maker pays for it or nothing is sent.
        tax: On these three, or contained in them.
        tax_within: Whether they contain it.
        deposit: Of what is to pay.
        least_more: What open items add at least.
        most_more: And at most.
    """

    floor: Decimal
    cost: Decimal
    each: Decimal
    net: Decimal
    changes: Decimal
    shipping: Decimal
    tax: Decimal
    tax_within: bool
    deposit: Decimal
    least_more: Decimal
    most_more: Decimal

    @property
    def to_pay(self) -> Decimal:
        """With tax, open items left out."""
        return self.before_tax + (NOTHING if self.tax_within else self.tax)

    @property
    def before_tax(self) -> Decimal:
        """Without the tax that comes on top, open items left out."""
        return self.net + self.changes + self.shipping


@dataclass(frozen=True, eq=False)
class Quote:
    """A run at a maker's prices.

    Args:
        bill: What it takes.
        prices: Of the maker.
        order: Of the customer, if there is one.
        jobs: Logged in the past.
        needs: Keys of all steps that the work needs, in working order.

    >>> from bladegeom import starter_prices, quote
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> made = quote(design, path)
    >>> made.bill.holes, len(made.lines)
    (6, 8)
    """

    bill: Bill
    prices: PriceList
    order: Order | None
    jobs: tuple[LoggedJob, ...]
    needs: tuple[str, ...]

    @cached_property
    def terms(self) -> Terms:
        """Of tax, deposit and shipping."""
        return terms(self.prices, self.order)

    @cached_property
    def lines(self) -> tuple[QuoteLine, ...]:
        """All amounts but the hours'."""
        return (
            *(line for line in self._material if isinstance(line, QuoteLine)),
            *consumable_lines(self.bill, self.prices),
            *(self._outside(outside) for outside in self.prices.outside if self._is_needed(outside.covers)),
            *self._own_shipping(),
        )

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """Time of each kind of work."""
        return tuple(work_stage for work_stage in self._times if isinstance(work_stage, Stage))

    @cached_property
    def missing(self) -> tuple[str, ...]:
        """What has no price, each with where to write it."""
        return (
            *(line.text for line in self._material if isinstance(line, Missing)),
            *(work_stage for work_stage in self._times if isinstance(work_stage, str)),
            *self._uncovered(),
            *self._unpriced_order(),
            *((_NO_SHIPPING,) if self.terms.shipping_missing else ()),
        )

    @property
    def minutes(self) -> Decimal:
        """Of all stages."""
        return total(work_stage.minutes for work_stage in self.stages)

    @property
    def overhead(self) -> Decimal:
        """For the hours worked, rounded to the coin."""
        return rounded(wages(self.minutes, self.prices.overhead_per_hour), self.prices.coin)

    def wage(self, work_stage: Stage) -> Decimal:
        """Of one stage, rounded to the coin."""
        rate = self.prices.hour_rate if work_stage.work.hour_rate is None else work_stage.work.hour_rate
        return rounded(wages(work_stage.minutes, rate), self.prices.coin)

    def sum_of(self, group: Group) -> Decimal:
        """Of a group of lines."""
        return total(line.amount for line in self.lines if line.group == group)

    @cached_property
    def known(self) -> Decimal:
        """All that has a price, hours and overhead with it; of an incomplete quote this is no price."""
        return (
            total(line.amount for line in self.lines)
            + self.overhead
            + total(self.wage(work_stage) for work_stage in self.stages)
        )

    @cached_property
    def open_items(self) -> tuple[tuple[Requirement, OpenPrice | None], ...]:
        """Requirements that are not decided yet, with what they may add."""
        wanted = () if self.order is None else self.order.requirements
        return tuple(
            (requirement, self._open_price(requirement)) for requirement in wanted if requirement.weight == "open"
        )

    @cached_property
    def offer(self) -> Offer:
        """What the run is offered for.

        Raises:
            QuoteError: Something has no price; all of it is named.
        """
        if self.missing:
            raise QuoteError(f"the quote is INCOMPLETE, and without a price: {'; '.join(self.missing)}")
        prices, n = self.prices, self.bill.copies
        floor = total(line.amount for line in self.lines) + self.overhead
        each = rounded_up(self.known * (_HUNDRED + prices.margin_percent) / _HUNDRED / n, prices.round_to)
        net, changes, told = each * n, total(self._change_prices), self.terms
        before = net + changes + told.shipping_charged
        to_pay = told.with_tax(before)
        opens = [price for _, price in self.open_items if price is not None]
        return Offer(
            floor=floor,
            cost=self.known,
            each=each,
            net=net,
            changes=changes,
            shipping=told.shipping_charged,
            tax=told.tax(before),
            tax_within=told.tax_within,
            deposit=told.deposit_by_list(to_pay) if told.deposit is None else told.deposit,
            least_more=total(price.least for price in opens),
            most_more=total(price.most for price in opens),
        )

    @cached_property
    def _material(self) -> tuple[QuoteLine | Missing, ...]:
        own = () if self.order is None else self.order.own_materials
        return tuple(material_lines(self.bill, self.prices, tuple(material.part.strip().lower() for material in own)))

    @cached_property
    def _times(self) -> tuple[Stage | str, ...]:
        return tuple(stage(work, self.bill, self.jobs) for work in self.prices.work if self._is_needed(work.covers))

    @property
    def _change_prices(self) -> Iterator[Decimal]:
        for change in () if self.order is None else self.order.changes:
            if change.answer == "accepted" and change.price is not None:
                yield rounded(Decimal(repr(change.price)), self.prices.coin)

    def _is_needed(self, covers: Sequence[str]) -> bool:
        """Work that covers no step in particular is always done."""
        return not covers or not set(covers).isdisjoint(self.needs)

    def _outside(self, outside: Outside) -> QuoteLine:
        bill, n = self.bill, Decimal(self.bill.copies)
        metres = counted(bill.cut_path) / _MM_PER_METRE
        parts = (
            (outside.per_order, Decimal(1), "the order"),
            (outside.per_knife, n, f"{n} knives" if n > 1 else "1 knife"),
            (outside.per_metre, n * metres, f"{n * metres:.3f} m of cut"),
            (outside.per_pierce, n * bill.pierces, f"{n * bill.pierces} pierce{'' if n * bill.pierces == 1 else 's'}"),
        )
        amount = sum((price * count for price, count, _ in parts if price is not None), NOTHING)
        how = ", ".join(words for price, _, words in parts if price is not None)
        if outside.least is not None and amount < outside.least:
            amount, how = outside.least, f"{how}; the least that is charged"
        return QuoteLine(group="outside work", what=outside.name, how=how, amount=rounded(amount, self.prices.coin))

    def _own_shipping(self) -> Iterator[QuoteLine]:
        """What it costs the maker, where the order puts it on him."""
        price = self.terms.shipping_price
        if self.terms.shipping == "maker" and price is not None:
            how, amount = "the order; you pay for it", rounded(price, self.prices.coin)
            yield QuoteLine(group="outside work", what="shipping", how=how, amount=amount)

    def _uncovered(self) -> Iterator[str]:
        by_others = {key for outside in self.prices.outside for key in outside.covers}
        covered = by_others | {key for work in self.prices.work for key in work.covers}
        for key in self.needs:
            if key not in covered:
                yield f'step {key}: name it in covers = ["{key}"] of a [[work]] or an [[outside]]'

    def _unpriced_order(self) -> Iterator[str]:
        for requirement, price in self.open_items:
            if price is None:
                yield (
                    f"open {requirement.name}: write least and most under [[open]] with about = "
                    f'"{requirement.concerns}"'
                )
        for change in () if self.order is None else self.order.changes:
            if change.answer == "accepted" and change.price is None:
                yield f"{change.name}: give its price in the order, 0 where it is free"

    def _open_price(self, wanted: Requirement) -> OpenPrice | None:
        """By its number before what it concerns."""
        by_name = {price.about: price for price in self.prices.open}
        return by_name.get(f"{wanted.number}") or by_name.get(wanted.concerns)


AnyQuote = Annotated[Quote, Like("quote(design, 'prices.toml')")]
"""A quote, and for messages how one is made."""


def quote_run(
    knife: Knife,
    prices: PriceList,
    *,
    copies: int = 1,
    order: Order | None = None,
    jobs: Sequence[LoggedJob] = (),
    operations: Iterable[str] | None = None,
) -> Quote:
    """What a run of a design costs and is offered for.

    Args:
        knife: The design.
        prices: Of the maker.
        copies: Of it.
        order: Its sheath, open requirements, agreed changes and the customer's own material count.
        jobs: Logged in the past, from which grinding rates are learned.
        operations: Keys of the steps of its route, each of which must have a price; None takes the route that follows
            from design and order.

    Raises:
        ParameterError: No such number of copies.
    """
    steps = route(knife, order).keys if operations is None else tuple(operations)
    return Quote(Bill(knife, copies, prices.saw.allowance), prices, order, tuple(jobs), steps)
