"""A line of text in which a number stands out by its size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bladegeom.drawing.drawing import Label
from bladegeom.drawing.type_sizes import KEY, TEXT
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.shown import Shown

_SPACE: Final = 1.8
"""Between two parts, mm."""


@dataclass(frozen=True, kw_only=True)
class MixedLine:
    """Words, a number that is worked to, and more words, on one base line.

    Args:
        before: Words on its left.
        shown: The number: large in the first unit, small in the second.
        after: Words on its right.
    """

    shown: Shown
    before: str = ""
    after: str = ""

    @property
    def width(self) -> float:
        """Of all of it, mm."""
        widths = [text_width(text, size, bold=bold) for text, size, bold in self._parts]
        return sum(widths) + _SPACE * (len(widths) - 1)

    def labels(self, x: float, y: float) -> Iterator[Label]:
        """From a left border, on a base line."""
        for text, size, bold in self._parts:
            yield Label(layer="NOTE", x=x, y=y, text=text, height=size, bold=bold)
            x += text_width(text, size, bold=bold) + _SPACE

    @property
    def _parts(self) -> list[tuple[str, float, bool]]:
        first, second = (self.shown.first, KEY, True), (self.shown.second, TEXT, False)
        parts = ((self.before, TEXT, False), first, second, (self.after, TEXT, False))
        return [part for part in parts if part[0]]
