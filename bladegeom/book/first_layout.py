"""Where the blocks of the first page stand, and how high they are with some rows of their lists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from bladegeom.book.first_blocks import (
    INDENT,
    LINE,
    TITLE,
    column_widths,
    framed_block,
    framed_height,
    list_block,
    must_width,
    table_block,
    table_width,
    text_lines,
    title_label,
)
from bladegeom.book.first_numbers import key_numbers
from bladegeom.book.first_words import (
    bevel_lines,
    hardware_lines,
    heat_lines,
    hole_places,
    holes_said,
    must_rows,
    musts_title,
    sections_said,
)
from bladegeom.book.grind_numbers import benched
from bladegeom.book.key_number import key_rows
from bladegeom.book.shortened import Lists, ShortList
from bladegeom.book.side_view import MOST_NAMED, dimensioned_view
from bladegeom.book.three_sections import ThreeSections, told_stations
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.number_alone import units_alone

GAP: Final = 2.5
"""Between two blocks, mm."""

VIEWS: Final = (0.17, 0.13, 0.09)
"""Of a page's height that the knife itself may take, the best first; own choice."""

_SECTIONS: Final = 36.0
"""Height of the sections with their numbers at least, mm."""

_MOST_SECTIONS: Final = 80.0
"""And at most, mm."""

_BESIDE: Final = 4.0
"""Between the table of holes and what stands beside it, mm."""

_HOLES: Final = ("hole", "along", "off", "diameter", "drill")

_FOOT: Final = "Numbers are starting points: the shop's own limits and local rules come first."


_COLUMNS: Final = 4
"""Numbers that are worked to in a row."""


