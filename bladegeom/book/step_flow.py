"""Steps on upright pages, on as few as hold them; a step goes on over a page only where that saves one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.step_block import StepBlock
from bladegeom.drawing.drawing import Label
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import DEPTH

_GAP: Final = 2.2
"""Between two steps, mm."""

_REST: Final = 12.0
"""Of a step that goes on on another page, mm at least: less is not worth turning the page."""

_SIGNED: Final = "Blanks beside a title: finished on, hours taken; initials."


def put_steps(flow: ChapterFlow, blocks: Sequence[StepBlock]) -> None:
    """All steps, from where the page is filled to.

    Args:
        flow: The pages, the first of them begun.
        blocks: Of the steps, in order.

    Raises:
        ExportError: A part of one is higher than a page.
    """
    plan = planned(blocks, flow.left, flow.full)
    for block, goes_on in zip(blocks, plan.goes_on, strict=True):
        _put(flow, block, goes_on=goes_on)


def tell_signs(flow: ChapterFlow) -> None:
    """At the foot of every page: what the blanks beside a title are for."""
    for page in flow.pages:
        page.append(Label(layer="NOTE", x=MARGIN, y=MARGIN + DEPTH * TEXT, text=_SIGNED, height=TEXT))


def _put(flow: ChapterFlow, block: StepBlock, *, goes_on: bool) -> None:
    if not goes_on:
        flow.fit(block.height)
    while block.height > flow.left:
        first, block = block.parted(flow.left)
        flow.add(*first.items(flow.x, flow.y))
        flow.begin()
    flow.add(*block.items(flow.x, flow.y))
    flow.y -= block.height + _GAP


@dataclass(frozen=True, kw_only=True)
class PagePlan:
    """How some steps, the last ones, come onto pages.

    Args:
        pages: That begin.
        white: Sum of the squares of what stays free at the ends of pages, mm2.
        goes_on: For each step, whether it begins on a page that does not hold all of it though another one might.
    """

    pages: int
    white: float
    goes_on: tuple[bool, ...] = ()

    @property
    def cost(self) -> tuple[int, int, float]:
        """Pages count first, then steps that are torn apart, then white."""
        return self.pages, sum(self.goes_on), self.white

    def behind(self, step: PagePlan) -> PagePlan:
        """The same with a step before them."""
        return PagePlan(
            pages=step.pages + self.pages, white=step.white + self.white, goes_on=(*step.goes_on, *self.goes_on)
        )


def planned(blocks: Sequence[StepBlock], left: float, room: float) -> PagePlan:
    """The best plan for a page with so much left, and others with so much room."""

    @cache
    def best(number: int, left: float) -> PagePlan:
        if number == len(blocks):
            return PagePlan(pages=0, white=left**2)
        ways = (best(number + 1, after).behind(step) for step, after in _ways(blocks[number], left, room))
        return min(ways, key=lambda plan: plan.cost)

    return best(0, left)


def _ways(block: StepBlock, left: float, room: float) -> Iterator[tuple[PagePlan, float]]:
    """How one step comes onto pages, and how much the last of them has left, mm."""
    if block.height <= left:
        yield PagePlan(pages=0, white=0.0, goes_on=(False,)), left - block.height - _GAP
        return
    pages, after = _filled(block, room, room)
    yield PagePlan(pages=1 + pages, white=left**2, goes_on=(False,)), after
    if _may_part(block, left):
        pages, after = _filled(block, left, room)
        yield PagePlan(pages=pages, white=0.0, goes_on=(True,)), after


def _filled(block: StepBlock, left: float, room: float) -> tuple[int, float]:
    """How many pages begin within a block that begins where so much is left, and what is left under it, mm."""
    pages = 0
    while block.height > left:
        _, rest = block.parted(left)
        if rest.height >= block.height:
            raise ExportError("a step has a part that no page holds: shorten its words, or name a larger paper")
        pages, left, block = pages + 1, room, rest
    return pages, left - block.height - _GAP


def _may_part(block: StepBlock, left: float) -> bool:
    """Whether a step may begin here: with its picture and a part of its tasks, and with enough left to go on with."""
    first, rest = block.parted(left)
    words, beside = len(first.left) - block.begun[0], len(first.right) - block.begun[1]
    return words > 0 and beside >= 0 and rest.height >= _REST
