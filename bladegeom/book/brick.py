"""Pieces of a page that stand below each other and are not torn apart: a line of text, a blank, a picture."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from bladegeom.drawing.drawing import Drawing, Item, Label
from bladegeom.drawing.type_sizes import LEADING, TEXT
from bladegeom.quantities.lettering import DEPTH, wrapped


@dataclass(frozen=True, kw_only=True)
class Brick:
    """Items below and to the right of (0, 0).

    Args:
        items: From their upper left corner.
        height: That they take, mm.
    """

    items: tuple[Item, ...]
    height: float


def space(height: float) -> Brick:
    """Nothing, so high."""
    return Brick(items=(), height=height)


def written(
    text: str, width: float, *, size: float = TEXT, indent: float = 0.0, bold: bool = False
) -> tuple[Brick, ...]:
    """Text in as many lines as it takes, a brick each; tails of its letters are within.

    Args:
        text: Of it.
        width: From the left border to the right one, mm.
        size: Height of its letters, mm.
        indent: Kept free at the left border, mm.
        bold: Whether it is.
    """
    y = -size * (LEADING - DEPTH)
    return tuple(
        Brick(
            items=(Label(layer="NOTE", x=indent, y=y, text=part, height=size, bold=bold),),
            height=size * LEADING,
        )
        for part in wrapped(text, size, width - indent, bold=bold)
    )


def marked(mark: Sequence[Item], text: Sequence[Brick]) -> tuple[Brick, ...]:
    """Lines of text with a mark beside the first one."""
    if not text:
        return ()
    first, *others = text
    return (Brick(items=(*mark, *first.items), height=first.height), *others)


def height_of(bricks: Iterable[Brick]) -> float:
    """Of all below each other, mm."""
    return sum(brick.height for brick in bricks)


def placed(bricks: Iterable[Brick], x: float, top: float) -> Iterator[Item]:
    """The items below each other from a corner."""
    for brick in bricks:
        if brick.items:
            yield from Drawing(name="", items=brick.items).moved(x, top).items
        top -= brick.height


def abreast(columns: Iterable[tuple[float, Sequence[Brick]]]) -> Brick:
    """Columns beside each other, as one brick.

    Args:
        columns: Left border of each, mm, and what stands in it.
    """
    stacks = tuple(columns)
    items = itertools.chain.from_iterable(placed(bricks, x, 0.0) for x, bricks in stacks)
    return Brick(items=tuple(items), height=max(height_of(bricks) for _, bricks in stacks))


def whole(bricks: Sequence[Brick]) -> Brick:
    """Bricks below each other, as one."""
    return abreast(((0.0, bricks),))


_TORN = 45.0
"""What is higher than this may go on over a page, mm."""


def joined_bricks(bricks: Sequence[Brick]) -> tuple[Brick, ...]:
    """As one that no page tears apart, unless it is high."""
    return (whole(bricks),) if height_of(bricks) <= _TORN else tuple(bricks)


def held(bricks: Sequence[Brick], room: float) -> int:
    """How many of them a height holds."""
    sums = itertools.accumulate(brick.height for brick in bricks)
    return sum(1 for height in sums if height <= room)


T = TypeVar("T")


def in_batches(things: Sequence[T], count: int) -> Iterator[Sequence[T]]:
    """So many of them at a time."""
    return (things[i : i + count] for i in range(0, len(things), count))
