"""Lists that share what is left of a page: the longest is cut first, and says what of it stands elsewhere."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Self

from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.units import show_length

_MOST: Final = 3
"""Lines of one row, own choice: what is longer is cut, and says so."""


@dataclass(frozen=True, kw_only=True)
class ShortList:
    """Rows of which the first are shown.

    Args:
        rows: Each in the lines that it takes.
        where: The chapter that has all of them.
        shown: How many of them stand on the page.
        most: How many of them ever do; None may show all.
    """

    rows: tuple[tuple[str, ...], ...]
    where: str
    shown: int
    most: int | None = None

    @classmethod
    def of(cls, texts: Sequence[str], where: str, size: float, width: float) -> Self:
        """All of some texts, each wrapped to a width and cut where it takes too many lines.

        Args:
            texts: Of the rows.
            where: The chapter that has all of them.
            size: Height of the letters, mm.
            width: Of a line, mm.
        """
        rows = tuple(cut_text(text, _MOST, f"... {where}", size, width) for text in texts)
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

    def by(self, rows: int) -> Self:
        """With so many rows more; less where it is negative."""
        return dataclasses.replace(self, shown=self.shown + rows)

    @property
    def is_full(self) -> bool:
        """Whether no row more may be shown."""
        return self.shown >= (len(self.rows) if self.most is None else min(len(self.rows), self.most))

    @property
    def lines(self) -> int:
        """That are taken with the pointer."""
        return sum(map(len, self.told)) + bool(self.pointer)


Lists = Mapping[str, ShortList]
"""By name."""


def shortened(lists: Lists, height: Callable[[Lists], float], room: float) -> Lists:
    """The lists as far as a height holds them: one row after the other is left out of whichever is longest.

    A row that could stand after all is put back.

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
            raise ExportError(
                f"the first page needs {show_length(height(kept))} of height, and under name and remarks two pages of "
                f"this paper leave {show_length(room)}: name a larger paper"
            )
        kept[longest] = kept[longest].by(-1)
    return _filled(kept, height, room)


def _filled(lists: Lists, height: Callable[[Lists], float], room: float) -> Lists:
    """With rows that cost no height after all, since what stands beside them is as high: the shortest list first."""
    kept = dict(lists)
    for name in sorted(kept, key=lambda name: kept[name].lines):
        while not kept[name].is_full and height(longer := {**kept, name: kept[name].by(1)}) <= room:
            kept = longer
    return kept


def cut_text(text: str, most: int, pointer: str, size: float, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """A text in at most so many lines; the last of them points on where there are more.

    Args:
        text: Of it.
        most: Lines.
        pointer: Behind what is left of a text that is cut.
        size: Height of the letters, mm.
        width: Of a line, mm.
        bold: Whether it is.
    """
    lines = wrapped(text, size, width, bold=bold)
    if len(lines) <= most:
        return tuple(lines)
    *whole, last = lines[:most]
    words = last.split()
    tried = (" ".join((*words[:count], pointer)) for count in range(len(words), 0, -1))
    fitting = (line for line in tried if text_width(line, size, bold=bold) <= width)
    return (*whole, next(fitting, pointer))
