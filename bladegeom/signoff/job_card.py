"""What the job card says: the order, the route, the heat treatment and the inspection, as text, ticks and blanks.

How it looks on paper and on a screen stands in the layers of drawing and export.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.revision_id import checksum, revision_id
from bladegeom.order.order import Change, Order
from bladegeom.signoff.card_steps import heat_part, inspection_part, route_part
from bladegeom.signoff.card_table import Card, CardPart, Cell, Column, Mark, Table
from bladegeom.signoff.check_order import check_made
from bladegeom.signoff.order_lines import STATES, fact_lines, to_settle, verdict
from bladegeom.signoff.traceability import Landing, landings
from bladegeom.workshop.route import Route
from bladegeom.workshop.work import Work

_WANTED: Final = (
    Column(name="no.", share=0.04, strong=True),
    Column(name="weight", share=0.06),
    Column(name="in the customer's words", share=0.31),
    Column(name="state", share=0.09, strong=True),
    Column(name="where it lands", share=0.38),
    Column(name="done", share=0.04),
    Column(name="initials", share=0.08),
)

_CHANGED: Final = (
    Column(name="date", share=0.1, strong=True),
    Column(name="in the customer's words", share=0.41),
    Column(name="answer", share=0.11, strong=True),
    Column(name="price", share=0.09),
    Column(name="when it came", share=0.14),
    Column(name="requirement", share=0.15),
)


def card(work: Route, remarks: Sequence[str] = ()) -> Card:
    """The card of a knife; without an order it has no part for one.

    Args:
        work: The route, with the order if there is one.
        remarks: For every page; what does not land is told there too.
    """
    order, mark = work.order, _mark(work)
    of = "" if order is None else f" {order.number}"
    parts = (route_part(work), *heat_part(work), inspection_part(work))
    if order is not None:
        landed = landings(order, work.knife, work.keys, work.settled)
        found = check_made(work)
        told = verdict(landed, found)
        parts = (_order_part(order, landed, told, found), *parts)
        # A wish that was forgotten is no error, and must not be forgotten again at the bench.
        remarks = (*remarks, *(() if landed and all(landing.lands for landing in landed) else (told,)))
    title = f"Job card{of}: {work.knife.name}, revision {mark}"
    return Card(name=work.knife.name, mark=mark, title=title, remarks=tuple(remarks), parts=parts)


def _mark(work: Route) -> str:
    """Of the design, and of the work where the maker settles any: another glue makes another card of the same knife."""
    settled = (work.work, work.steps)
    of_work = "" if settled == (Work(), ()) else f", work {checksum(settled)}"
    return f"{revision_id(work.knife)}{of_work}"


def _order_part(order: Order, landed: Sequence[Landing], told: str, found: Sequence[Finding]) -> CardPart:
    # Whoever has the card in hand can still ask.
    questions = tuple(f"to settle: {finding.message}" for finding in to_settle(found))
    changes = Table(title="Said later", columns=_CHANGED, rows=tuple(_change(change) for change in order.changes))
    return CardPart(
        key="order",
        title="The order",
        verdict=told,
        lines=(*questions, *_head(order), *fact_lines(order)),
        tables=(
            Table(title="What is wanted, and where it lands", columns=_WANTED, rows=tuple(_rows(landed))),
            *((changes,) if order.changes else ()),
        ),
    )


def _head(order: Order) -> Iterator[str]:
    yield f"order: {order.number}"
    yield f"customer: {order.customer}"
    until = "no date told" if order.needed_by is None else str(order.needed_by)
    yield f"ordered: {order.date}; needed by: {until}; quantity: {order.quantity}"


def _rows(landed: Sequence[Landing]) -> Iterator[tuple[Cell, ...]]:
    told = 0
    for landing in landed:
        wanted = landing.requirement
        first, told = wanted.number != told, wanted.number
        since = f" (since {wanted.since})" if wanted.since else ""
        words = f"{wanted.concerns}: {wanted.text}{since}" if first else ""
        yield (str(wanted.number), wanted.weight, words, STATES[landing.state], landing.words, Mark.TICK, Mark.BLANK)


def _change(change: Change) -> tuple[Cell, ...]:
    price = "not told" if change.price is None else f"{change.price:g}"
    into = "none" if change.requirement is None else f"number {change.requirement}"
    return (str(change.date), change.text, change.answer, price, change.gate or "not told", into)
