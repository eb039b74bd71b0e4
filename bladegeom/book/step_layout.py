"""How a step of the route is laid out: words in one column, its picture in the other, blanks where they fit best."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from bladegeom.book.blanks import PLACE_WIDTH, blank_cell, box, place_rows
from bladegeom.book.brick import Brick, abreast, height_of, in_batches, joined_bricks, marked, space, written
from bladegeom.book.hand_marks import BLANK_HEIGHT, BLANK_WIDTH, SIDE, tick_box
from bladegeom.book.like_numbers import LikeNumbers, unit_word
from bladegeom.book.step_block import StepBlock
from bladegeom.book.step_parts import StepParts
from bladegeom.book.step_text import GUTTER, TALL, opening, step_text, text_in_two, text_list
from bladegeom.book.step_words import StepWords
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Drawing, Path
from bladegeom.drawing.type_sizes import HEAD, HEAVY_PEN
from bladegeom.quantities.lettering import wrapped
from bladegeom.workshop.operation import Operation

_RIGHT: Final = (62.0, 72.0, 84.0)
"""Widths of the right column that are tried, mm: it begins with the blanks to sign in."""

_SIGNED: Final = (BLANK_WIDTH, BLANK_WIDTH)
"""Widths of the blanks for date and hours, and for initials, mm."""

_AGAIN: Final = 0.7
"""Of the width, for the title of a step that goes on on another page: its first line."""


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
    ways = {
        (right, tuple(is_beside(group, width - right - GUTTER) for group in parts.blanks), apart): None
        for right, is_beside, apart in itertools.product(_RIGHT, _BESIDE, (False, True) if parts.small else (False,))
    }
    laid = (_laid(parts, title, width, right, is_beside, apart=apart) for right, is_beside, apart in ways)
    return min(laid, key=lambda block: round(block.height, 3))


def _narrow(group: LikeNumbers, left: float) -> bool:
    return len(group.places) <= left // PLACE_WIDTH


_BESIDE: Final[tuple[Callable[[LikeNumbers, float], bool], ...]] = (
    lambda _group, _left: True,
    _narrow,
    lambda _group, _left: False,
)
"""Which blanks stand in the columns, by the width of the left one, and not under both."""


def _laid(
    parts: StepParts,
    title: str,
    width: float,
    right: float,
    is_beside: Sequence[bool],
    *,
    apart: bool,
) -> StepBlock:
    words, small = parts.words, list(parts.words.lines(parts.small))
    beside = list(itertools.compress(parts.blanks, is_beside))
    two = bool(beside) or parts.picture is not None
    left = width - right - GUTTER if two else width
    head, begun = _head(title, width, left, two=two)
    begun = (*begun, *opening(parts, left))
    seen = (*(_sign(right) if two else ()), *_picture(parts.picture, right))
    columns = (
        (*begun, *step_text(parts, left), *(() if apart else text_list(small, left))),
        seen,
    )
    filled = _filled(words, beside, columns, (left, right))
    under = [group for group, is_it in zip(parts.blanks, is_beside, strict=True) if not is_it]
    return StepBlock(
        head=head,
        left=filled[0],
        right=filled[1],
        below=(
            *(text_in_two(small, width) if apart else ()),
            *_grid(words, [group for group in under if not group.places], width),
            *(brick for group in under if group.places for brick in _row(words, group, width)),
            *text_list(list(words.sources), width),
        ),
        aside=left + GUTTER,
        begun=(len(begun), len(seen)),
        again=_again(title, width),
    )


Columns = tuple[tuple[Brick, ...], tuple[Brick, ...]]
"""The left one, and the right one."""


def _filled(words: StepWords, groups: Sequence[LikeNumbers], columns: Columns, widths: tuple[float, float]) -> Columns:
    """Each blank under one of the columns, so that the higher of them is as low as can be."""
    ways = [columns]
    for group in groups:
        left, right = (_cell(words, group, width) for width in widths)
        ways = _useful([way for a, b in ways for way in (((*a, *left), b), (a, (*b, *right)))])
    return min(ways, key=lambda way: round(max(map(height_of, way)), 3))


def _useful(ways: Sequence[Columns]) -> list[Columns]:
    """Without those of which another one is lower on both sides, to a tenth of a millimetre."""
    heights = {(round(height_of(a), 1), round(height_of(b), 1)): (a, b) for a, b in reversed(ways)}
    out, lowest = list[Columns](), math.inf
    for (_, right), way in sorted(heights.items(), key=lambda item: item[0]):
        if right < lowest:
            out.append(way)
            lowest = right
    return out


def _cell(words: StepWords, group: LikeNumbers, width: float) -> tuple[Brick, ...]:
    return joined_bricks(tuple(_row(words, group, width)) if group.places else _blank(words, group, width))


def _head(title: str, width: float, left: float, *, two: bool) -> tuple[tuple[Brick, ...], tuple[Brick, ...]]:
    """A heavy line with what stands under it over the whole width, and what begins the left column."""
    room = (left if two else width - sum(_SIGNED) - GUTTER) - SIDE - 2.0
    lines = marked(
        (tick_box(0.0, -0.5),),
        tuple(
            Brick(height=brick.height, parts=((SIDE + 2.0, 0.0, brick),))
            for brick in written(title, room, size=HEAD, bold=True)
        ),
    )
    if two:
        return (_rule(width),), (*lines, space(0.8))
    return (_rule(width), abreast(((0.0, lines[:2]), (0.0, _sign(width))))), lines[2:]


def _again(title: str, width: float) -> tuple[Brick, ...]:
    """What begins the rest of a step on another page."""
    first = wrapped(title, HEAD, _AGAIN * width, bold=True)[0]
    return (_rule(width), *written(f"{first}, continued", width, size=HEAD, bold=True), space(0.8))


def _rule(width: float) -> Brick:
    return Brick(items=(Path(layer="NOTE", curve=line((0.0, 0.0), (width, 0.0)), pen=HEAVY_PEN),), height=0.8)


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
