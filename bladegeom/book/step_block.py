"""A step of the route as a block: columns under its title, what stands under both, and how it goes on over a page."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from bladegeom.book.brick import Brick, height_of, held, placed
from bladegeom.drawing.drawing import Item


@dataclass(frozen=True, kw_only=True)
class StepBlock:
    """A step laid out for a width.

    Args:
        head: What begins it.
        left: Words.
        right: Picture and blanks.
        below: Under both, over the whole width.
        aside: Left border of the right column, mm.
        begun: How many of the left and of the right column belong on the page where it begins.
        again: What begins the rest where it goes on on another page.
    """

    head: tuple[Brick, ...]
    left: tuple[Brick, ...]
    right: tuple[Brick, ...]
    below: tuple[Brick, ...]
    aside: float
    begun: tuple[int, int]
    again: tuple[Brick, ...]

    @property
    def height(self) -> float:
        """Of the whole block, mm."""
        return height_of(self.head) + self._beside + height_of(self.below)

    @property
    def _beside(self) -> float:
        return max(height_of(self.left), height_of(self.right))

    def items(self, x: float, top: float) -> Iterator[Item]:
        """All of it from an upper left corner."""
        yield from placed(self.head, x, top)
        top -= height_of(self.head)
        yield from placed(self.left, x, top)
        yield from placed(self.right, x + self.aside, top)
        yield from placed(self.below, x, top - self._beside)

    def parted(self, room: float) -> tuple[StepBlock, StepBlock]:
        """What a height holds of a block that is higher, and the rest of it, which begins with its title."""
        room -= height_of(self.head)
        left, right = held(self.left, room), held(self.right, room)
        is_whole = (left, right) == (len(self.left), len(self.right))
        below = held(self.below, room - self._beside) if is_whole else 0
        first = dataclasses.replace(self, left=self.left[:left], right=self.right[:right], below=self.below[:below])
        rest = dataclasses.replace(
            self,
            head=self.again,
            left=self.left[left:],
            right=self.right[right:],
            below=self.below[below:],
            begun=(0, 0),
        )
        return first, rest
