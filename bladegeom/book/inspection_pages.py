"""The inspection of the book: what is asked of the finished knife, and where the rest was written on the way."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.bench_steps import bench_steps
from bladegeom.book.blanks import ANSWER, answer_brick, box
from bladegeom.book.brick import Brick, abreast, height_of, placed, space, written
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH, SIDE, tick_box
from bladegeom.book.like_numbers import STAR, STAR_WORDS, LikeNumbers, by_place, limits_shown, starred, unit_word
from bladegeom.book.number_kinds import value_shown
from bladegeom.book.pouring import pour
from bladegeom.book.step_flow import put_steps, tell_signs
from bladegeom.book.step_layout import step_block
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.fasteners.alike import grouped
from bladegeom.order.order import Order
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.papers import Paper
from bladegeom.workshop.inspection import OPEN
from bladegeom.workshop.operation import PRACTICE, Number
from bladegeom.workshop.written import is_inspection, written_at, written_besides

_APART: Final = 3.0
"""Between two columns, mm."""

_WHAT: Final = 0.6
"""Share of the words in what blanks leave of a row."""

_MANY: Final = 4
"""From so many places on the first and the last are named."""

_BOX: Final = SIDE + 2.0
"""A box to tick with what stays free behind it, mm."""

_NEAR: Final = 1.5
"""Between a blank and the word beside it, mm."""

_UP: Final = (BLANK_HEIGHT - TEXT) / 2
"""By which a blank stands out over the line of text beside it, mm."""

_FIRST: Final = f"A line outside its limits is told to the customer before the knife leaves. {STAR_WORDS}."

_ORDER: Final = "the order"
"""Source of limits that stand without one."""

_SIGNED: Final = "signed by "
"""With which the note of a hand check names who signs it."""


def inspection_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The chapter; every design has one.

    Args:
        design: The knife with its order and work.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: The name of the knife and the remarks leave no room.
    """
    flow = ChapterFlow(papers[0], "Inspection", design.title, remarks)
    flow.begin()
    flow.y -= 1.0
    steps = bench_steps(design.route)
    for i, step in enumerate(steps, start=1):
        if is_inspection(design.route, step):
            put_steps(flow, (step_block(i, step, None, flow.width, {}),))
    flow.y += 1.5
    _whose(flow, design.order)
    lines = tuple(written_at(design.route, steps))
    here = [number for number, step in lines if step is None]
    _measured(flow, [number for number in here if number.unit != "yes/no"])
    tried = [number for number in here if number.unit == "yes/no"]
    carried = [(number, step) for number, step in lines if step is not None]
    carried += written_besides(design.route, steps)

    def rest(page: PageFlow) -> None:
        for signer, group in grouped((_signer(number), number) for number in tried):
            _tried(page, signer, group)
        _carried(page, carried)

    # What goes on to a second page begins there, where that page holds all of it.
    flow.keep(rest)
    tell_signs(flow)
    return flow.sheets()


def _whose(flow: PageFlow, order: Order | None) -> None:
    """What to do with a line, whose order the knife is for, and which of its knives it is."""
    flow.write(_FIRST, TEXT)
    if order is None:
        return
    if order.quantity > 1:
        of, first = f"of {order.quantity}", flow.y + TEXT * LEADING
        end = flow.x + flow.width - text_width(of, TEXT)
        left = end - _NEAR - BLANK_WIDTH
        flow.add(box(left, first + _UP, BLANK_WIDTH, BLANK_HEIGHT))
        flow.add(Label(layer="NOTE", x=end, y=first - TEXT, text=of, height=TEXT))
        flow.add(Label(layer="NOTE", x=left - _NEAR, y=first - TEXT, text="knife", height=TEXT, anchor="end"))
    until = f", needed by {order.needed_by}" if order.needed_by else ""
    flow.write(f"Order {order.number} for {order.customer}{until}", TEXT, bold=True)


def _columns(flow: PageFlow) -> tuple[float, float, float]:
    """Left borders of words, numbers and blanks."""
    blanks = flow.x + flow.width - ANSWER
    return flow.x, flow.x + _WHAT * (blanks - flow.x), blanks


def _measured(flow: PageFlow, numbers: Sequence[Number]) -> None:
    if not numbers:
        return
    _table_head(flow, "Measured on the finished knife")
    flow.again = lambda: _table_head(flow, "Measured on the finished knife, continued")
    for number in numbers:
        _row(flow, number)
    flow.again = lambda: None