@dataclass(frozen=True)
class FirstLayout:
    """All that stands on the page, from the top.

    Args:
        design: The knife, and what follows from it.
        left: Left border, mm.
        right: Right border, mm.
        room: Height of a page, mm.
        is_wide: Whether the sections stand over the table of holes, and hardware beside it; else the sections stand
            beside the table, and hardware under both.
        view: Of a page's height that the knife itself may take.
    """

    design: Design
    left: float
    right: float
    room: float
    is_wide: bool
    view: float = VIEWS[0]

    @property
    def width(self) -> float:
        """Between the borders, mm."""
        return self.right - self.left

    @cached_property
    def lists(self) -> Lists:
        """Those that can be cut, whole."""
        names = tuple((row[0],) for row in self._holes)
        beside = self.width - self._table if self.is_wide else self.width
        lists = {
            "holes": ShortList(rows=names, where="Drill card", shown=min(len(names), MOST_NAMED), most=MOST_NAMED),
            "hardware": ShortList.of(tuple(hardware_lines(self.design.knife)), "Drill card", TEXT, beside - INDENT),
            "heat": ShortList.of(tuple(heat_lines(self.design)), "The route", TEXT, self.width - INDENT),
            "musts": ShortList.of([text for _, text in self._musts], "The order", TEXT, must_width(self.width)),
        }
        return {name: made for name, made in lists.items() if made.rows}

    def height(self, lists: Lists) -> float:
        """Of everything with some lists and the least of the sections, mm."""
        return sum(height + GAP for height in self._heights(lists)) - GAP

    def height_over_two(self, lists: Lists, left: float) -> float:
        """The same where what the first page does not hold goes on to a second: with what stays free on the first, mm.

        Args:
            lists: Some of them.
            left: Height that the first page has, mm.
        """
        taken, turned = 0.0, False
        for height in self._heights(lists):
            if not turned and taken + height > left:
                taken, turned = left, True
            taken += height + GAP
        return taken - GAP

    def _heights(self, lists: Lists) -> list[float]:
        """Of each block from the top, mm."""
        blocks = [_height(items) for items in self._fixed]
        sections, table, hardware = self._sections_least, self._table_height(lists), _list_height(lists.get("hardware"))
        blocks += [sections, max(table, hardware)] if self.is_wide else [max(sections, table), hardware]
        blocks.append(_list_height(lists.get("heat")))
        if "musts" in lists:
            blocks.append(framed_height(musts_title(self.design), lists["musts"], self.width))
        return [height for height in (*blocks, _height(self._foot)) if height]

    def drawn(self, lists: Lists, free: float) -> Iterator[Sequence[Item]]:
        """Each block; what is free beside the least of them, in mm, goes to the sections."""
        yield from self._fixed
        yield from self._wide(lists, free) if self.is_wide else self._narrow(lists, free)
        if "heat" in lists:
            yield tuple(list_block("Heat treatment", lists["heat"], self.left))
        if "musts" in lists:
            numbers = [number for number, _ in self._musts]
            yield tuple(framed_block(musts_title(self.design), numbers, lists["musts"], self.left, self.right))
        yield self._foot

    def _wide(self, lists: Lists, free: float) -> Iterator[Sequence[Item]]:
        yield tuple(self._sections(self.width, self._sections_least + free))
        below = (*self._table_items(lists, self.left), *self._hardware(lists, self.left + self._table))
        if below:
            yield below

    def _narrow(self, lists: Lists, free: float) -> Iterator[Sequence[Item]]:
        height = max(self._sections_least, self._table_height(lists)) + free
        sections = self._sections(self.width - self._table, height)
        yield (*sections, *self._table_items(lists, self.right - self._table + _BESIDE))
        if "hardware" in lists:
            yield tuple(self._hardware(lists, self.left))

    @cached_property
    def _fixed(self) -> tuple[tuple[Item, ...], ...]:
        """The view, the key numbers, the bevels: what is never cut."""
        knife, sheet = self.design.knife, self.design.grind_sheet
        view = dimensioned_view(knife, told_stations(sheet), self.left, self.right, self.view * self.room)
        band = key_rows(tuple(key_numbers(sheet, self.design.weighing)), self.left, self.width, columns=_COLUMNS)
        lines = [part for text in bevel_lines(sheet) for part in wrapped(text, TEXT, self.width)]
        return tuple(view), tuple(band), tuple(text_lines(lines, self.left, 0.0))

    @cached_property
    def _benched(self) -> GrindSheet:
        return benched(self.design.grind_sheet)

    @cached_property
    def _foot(self) -> tuple[Item, ...]:
        return tuple(text_lines(wrapped(_FOOT, TEXT, self.width), self.left, 0.0))

    @cached_property
    def _holes(self) -> tuple[tuple[str, ...], ...]:
        return hole_places(self.design.knife)

    @cached_property
    def _musts(self) -> tuple[tuple[str, str], ...]:
        return must_rows(self.design)

    @cached_property
    def _table(self) -> float:
        """Width of the table of holes with what is free beside it, mm."""
        return table_width(column_widths(_HOLES, self._holes)) + _BESIDE if self._holes else 0.0

    @cached_property
    def _holes_said(self) -> list[str]:
        return wrapped(holes_said(self.design.knife), TEXT, self._table - _BESIDE) if self._holes else []

    def _table_height(self, lists: Lists) -> float:
        return TITLE + LINE * (len(self._holes_said) + 1 + lists["holes"].lines) if self._holes else 0.0

    def _table_items(self, lists: Lists, left: float) -> Iterator[Item]:
        if self._holes:
            yield title_label(f"Holes, {units_alone()}", left)
            yield from text_lines(self._holes_said, left, -TITLE)
            holes, top = lists["holes"], -TITLE - LINE * len(self._holes_said)
            yield from table_block(_HOLES, self._holes[: holes.shown], holes.pointer, left, top)

    def _hardware(self, lists: Lists, left: float) -> Iterator[Item]:
        if "hardware" in lists:
            yield from list_block("Hardware and depth stops", lists["hardware"], left)

    @cached_property
    def _sections_width(self) -> float:
        return self.width if self.is_wide else self.width - self._table

    @cached_property
    def _sections_said(self) -> list[str]:
        return wrapped(sections_said(self.design.grind_sheet), TEXT, self._sections_width)

    @property
    def _sections_least(self) -> float:
        return TITLE + LINE * len(self._sections_said) + _SECTIONS

    def _sections(self, width: float, height: float) -> Iterator[Item]:
        top = -TITLE - LINE * len(self._sections_said)
        room = min(height + top, _MOST_SECTIONS)
        sections = ThreeSections(sheet=self._benched, left=self.left, width=width, height=room)
        yield title_label(f"Thickness, {units_alone()}; drawn {sections.scale:g} : 1", self.left)
        yield from text_lines(self._sections_said, self.left, -TITLE)
        drawing = Drawing(name="", items=tuple(sections.items))
        yield from drawing.moved(0.0, top - drawing.bounds[3]).items


def _list_height(rows: ShortList | None) -> float:
    return 0.0 if rows is None else TITLE + LINE * rows.lines


def _height(items: Sequence[Item]) -> float:
    _, low, _, high = Drawing(name="", items=tuple(items)).bounds
    return high - low
