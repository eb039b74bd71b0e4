"""The inspection of the book: what is asked of the finished knife, and where the rest was written on the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.bench_steps import bench_steps, is_inspection, written_at
from bladegeom.book.blanks import ANSWER, answer_brick, box
from bladegeom.book.brick import Brick, height_of, placed, written
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH
from bladegeom.book.like_numbers import STAR_WORDS, LikeNumbers, by_place, limits_shown, starred, unit_word
from bladegeom.book.number_kinds import value_shown
from bladegeom.book.pouring import pour
from bladegeom.book.step_flow import put_steps, tell_signs
from bladegeom.book.step_layout import step_block
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.type_sizes import HEAD, TEXT
from bladegeom.quantities.papers import Paper
from bladegeom.workshop.operation import Number

_APART: Final = 3.0
"""Between two columns, mm."""

_WHAT: Final = 0.52
"""Share of the words in what blanks and initials leave of a row."""

_FIRST: Final = (
    f"Fill in every line. A line outside its limits is told to the customer before the knife leaves. {STAR_WORDS}."
)


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
    for i, step in enumerate(bench_steps(design.route), start=1):
        if is_inspection(design.route, step):
            put_steps(flow, (step_block(i, step, None, flow.width, {}),))
    flow.write(_FIRST, TEXT)
    lines = tuple(written_at(design.route))
    here = [number for number, step in lines if step is None]
    _table(flow, "Measured on the finished knife", [number for number in here if number.unit != "yes/no"])
    tried = [number for number in here if number.unit == "yes/no"]
    carried = [(number, step) for number, step in lines if step is not None]

    def rest(page: PageFlow) -> None:
        _table(page, "Looked at and tried", tried)
        _carried(page, carried)

    # What goes on to a second page begins there, where that page holds all of it.
    flow.keep(rest)
    tell_signs(flow)
    return flow.sheets()


def _columns(flow: PageFlow) -> tuple[float, float, float, float]:
    """Left borders of words, numbers, blanks and initials."""
    initials = flow.x + flow.width - BLANK_WIDTH
    blanks = initials - _APART - ANSWER
    return flow.x, flow.x + _WHAT * (blanks - flow.x), blanks, initials


def _table(flow: PageFlow, title: str, numbers: Sequence[Number]) -> None:
    if not numbers:
        return
    flow.y -= 2.5
    flow.fit(HEAD * 1.5 + 3 * BLANK_HEIGHT)
    names = ("", "yes / no") if numbers[0].unit == "yes/no" else ("as designed, limits", "measured")
    _head(flow, title, names)
    flow.again = lambda: _head(flow, f"{title}, continued", names)
    for number in numbers:
        _row(flow, number)
    flow.again = lambda: None


def _head(flow: PageFlow, title: str, names: tuple[str, str]) -> None:
    _, numbers, blanks, initials = _columns(flow)
    top = flow.y
    flow.write(title, HEAD, right=flow.x + flow.width - (numbers if names[0] else blanks), bold=True)
    for x, text in ((numbers, names[0]), (blanks, names[1]), (initials, "initials")):
        flow.add(*placed(_listed(text, 60.0), x, top - HEAD * 0.35))
    flow.rule(1.2)
    flow.y -= 0.6


def _row(flow: PageFlow, number: Number) -> None:
    """Words and numbers with a blank, kept together where a page holds them."""
    what, numbers, blanks, initials = _columns(flow)
    wide = numbers - what - _APART if number.unit != "yes/no" else blanks - what - _APART
    words = (*written(number.what, wide, bold=True), *_listed(number.note, wide))
    told = tuple(_told(number, blanks - numbers - _APART)) if number.unit != "yes/no" else ()
    columns = (
        (what, words),
        (numbers, told),
        (blanks, (answer_brick(unit_word(number)),)),
        (initials, (Brick(items=(box(0.0, -0.3, BLANK_WIDTH, BLANK_HEIGHT),), height=BLANK_HEIGHT + 0.6),)),
    )
    height = max(height_of(bricks) for _, bricks in columns)
    if height > flow.left and height < flow.room / 2:
        flow.begin()
    pour(flow, columns)
    flow.rule(0.4)
    flow.y -= 0.4


def _listed(text: str, width: float) -> tuple[Brick, ...]:
    return written(text, width) if text else ()


def _told(number: Number, width: float) -> Iterator[Brick]:
    """As designed, in bold, and the limits with whose they are."""
    yield from written(value_shown(number).text, width, bold=True) if number.text else ()
    source = starred(number.source).strip()
    limits = ", ".join(text for text in (limits_shown(number), source) if text)
    yield from _listed(limits, width)


def _carried(flow: PageFlow, lines: Sequence[tuple[Number, int]]) -> None:
    """What was written down at a step of the route: where, and what the order asks of it."""
    if not lines:
        return
    flow.y -= 2.5
    flow.fit(HEAD * 1.5 + 3 * BLANK_HEIGHT)
    flow.write("Written in the route, and not measured again", HEAD, bold=True)
    flow.rule(1.2)
    flow.y -= 0.6
    steps = dict.fromkeys(step for _, step in lines)
    for step in sorted(steps):
        groups = by_place([number for number, at in lines if at == step])
        text = "; ".join(_named(group) for group in groups)
        pour(
            flow,
            ((flow.x, written(f"step {step}:", 22.0, bold=True)), (flow.x + 22.0, written(text, flow.width - 22.0))),
        )


def _named(group: LikeNumbers) -> str:
    """Only limits of the order's are told: the step has the others."""
    number = group.first
    at = f" at {', '.join(group.places)}" if group.places else ""
    limits = f", {limits_shown(number)} ({number.source})" if number.measure and limits_shown(number) else ""
    return f"{group.what}{at}{limits}"
