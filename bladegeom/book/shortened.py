"""Lists that share what is left of a page: the longest is cut first, and says what of it stands elsewhere."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Self

from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import text_width, wrapped

_MOST: Final = 3
"""Lines of one row, own choice: what is longer is cut, and says so."""


@dataclass(frozen=True, kw_only=True)
class ShortList:
    """Rows of which the first are shown.

    Args:
        rows: Each in the lines that it takes.
        where: The chapter that has all of them.
        shown: How many of them stand on the page.
    """

    rows: tuple[tuple[str, ...], ...]
    where: str
    shown: int

    @classmethod
    def of(cls, texts: Sequence[str], where: str, size: float, width: float) -> Self:
        """All of some texts, each wrapped to a width and cut where it takes too many lines.

        Args:
            texts: Of the rows.
            where: The chapter that has all of them.
            size: Height of the letters, mm.
            width: Of a line, mm.
        """
        rows = tuple(_cut(wrapped(text, size, width), f"... {where}", size, width) for text in texts)
        return cls(rows=rows, where=where, shown=len(rows))

    @property
    def told(self) -> tuple[tuple[str, ...], ...]:
        """The rows that are shown."""
        return self.rows[: self.shown]

    @property
    def pointer(self) -> str:
        """Where the rest stands; empty where nothing is left out."""
        left = len(self.rows) - self.shown
        return f"{'and ' if self.shown else ''}{left} more: {self.where}" if left else ""

    @property
    def lines(self) -> int:
        """That are taken with the pointer."""
        return sum(map(len, self.told)) + bool(self.pointer)


def shortened(
    lists: Mapping[str, ShortList], height: Callable[[Mapping[str, ShortList]], float], room: float
) -> Mapping[str, ShortList]:
    """The lists as far as a height holds them: one row after the other is left out of whichever is longest.

    Args:
        lists: By name.
        height: What they take together with all else, mm.
        room: What there is, mm.

    Raises:
        ExportError: There is no room even without any row.
    """
    kept = dict(lists)
    while height(kept) > room:
        longest = max((name for name in kept if kept[name].shown), key=lambda name: kept[name].lines, default=None)
        if longest is None:
            raise ExportError("the name and the remarks leave no room for the knife on one page: name a larger paper")
        kept[longest] = dataclasses.replace(kept[longest], shown=kept[longest].shown - 1)
    return kept


def _cut(lines: Sequence[str], pointer: str, size: float, width: float) -> tuple[str, ...]:
    """At most so many lines; the last of them points on where there are more."""
    if len(lines) <= _MOST:
        return tuple(lines)
    last = next(
        text for text in _shorter(lines[_MOST - 1], pointer) if text_width(text, size) <= width or text == pointer
    )
    return (*lines[: _MOST - 1], last)


def _shorter(line: str, pointer: str) -> Iterator[str]:
    """The line with the pointer behind it, word by word less; at last the pointer alone."""
    words = line.split()
    for count in range(len(words), 0, -1):
        yield f"{' '.join(words[:count])} {pointer}"
    yield pointer