def _table_head(flow: PageFlow, title: str) -> None:
    flow.y -= 2.0
    flow.fit(HEAD * 1.5 + 3 * BLANK_HEIGHT)
    _, numbers, blanks = _columns(flow)
    top = flow.y
    flow.write(title, HEAD, right=flow.x + flow.width - numbers, bold=True)
    for x, text in ((numbers, "as designed; the order's limits"), (blanks, "measured")):
        flow.add(*placed(_listed(text, 60.0), x, top - HEAD * 0.35))
    flow.rule(1.2)
    flow.y -= 0.6


def _signer(number: Number) -> str:
    """Who signs what is looked at: the customer, or else the maker."""
    return number.note.removeprefix(_SIGNED) if number.note.startswith(_SIGNED) else "maker"


def _tried(flow: PageFlow, signer: str, numbers: Sequence[Number]) -> None:
    """What one person looks at and tries: each with a box to tick, in two columns, and a blank to sign them all."""
    width = (flow.width - _APART) / 2
    bricks = [_ticked(number, width) for number in numbers]
    rows = -(-len(bricks) // 2)
    flow.y -= 1.2
    flow.fit(BLANK_HEIGHT + 1.2 + max(brick.height for brick in bricks))
    top = flow.y
    flow.write(f"Looked at and tried: ticked and {_SIGNED}{signer}", HEAD, right=BLANK_WIDTH + _APART, bold=True)
    flow.add(box(flow.x + flow.width - BLANK_WIDTH, top, BLANK_WIDTH, BLANK_HEIGHT))
    flow.y = min(flow.y, top - BLANK_HEIGHT)
    flow.rule(0.6)
    flow.y -= 0.6
    pour(flow, ((flow.x, bricks[:rows]), (flow.x + width + _APART, bricks[rows:])))


def _ticked(number: Number, width: float) -> Brick:
    """A box with what it stands for beside it."""
    note = "" if number.note.startswith(_SIGNED) else number.note
    words = (*written(number.what, width - _BOX), *_listed(note, width - _BOX), space(0.8))
    tick = Brick(items=(tick_box(0.0, -0.2),), height=SIDE + 0.8)
    return abreast(((0.0, (tick,)), (_BOX, words)))


def _row(flow: PageFlow, number: Number) -> None:
    """Words and numbers with a blank, kept together where a page holds them."""
    what, numbers, blanks = _columns(flow)
    wide = numbers - what - _APART
    columns = (
        (what, (*written(number.what, wide, bold=True), *_listed(number.note, wide))),
        (numbers, tuple(_told(number, blanks - numbers - _APART))),
        (blanks, (answer_brick(unit_word(number)),)),
    )
    height = max(height_of(bricks) for _, bricks in columns)
    if height > flow.left and height < flow.room / 2:
        flow.begin()
    pour(flow, columns)
    flow.rule(0.2)
    flow.y -= 0.2


def _listed(text: str, width: float) -> tuple[Brick, ...]:
    return written(text, width) if text else ()


def _told(number: Number, width: float) -> Iterator[Brick]:
    """As designed, in bold, and the limits with whose they are."""
    yield from written(value_shown(number).text, width, bold=True) if number.text else ()
    source = "" if number.source in (PRACTICE, _ORDER) else starred(number.source).strip().removeprefix("the ")
    limits = ", ".join(text for text in (limits_shown(number), source) if text) or OPEN
    if number.source == PRACTICE:
        limits += STAR
    yield from _listed(limits, width)


def _carried(flow: PageFlow, lines: Sequence[tuple[Number, int]]) -> None:
    """What was written down at a step of the route: where, and what the order asks of it."""
    if not lines:
        return
    flow.y -= 1.2
    flow.fit(HEAD * 1.5 + 3 * BLANK_HEIGHT)
    flow.write("Written in the route, and not measured again", HEAD, bold=True)
    flow.rule(1.2)
    flow.y -= 0.6
    width = (flow.width - _APART) / 2
    told = []
    for step in sorted({step for _, step in lines}):
        groups = by_place([number for number, at in lines if at == step])
        told.append(written(f"step {step}: {'; '.join(map(_named, groups))}", width))
    heights = [height_of(bricks) for bricks in told]
    split = min(range(1, len(told) + 1), key=lambda n: max(sum(heights[:n]), sum(heights[n:])))
    left, right = (tuple(itertools.chain.from_iterable(part)) for part in (told[:split], told[split:]))
    pour(flow, ((flow.x, left), (flow.x + width + _APART, right)))


def _named(group: LikeNumbers) -> str:
    """Only limits of the order's are told: the step has the others."""
    number = group.first
    places = group.places if len(group.places) < _MANY else (f"{group.places[0]} to {group.places[-1]}",)
    at = f" at {', '.join(places)}" if places else ""
    limits = f", {limits_shown(number)} ({number.source})" if number.measure and limits_shown(number) else ""
    return f"{group.what}{at}{limits}"
