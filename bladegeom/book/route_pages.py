"""The route of the book: every step a block, in working order, the heat treatment among them in full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.book.bench_steps import bench_steps, is_inspection
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.like_numbers import STAR_WORDS
from bladegeom.book.put_block import put_block, tell_signs
from bladegeom.book.step_block import step_block
from bladegeom.book.step_pictures import step_picture
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.papers import Paper
from bladegeom.signoff.card_steps import route_part
from bladegeom.workshop.heat_treat import DEFER
from bladegeom.workshop.route import Route


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
    told: dict[str, int] = {}
    for i, step in steps:
        put_block(flow, step_block(i, step, step_picture(work, step), flow.width, told))
        told |= {text: i for text in step.cautions if text not in told}
    tell_signs(flow)
    return flow.sheets()


def _over(work: Route, here: int) -> Iterator[str]:
    """What stands over the first step."""
    yield from route_part(work).lines
    if work.hardened:
        yield DEFER
    inspected = "" if here == len(work.operations) else " Inspecting is a step, and a chapter of its own."
    yield f"{STAR_WORDS}.{inspected}"
