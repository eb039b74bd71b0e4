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

    What it is put together from keeps its own places until it is drawn, so that layouts which are only measured cost
    next to nothing.

    Args:
        items: From their upper left corner.
        height: That all of it takes, mm.
        parts: Other bricks, with how far right and up from that corner each begins, mm.
    """

    items: tuple[Item, ...] = ()
    height: float
    parts: tuple[tuple[float, float, Brick], ...] = ()

    @property
    def drawn(self) -> tuple[Item, ...]:
        """All items, those of its parts too."""
        return tuple(self.placed(0.0, 0.0))

    def placed(self, x: float, top: float) -> Iterator[Item]:
        """All items from a corner."""
        if self.items:
            yield from Drawing(name="", items=self.items).moved(x, top).items
        for right, up, part in self.parts:
            yield from part.placed(x + right, top + up)


def space(height: float) -> Brick:
    """Nothing, so high."""
    return Brick(height=height)


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
    return (Brick(items=tuple(mark), height=first.height, parts=((0.0, 0.0, first),)), *others)


def height_of(bricks: Iterable[Brick]) -> float:
    """Of all below each other, mm."""
    return sum(brick.height for brick in bricks)


def placed(bricks: Iterable[Brick], x: float, top: float) -> Iterator[Item]:
    """The items below each other from a corner."""
    for right, up, brick in _stacked(bricks, x):
        yield from brick.placed(right, top + up)


def _stacked(bricks: Iterable[Brick], x: float) -> Iterator[tuple[float, float, Brick]]:
    top = 0.0
    for brick in bricks:
        yield x, top, brick
        top -= brick.height


def abreast(columns: Iterable[tuple[float, Sequence[Brick]]]) -> Brick:
    """Columns beside each other, as one brick.

    Args:
        columns: Left border of each, mm, and what stands in it.
    """
    stacks = tuple(columns)
    return Brick(
        height=max(height_of(bricks) for _, bricks in stacks),
        parts=tuple(part for x, bricks in stacks for part in _stacked(bricks, x)),
    )


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
