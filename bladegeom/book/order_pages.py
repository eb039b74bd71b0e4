"""The order in the book: what was asked for in the customer's words, where each wish lands, what is still to settle."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.brick import Brick, height_of, space, written
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import SIDE, tick_box
from bladegeom.book.like_numbers import limits_shown
from bladegeom.book.number_kinds import value_shown
from bladegeom.book.pouring import pour
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Item, Label, Sheet
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.fasteners.alike import grouped
from bladegeom.order.measures import measure
from bladegeom.order.order import Change, Order
from bladegeom.order.order_ways import HandCheck, Measured
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.told import capital
from bladegeom.signoff.order_lines import STATES, fact_lines, to_settle, verdict
from bladegeom.signoff.traceability import Landing
from bladegeom.workshop.operation import Number

_NUMBER: Final = 14.6
"""Width of the wish's number, mm."""

_OVER, _UNDER = 0.3, 0.5
"""Free over the first line of a wish and under its last, mm."""

_COLUMNS: Final = 6.0
"""Between the two columns of facts, mm."""


def order_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The order's pages; none without an order.

    Args:
        design: The knife with its order.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: Names and remarks leave no room.
    """
    if (order := design.order) is None:
        return ()
    flow = ChapterFlow(papers[0], f"Order {order.number}", design.title, remarks)
    flow.begin()
    told = verdict(design.landings, design.order_findings)
    if told not in remarks:
        flow.write(told, TEXT, bold=True)
    for finding in to_settle(design.order_findings):
        flow.write(f"To settle: {finding.message}", TEXT, bold=True)
    flow.y -= 1.5
    _facts(flow, (*_head(order), *fact_lines(order)))
    _title(flow, "What is wanted, and where it lands; tick each when it is handed over")
    for _, landed in itertools.groupby(design.landings, key=lambda landing: landing.requirement.number):
        _wish(flow, tuple(landed), design.route.keys)
    if order.changes:
        flow.y -= 1.0
        flow.fit(min(len(order.changes), 2) * TEXT * LEADING + TEXT * LEADING)
        flow.write("Said later", TEXT, bold=True)
        for change in order.changes:
            flow.write(_change(change), TEXT)
    return flow.sheets()


def _head(order: Order) -> Iterator[str]:
    yield f"customer: {order.customer}"
    until = "no date told" if order.needed_by is None else str(order.needed_by)
    yield f"ordered: {order.date}"
    yield f"needed by: {until}"
    yield f"quantity: {order.quantity}"


def _title(flow: ChapterFlow, text: str) -> None:
    # No title stands alone at the foot of a page.
    flow.fit(8 * TEXT * LEADING)
    flow.y -= 2.5
    flow.write(text, HEAD, bold=True)
    flow.rule(1.2)
    flow.y -= 0.8


def _facts(flow: ChapterFlow, facts: Sequence[str]) -> None:
    """Short ones first, three to a row, then two; what needs the whole width stands under them."""
    by_count = grouped((_abreast(fact, flow.width), fact) for fact in facts)
    for count, run in sorted(by_count, key=lambda group: -group[0]):
        width = _column(flow.width, count)
        told = [wrapped(fact, TEXT, width) for fact in run]
        rows = -(-len(told) // count)
        for row in range(rows):
            parts = told[row::rows]
            height = max(map(len, parts)) * TEXT * LEADING
            flow.fit(height)
            for i, part in enumerate(parts):
                flow.add(*_lines(part, flow.x + i * (width + _COLUMNS), flow.y))
            flow.y -= height


def _abreast(fact: str, width: float) -> int:
    """How many facts of a length stand beside each other, in a line each."""
    return next((count for count in (3, 2) if len(wrapped(fact, TEXT, _column(width, count))) == 1), 1)


def _column(width: float, count: int) -> float:
    return (width - (count - 1) * _COLUMNS) / count


def _lines(parts: Sequence[str], x: float, top: float) -> Iterator[Item]:
    for i, text in enumerate(parts, start=1):
        yield Label(layer="NOTE", x=x, y=top - i * TEXT * LEADING, text=text, height=TEXT)


def _wish(flow: ChapterFlow, landed: Sequence[Landing], steps: Sequence[str]) -> None:
    """A wish with a box to tick, and under it how it is met, those of a state together."""
    wanted = landed[0].requirement
    since = f" (since {wanted.since})" if wanted.since else ""
    width = flow.width - _NUMBER - SIDE - 2.0
    head = written(f"{wanted.concerns}: {wanted.text}{since}", width, bold=True)
    ways = written(_landings(landed, steps), width)
    number = written(f"{wanted.number} {wanted.weight}", _NUMBER, bold=True)
    tick = Brick(items=(tick_box(0.0, -0.6),), height=SIDE)
    words = (space(_OVER), *head, *ways, space(_UNDER))
    if height_of(words) > flow.left and height_of(words) < flow.full:
        flow.begin()
    pour(
        flow,
        (
            (flow.x, (space(_OVER), *number)),
            (flow.x + _NUMBER, words),
            (flow.x + flow.width - SIDE, (tick,)),
        ),
    )
    flow.rule(0.0)


def _landings(landed: Sequence[Landing], steps: Sequence[str]) -> str:
    """How it is met, those ways together that are in the same state; a step with its number in the route."""
    told = []
    for state in dict.fromkeys(landing.state for landing in landed):
        words = "; ".join(_words(landing) for landing in landed if landing.state == state)
        told.append(f"{capital(STATES[state])}: {_STEP.sub(lambda found: _numbered(found[1], steps), words)}")
    return ". ".join(told)


def _words(landing: Landing) -> str:
    """What is measured is told as finely as it is at the inspection, which says how."""
    way = landing.way
    if isinstance(way, HandCheck):
        return f"{way.signed} signs: {way.look}"
    if not isinstance(way, Measured) or landing.measured is None or landing.state != "met":
        return landing.words.removeprefix("design: ")
    quantity, (low, high) = measure(way.measure), way.limits
    number = Number(
        what=quantity.name,
        unit=quantity.unit,
        value=landing.measured,
        low=low if math.isfinite(low) else None,
        high=high if math.isfinite(high) else None,
        measure=quantity.name,
    )
    return f"{number.what} {value_shown(number)}, wanted {limits_shown(number)}"


_STEP: Final = re.compile(r"\bstep ([a-z][a-z0-9_]*)(?=:)")
"""How a landing tells its step."""


def _numbered(key: str, steps: Sequence[str]) -> str:
    return f"step {steps.index(key) + 1}" if key in steps else f"step {key}"


def _change(change: Change) -> str:
    price = "price not told" if change.price is None else f"price {change.price:g}"
    into = "no wish changed" if change.requirement is None else f"now wish {change.requirement}"
    when = "when it came is not told" if change.gate is None else f"came {change.gate}"
    return f"{change.date}: {change.text!r} - {change.answer}, {price}, {when}, {into}"
