"""Text, rows and blocks below each other on as many pages as it takes; what one does not hold goes on to the next."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import LEADER_PEN, THIN_PEN, Drawing, Item, Label, Path
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import wrapped


@dataclass(frozen=True, kw_only=True)
class CellText:
    """How the text of a table's row stands.

    Args:
        size: Height of its letters, mm.
        step: From one base line to the next, mm.
        above: Free over the first line, mm.
        below: Free under the base line of the last, mm.
    """

    size: float
    step: float
    above: float
    below: float

    def height(self, lines: int) -> float:
        """Of a row of so many lines, mm."""
        return self.above + self.size + (lines - 1) * self.step + self.below

    def labels(self, lines: Sequence[str], x: float, top: float, *, bold: bool = False) -> Iterator[Label]:
        """The lines of a cell in a row that begins at a height."""
        for i, text in enumerate(lines):
            y = top - self.above - self.size - i * self.step
            yield Label(layer="NOTE", x=x, y=y, text=text, height=self.size, bold=bold)


@dataclass
class PageFlow:
    """Pages that fill from the top.

    Args:
        room: Height that may be filled, mm.
        top: Where a page begins, mm.
        x: Left border, mm.
        width: Between the borders, mm; of no matter where only blocks and rows are put.
        leading: From one base line of running text to the next, in heights of it.
        head: Draws what stands on top of every page.
        again: Draws what is repeated under that where something goes on from the page before.
    """

    room: float
    top: float = 0.0
    x: float = 0.0
    width: float = 0.0
    leading: float = 1.5
    head: Callable[[], None] = lambda: None
    again: Callable[[], None] = lambda: None
    pages: list[list[Item]] = field(default_factory=list)
    y: float = 0.0
    full: float = field(default=0.0, init=False)
    """Height that the page has under its head, mm."""

    @property
    def left(self) -> float:
        """Height that is left on the page, mm."""
        return self.y - (self.top - self.room) if self.pages else 0.0

    def begin(self) -> None:
        """Another page, with its head."""
        self.pages.append([])
        self.y = self.top
        self.head()
        self.full = self.left
        self.again()

    def fit(self, height: float) -> None:
        """Go on to another page where this one has less left."""
        if not self.pages or self.left < height:
            self.begin()

    def keep(self, draw: Callable[[PageFlow], None]) -> None:
        """Draw what belongs together on one page; what no page holds goes on to the next.

        Args:
            draw: Draws it on a flow, the same on each that is like this one.
        """
        trial = PageFlow(room=math.inf, x=self.x, width=self.width, leading=self.leading)
        trial.begin()
        draw(trial)
        if -trial.y <= (self.full if self.pages else self.room):
            self.fit(-trial.y)
        draw(self)

    def add(self, *items: Item) -> None:
        """Items where they are."""
        self.pages[-1].extend(items)

    def write(self, text: str, size: float, *, indent: float = 0.0, right: float = 0.0, bold: bool = False) -> None:
        """Text in as many lines as it takes.

        Args:
            text: Of it.
            size: Height of its letters, mm.
            indent: Kept free at the left border, mm.
            right: Kept free at the right border, mm.
            bold: Whether it is.
        """
        for part in wrapped(text, size, self.width - indent - right, bold=bold):
            self.fit(size * self.leading)
            self.y -= size * self.leading
            self.add(Label(layer="NOTE", x=self.x + indent, y=self.y, text=part, height=size, bold=bold))

    def written(self, text: str, size: float, *, aside: float = 0.0, bold: bool = False) -> float:
        """Height that a text takes where so much is kept free beside it, mm."""
        return len(wrapped(text, size, self.width - aside, bold=bold)) * size * self.leading

    def rule(self, below: float, *, light: bool = False) -> None:
        """A line across the page, so far below what stands last."""
        self.y -= below
        ends = line((self.x, self.y), (self.x + self.width, self.y))
        self.add(Path(layer="NOTE", curve=ends, pen=LEADER_PEN if light else THIN_PEN))

    def block(self, items: Iterable[Item], *, gap: float) -> None:
        """Items that keep together, their upper border where the page is filled to; a gap stays under them."""
        drawing = Drawing(name="", items=tuple(items))
        _, bottom, _, top = drawing.bounds
        if not self.pages or (self.pages[-1] and self.left < top - bottom):
            self.begin()
        self.add(*drawing.moved(0.0, self.y - top).items)
        self.y -= top - bottom + gap

    def row(self, cells: Sequence[Sequence[str]], text: CellText, *, least: float = 0.0) -> Iterator[CellPart]:
        """A row of a table in as many parts as it takes: whole where a page holds it, else line by line.

        Each part is to be drawn at ``y`` before the next is asked for.

        Args:
            cells: The lines of each.
            text: How they stand.
            least: Height of the row at least, mm.

        Raises:
            ExportError: What stands on top of every page leaves no room for a line.
        """
        height = max(least, text.height(max(1, *map(len, cells))))
        self.fit(height)
        while self.left < height:
            # Not even an empty page holds it: as many lines as there is room for, the rest on the next one.
            held = int((self.left - text.above - text.below) / text.step)
            if held < 1:
                raise ExportError(
                    "what stands on top of every page leaves no room for a table: shorten it, or name a larger paper"
                )
            yield [lines[:held] for lines in cells], self.left
            cells = [lines[held:] for lines in cells]
            height = text.height(max(map(len, cells)))
            self.begin()
        yield cells, height


CellPart = tuple[Sequence[Sequence[str]], float]
"""Lines of each cell that stand on one page, and their height, mm."""
