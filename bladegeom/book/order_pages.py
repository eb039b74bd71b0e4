"""The order in the book: what was asked for in the customer's words, where each wish lands, what is still to settle."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import SIDE, tick_box, written_line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Item, Label, Sheet
from bladegeom.drawing.page_flow import CellText
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.order.order import Change, Order
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.signoff.order_lines import STATES, fact_lines, to_settle, verdict
from bladegeom.signoff.traceability import Landing

_NUMBER, _SIGNED = 18.0, 36.0
"""Widths of the wish's number and of the place to sign, mm."""

_LEAST: Final = 7.0
"""Height of a row with a box to tick, mm."""

_ROW: Final = CellText(size=TEXT, step=TEXT * LEADING, above=0.8, below=0.9)
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
    flow.write(verdict(design.landings, design.order_findings), TEXT, bold=True)
    for finding in to_settle(design.order_findings):
        flow.write(f"To settle: {finding.message}", TEXT, bold=True)
    flow.y -= 1.5
    _facts(flow, (*_head(order), *fact_lines(order)))
    _title(flow, "What is wanted, and where it lands")
    for _, landed in itertools.groupby(design.landings, key=lambda landing: landing.requirement.number):
        _wish(flow, tuple(landed), design.route.keys)
    if order.changes:
        _title(flow, "Said later")
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
    """In two columns, as even as may be; what is longer than a column stands over both, in its place."""
    width = (flow.width - _COLUMNS) / 2
    lines = [wrapped(fact, TEXT, width) for fact in facts]
    for is_long, run in itertools.groupby(zip(facts, lines, strict=True), key=lambda pair: len(pair[1]) > 2):
        if is_long:
            for fact, _ in run:
                flow.write(fact, TEXT)
        else:
            _in_columns(flow, [part for _, part in run], width)


def _in_columns(flow: ChapterFlow, facts: Sequence[list[str]], width: float) -> None:
    left = -(-len(facts) // 2)
    for first, second in itertools.zip_longest(facts[:left], facts[left:], fillvalue=()):
        height = max(len(first), len(second)) * TEXT * LEADING
        flow.fit(height)
        for i, parts in enumerate((first, second)):
            x = flow.x + i * (width + _COLUMNS)
            flow.add(*_lines(parts, x, flow.y))
        flow.y -= height


def _lines(parts: Sequence[str], x: float, top: float) -> Iterator[Item]:
    for i, text in enumerate(parts, start=1):
        yield Label(layer="NOTE", x=x, y=top - i * TEXT * LEADING, text=text, height=TEXT)


def _wish(flow: ChapterFlow, landed: Sequence[Landing], steps: Sequence[str]) -> None:
    """A wish with a box to tick and a line to sign beside it, its ways below each other."""
    wanted = landed[0].requirement
    since = f" (since {wanted.since})" if wanted.since else ""
    words = wrapped(f"{wanted.concerns}: {wanted.text}{since}", TEXT, flow.width - _NUMBER - _SIGNED, bold=True)
    ways = [wrapped(_landing(landing, steps), TEXT, flow.width - _NUMBER) for landing in landed]
    # A wish keeps together where a page can hold it.
    whole = max(_LEAST, _ROW.height(len(words))) + sum(_ROW.height(len(way)) for way in ways)
    flow.fit(min(whole, flow.room - _MOST_HEAD))
    for i, (lines, bold) in enumerate([(words, True), *((way, False) for way in ways)]):
        head = [f"{wanted.number} {wanted.weight}"] if i == 0 else []
        for (number, text), height in flow.row((head, lines), _ROW, least=0.0 if i else _LEAST):
            flow.add(*_ROW.labels(number, flow.x, flow.y, bold=True))
            flow.add(*_ROW.labels(text, flow.x + _NUMBER, flow.y, bold=bold))
            if number:
                flow.add(*_to_sign(flow.x + flow.width, flow.y))
            flow.y -= height
    flow.rule(0.4)


_MOST_HEAD: Final = 40.0
"""Of a page's room that its title may take where nobody knows how much it takes, mm."""


def _to_sign(right: float, top: float) -> tuple[Item, Item]:
    box = tick_box(right - _SIGNED + 3.0, top - 1.0)
    return box, written_line(right - _SIGNED + 3.0 + SIDE + 3.0, top - 1.0 - SIDE, right)


def _landing(landing: Landing, steps: Sequence[str]) -> str:
    """How it is met; a step with its number in the route."""
    words = _STEP.sub(lambda found: _numbered(found[1], steps), landing.words)
    return f"{STATES[landing.state]}: {words}"


_STEP: Final = re.compile(r"\bstep ([a-z][a-z0-9_]*)(?=:)")
"""How a landing tells its step."""


def _numbered(key: str, steps: Sequence[str]) -> str:
    return f"step {steps.index(key) + 1}" if key in steps else f"step {key}"


def _change(change: Change) -> str:
    price = "price not told" if change.price is None else f"price {change.price:g}"
    into = "no wish changed" if change.requirement is None else f"now wish {change.requirement}"
    when = "when it came is not told" if change.gate is None else f"came {change.gate}"
    return f"{change.date}: {change.text!r} - {change.answer}, {price}, {when}, {into}"
