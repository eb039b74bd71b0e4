"""The route of the book: every step a block, in working order, the heat treatment among them in full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.book.bench_steps import bench_steps
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.like_numbers import STAR_WORDS
from bladegeom.book.step_block import StepBlock
from bladegeom.book.step_flow import put_steps, tell_signs
from bladegeom.book.step_layout import step_block
from bladegeom.book.step_pictures import step_picture
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.papers import Paper
from bladegeom.signoff.card_steps import route_part
from bladegeom.workshop.heat_treat import DEFER
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route
from bladegeom.workshop.written import is_inspection


def route_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The chapter; every design has one.

    Args:
        design: The knife with its order and work.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: The name of the knife and the remarks leave no room.
    """
    work = design.route
    steps = [(i, step) for i, step in enumerate(bench_steps(work), start=1) if not is_inspection(work, step)]
    flow = ChapterFlow(papers[0], "The route", design.title, remarks)
    flow.begin()
    for text in _over(work, len(steps)):
        flow.write(text, TEXT)
    flow.y -= 1.5
    put_steps(flow, tuple(_blocks(work, steps, flow.width)))
    tell_signs(flow)
    return flow.sheets()


def _blocks(work: Route, steps: Sequence[tuple[int, Operation]], width: float) -> Iterator[StepBlock]:
    """Each step with its number."""
    told: dict[str, int] = {}
    for i, step in steps:
        yield step_block(i, step, step_picture(work, step), width, told)
        told |= {text: i for text in step.cautions if text not in told}


def _over(work: Route, here: int) -> Iterator[str]:
    """What stands over the first step."""
    yield from route_part(work).lines
    if work.hardened:
        yield DEFER
    inspected = "" if here == len(work.operations) else " Inspecting is a step, and a chapter of its own."
    yield f"{STAR_WORDS}.{inspected}"
