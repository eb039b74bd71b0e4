"""The words of a step: its cautions beside their sign, the numbers that are worked to, tasks, waits in their frame."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.brick import Brick, abreast, height_of, in_batches, joined_bricks, marked, space, whole, written
from bladegeom.book.caution_sign import SIGN, caution_sign
from bladegeom.book.hand_marks import SIDE, tick_box
from bladegeom.book.key_number import key_number
from bladegeom.book.like_numbers import LikeNumbers, starred
from bladegeom.book.number_kinds import value_shown
from bladegeom.book.step_parts import StepParts
from bladegeom.book.step_words import StepWords
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Label, Path
from bladegeom.drawing.type_sizes import HEAD, HEAVY_PEN, LEADING, TEXT
from bladegeom.drilling.row import rows_named
from bladegeom.quantities.lettering import DEPTH, text_width
from bladegeom.workshop.operation import Number, Operation

GUTTER: Final = 5.0
"""Between two columns, mm."""

TALL: Final = 45.0
"""A number whose words take more is told in lines of text, mm."""

_BULLET: Final = "\N{BULLET}"


def opening(parts: StepParts, width: float) -> Iterator[Brick]:
    """What is read first: cautions, large numbers.

    Args:
        parts: Of the step.
        width: Of the column, mm.
    """
    if parts.operation.cautions:
        told = written(parts.cautions, width, indent=SIGN + 1.5)
        yield from marked(tuple(caution_sign(0.0, -0.1)), told)
        yield space(0.8)
    yield from _large(parts, width)


def step_text(parts: StepParts, width: float) -> Iterator[Brick]:
    """What must have lain before, what must go fast, tasks, what the order asks, waits.

    Args:
        parts: Of the step.
        width: Of the column, mm.
    """
    operation = parts.operation
    yield from _times(parts.words, "WAIT", operation.rests, width)
    yield from _times(parts.words, "WITHIN", tuple(_within(operation)), width)
    for text in operation.tasks:
        yield from _task(text, width)
    if operation.rows:
        yield from _task(f"By the drill card: {rows_named(operation.rows)}.", width)
    if operation.finish:
        told = written(f"ORDER: {operation.finish}", width, indent=SIDE + 1.9, bold=True)
        yield from joined_bricks((space(0.8), *marked((tick_box(0.0, -0.1),), told), space(1.2)))
    yield from _times(parts.words, "WAIT", operation.waits, width)


def _within(operation: Operation) -> Iterator[Number]:
    """What must go fast; a source that the waits under the tasks share is told there."""
    shared = {wait.source for wait in operation.waits}
    for time in operation.within:
        yield dataclasses.replace(time, source="") if time.source in shared else time


def _task(text: str, width: float) -> Iterator[Brick]:
    dot = Label(layer="NOTE", x=0.6, y=-TEXT * (LEADING - DEPTH), text=_BULLET, height=TEXT)
    yield from joined_bricks(marked((dot,), written(starred(text), width, indent=3.4)))


def _large(parts: StepParts, width: float) -> Iterator[Brick]:
    groups = parts.large
    if not groups:
        return
    each = (width + 4.0) / len(groups) - 4.0
    cells = [(i * (each + 4.0), (_key(parts.words, group, each),)) for i, group in enumerate(groups)]
    row = abreast(cells)
    if row.height > TALL:
        yield from text_list([parts.words.line(group) for group in groups], width)
        return
    yield Brick(height=row.height + 1.2, parts=((0.0, 0.0, row),))


def _key(words: StepWords, group: LikeNumbers, width: float) -> Brick:
    at = f" at {', '.join(group.places)}" if group.places else ""
    items = tuple(
        key_number(
            f"{group.what}{at}{words.aside(group.first)}",
            value_shown(group.first),
            0.0,
            0.0,
            width,
            limits=group.limits,
        )
    )
    low = min(item.y - DEPTH * item.height for item in items if isinstance(item, Label))
    return Brick(items=items, height=-low)


def _times(words: StepWords, word: str, times: Sequence[Number], width: float) -> Iterator[Brick]:
    """In a heavy frame; a source that all of them share is told once."""
    if not times:
        return
    asides = [words.aside(time) for time in times]
    shared = asides[0].strip() if len(times) > 1 and len(set(asides)) == 1 else ""
    texts = [time.what if shared else f"{time.what}{aside}" for time, aside in zip(times, asides, strict=True)]
    large = [f"{word} {time.text}" for time in times]
    left = 5.0 + max(text_width(text, HEAD, bold=True) for text in large)
    cells = [
        abreast(((2.0, written(time, left, size=HEAD, bold=True)), (left, written(text, width - left - 1.0))))
        for time, text in zip(large, texts, strict=True)
    ]
    if shared:
        cells += written(shared, width - 2.0, indent=2.0)
    height = height_of(cells) + 1.6
    if height > 2 * TALL or left > width / 2:
        for time, text, aside in zip(large, texts, asides, strict=True):
            yield from written(f"{time}: {text}{aside if shared else ''}", width, bold=True)
        return
    corners = ((0.0, -0.8), (width, -0.8), (width, -height - 0.4), (0.0, -height - 0.4), (0.0, -0.8))
    frame = Path(layer="NOTE", curve=line(*corners), closed=True, pen=HEAVY_PEN)
    inside = whole((space(1.2), *cells))
    yield Brick(items=(frame,), height=height + 1.6, parts=((0.0, 0.0, inside),))


def text_list(texts: Sequence[str], width: float) -> Iterator[Brick]:
    """Texts below each other, a little below what stands over them."""
    if texts:
        yield space(1.0)
    for text in texts:
        yield from joined_bricks(written(text, width))


def text_in_two(texts: Sequence[str], width: float) -> Iterator[Brick]:
    """In two columns, the first one no shorter than the second."""
    each = (width - GUTTER) / 2
    cells = [written(text, each) for text in texts]
    for pair in in_batches(cells, 2):
        yield abreast((i * (each + GUTTER), cell) for i, cell in enumerate(pair))
