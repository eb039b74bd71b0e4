"""A step of the route as a block: title, cautions, large numbers, tasks, waits; picture and blanks beside them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.book.blanks import PLACE_WIDTH, blank_cell, box, place_rows
from bladegeom.book.brick import Brick, abreast, height_of, in_batches, marked, space, written
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH, SIDE, tick_box
from bladegeom.book.like_numbers import LikeNumbers, unit_word
from bladegeom.book.step_parts import StepParts
from bladegeom.book.step_text import GUTTER, TALL, step_text, text_in_two, text_list
from bladegeom.book.step_words import StepWords
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Drawing, Path
from bladegeom.drawing.type_sizes import HEAD, HEAVY_PEN
from bladegeom.workshop.operation import Operation

_RIGHT: Final = (62.0, 72.0, 84.0)
"""Widths of the right column that are tried, mm: it begins with the blanks to sign in."""

_SIGNED: Final = (BLANK_WIDTH, BLANK_WIDTH)
"""Widths of the blanks for date and hours, and for initials, mm."""


@dataclass(frozen=True, kw_only=True)
class StepBlock:
    """A step laid out for a width.

    Args:
        title: With its number.
        head: What begins it.
        left: Words.
        right: Picture and blanks.
        below: Under both, over the whole width.
        aside: Left border of the right column, mm.
    """

    title: str
    head: tuple[Brick, ...]
    left: tuple[Brick, ...]
    right: tuple[Brick, ...]
    below: tuple[Brick, ...]
    aside: float

    @property
    def height(self) -> float:
        """Of the whole block, mm."""
        return height_of(self.head) + max(height_of(self.left), height_of(self.right)) + height_of(self.below)


def step_block(
    number: int, operation: Operation, picture: Drawing | None, width: float, told: Mapping[str, int]
) -> StepBlock:
    """The block that takes least of a page among those with a column of each width, and blanks beside or below.

    Args:
        number: Of the step.
        operation: What it says.
        picture: Of what is meant; None has none.
        width: Of the page between its borders, mm.
        told: Cautions that stand in full at an earlier step, and at which.
    """
    parts = StepParts(operation, picture, told)
    title = f"{number}. {operation.title}"
    laid = (
        _laid(parts, title, width, right, beside=beside, apart=apart)
        for right, beside, apart in itertools.product(_RIGHT, (True, False), (False, True) if parts.small else (False,))
    )
    return min(laid, key=lambda block: round(block.height, 3))


def _laid(parts: StepParts, title: str, width: float, right: float, *, beside: bool, apart: bool) -> StepBlock:
    two = beside or parts.picture is not None
    left = width - right - GUTTER if two else width
    words = parts.words
    small = list(words.lines(parts.small))
    head, begun = _head(title, width, left, two=two)
    columns = (
        [*begun, *step_text(parts, left), *(() if apart else text_list(small, left))],
        [*(_sign(right) if two else ()), *_picture(parts.picture, right)],
    )
    rows = _filled(words, parts.blanks, columns, (left, right)) if beside and two else parts.blanks
    return StepBlock(
        title=title,
        head=head,
        left=tuple(columns[0]),
        right=tuple(columns[1]),
        below=(
            *(text_in_two(small, width) if apart else ()),
            *_grid(words, [group for group in rows if not group.places], width),
            *(brick for group in rows if group.places for brick in _row(words, group, width)),
            *text_list(list(words.sources), width),
        ),
        aside=left + GUTTER,
    )


def _filled(
    words: StepWords, groups: Sequence[LikeNumbers], columns: tuple[list[Brick], ...], widths: tuple[float, float]
) -> list[LikeNumbers]:
    """Each blank under the column that it makes least high; back come the rows of boxes that are too wide."""
    rest = []
    for group in groups:
        if len(group.places) > widths[0] // PLACE_WIDTH:
            rest.append(group)
            continue
        cells = [(*_row(words, group, width),) if group.places else _blank(words, group, width) for width in widths]
        ends = [height_of((*column, *cell)) for column, cell in zip(columns, cells, strict=True)]
        chosen = ends.index(min(ends))
        columns[chosen].extend(cells[chosen])
    return rest


def _head(title: str, width: float, left: float, *, two: bool) -> tuple[tuple[Brick, ...], tuple[Brick, ...]]:
    """A heavy line with what stands under it over the whole width, and what begins the left column."""
    rule = Brick(items=(Path(layer="NOTE", curve=line((0.0, 0.0), (width, 0.0)), pen=HEAVY_PEN),), height=0.8)
    room = (left if two else width - sum(_SIGNED) - GUTTER) - SIDE - 2.0
    lines = marked(
        (tick_box(0.0, -0.5),),
        tuple(
            Brick(items=Drawing(name="", items=brick.items).moved(SIDE + 2.0, 0.0).items, height=brick.height)
            for brick in written(title, room, size=HEAD, bold=True)
        ),
    )
    begun = (*lines, space(0.8))
    if two:
        return (rule,), begun
    return (rule, abreast(((0.0, lines[:2]), (0.0, _sign(width))))), lines[2:]


def _sign(width: float) -> tuple[Brick, ...]:
    """Blanks for date and hours, and for initials, at the right border."""
    first, second = _SIGNED
    items = (
        box(width - first - second - 1.5, -0.2, first, BLANK_HEIGHT),
        box(width - second, -0.2, second, BLANK_HEIGHT),
    )
    return (Brick(items=items, height=BLANK_HEIGHT + 1.0),)


def _picture(picture: Drawing | None, width: float) -> Iterator[Brick]:
    if picture is None:
        return
    x0, y0, x1, y1 = picture.bounds
    moved = picture.moved((width - (x1 - x0)) / 2 - x0, -1.0 - y1)
    yield Brick(items=moved.items, height=y1 - y0 + 2.4)


def _blank(words: StepWords, group: LikeNumbers, width: float) -> tuple[Brick, ...]:
    return blank_cell(words.asked(group), unit_word(group.first), width)


def _grid(words: StepWords, groups: Sequence[LikeNumbers], width: float) -> Iterator[Brick]:
    """Blanks beside each other under the words."""
    if not groups:
        return
    yield space(1.0)
    many = min(len(groups), 3)
    each = (width + GUTTER) / many - GUTTER
    for told in in_batches(groups, many):
        cells = [_blank(words, group, each) for group in told]
        if max(map(height_of, cells)) > 2 * TALL:
            yield from itertools.chain.from_iterable(_blank(words, group, width) for group in told)
        else:
            yield abreast((i * (each + GUTTER), cell) for i, cell in enumerate(cells))


def _row(words: StepWords, group: LikeNumbers, width: float) -> Iterator[Brick]:
    yield space(1.0)
    yield from written(words.asked(group), width)
    yield from place_rows(group.titles, width)
