"""Blocks of steps on upright pages, whole where a page holds them; and what the blanks beside their titles are for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.book.brick import height_of, placed
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.pouring import pour
from bladegeom.book.step_block import StepBlock
from bladegeom.drawing.drawing import Item, Label
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import HEAD, TEXT
from bladegeom.quantities.lettering import DEPTH, wrapped

_GAP: Final = 2.2
"""Between two steps, mm."""

_LEAST: Final = 45.0
"""Of a page that a step must have to begin on it, if it does not take less, mm."""

_SIGNED: Final = "Blanks beside a title: finished on, hours taken; initials."


def tell_signs(flow: ChapterFlow) -> None:
    """At the foot of every page: what the blanks beside a title are for."""
    for page in flow.pages:
        page.append(Label(layer="NOTE", x=MARGIN, y=MARGIN + DEPTH * TEXT, text=_SIGNED, height=TEXT))


def put_block(flow: ChapterFlow, block: StepBlock) -> None:
    """From where the page is filled to; on the next page where this one has no room, on several where none has."""
    flow.fit(min(block.height, _LEAST))
    if block.height > flow.left:
        flow.begin()
    if block.height > flow.left:
        _in_parts(flow, block)
        return
    flow.add(*_drawn(flow, block))
    flow.y -= block.height + _GAP


def _drawn(flow: ChapterFlow, block: StepBlock) -> Iterator[Item]:
    """A block that the page holds."""
    top = flow.y
    yield from placed(block.head, flow.x, top)
    top -= height_of(block.head)
    yield from placed(block.left, flow.x, top)
    yield from placed(block.right, flow.x + block.aside, top)
    top -= max(height_of(block.left), height_of(block.right))
    yield from placed(block.below, flow.x, top)


def _in_parts(flow: ChapterFlow, block: StepBlock) -> None:
    """A block that no page holds goes on under its title."""
    flow.again = lambda: _title_again(flow, block.title)
    pour(flow, ((flow.x, block.head),))
    pour(flow, ((flow.x, block.left), (flow.x + block.aside, block.right)))
    pour(flow, ((flow.x, block.below),))
    flow.again = lambda: None
    flow.y -= _GAP


def _title_again(flow: ChapterFlow, title: str) -> None:
    lines = wrapped(title, HEAD, 0.7 * flow.width, bold=True)
    flow.write(f"{lines[0]}, continued", HEAD, bold=True)
    flow.rule(DEPTH * HEAD + 0.8)
