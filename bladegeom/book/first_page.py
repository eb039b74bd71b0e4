"""The knife on one page, to be pinned over the bench: its view, its sections, and every number that is worked to.

The page is always one. Lists that it does not hold are cut, the longest first, and say which chapter has the rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.first_blocks import (
    LINE,
    NUMBER,
    PAD,
    TITLE,
    column_widths,
    framed_block,
    framed_height,
    list_block,
    table_block,
    table_width,
    text_lines,
    title_label,
)
from bladegeom.book.first_words import bevel_lines, hardware_lines, heat_lines, hole_rows, must_rows
from bladegeom.book.key_band import key_band, key_numbers
from bladegeom.book.shortened import ShortList, shortened
from bladegeom.book.side_view import side_view
from bladegeom.book.three_sections import ThreeSections, told_stations
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item, Sheet
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.drilling.card import drill_card
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_units

_VIEW: Final = 0.17
"""Of a page's height that the knife itself may take."""

_SECTIONS: Final = 36.0
"""Height of the sections with their numbers at least, mm."""

_GAP: Final = 2.5
"""Between two blocks, mm."""

_BESIDE: Final = 6.0
"""Between the sections and the table, mm."""

_HOLES: Final = ("hole", "along", "off", "diameter", "drill")

_FOOT: Final = "Numbers are starting points: data sheets, the shop's own limits and local rules come first."

Lists = Mapping[str, ShortList]


def first_page(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The knife on one page.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        remarks: Lines for the head of the page.

    Raises:
        ExportError: Name and remarks leave no room.
    """
    flow = ChapterFlow(papers[0], "The knife", design.title, remarks)
    flow.begin()
    blocks = _Blocks(design, flow.x, flow.x + flow.width, flow.room)
    lists = shortened(blocks.lists, blocks.height, flow.left)
    for items in blocks.drawn(lists, flow.left):
        flow.block(items, gap=_GAP)
    return flow.sheets()


@dataclass(frozen=True)
class _Blocks:
    """All that stands on the page.

    Args:
        design: The knife, and what follows from it.
        left: Left border, mm.
        right: Right border, mm.
        room: Height of a page, mm.
    """

    design: Design
    left: float
    right: float
    room: float

    @cached_property
    def lists(self) -> Lists:
        """Those that can be cut, whole."""
        knife, width = self.design.knife, self.right - self.left
        lists = {
            "holes": ShortList(rows=tuple((row[0],) for row in self.holes), where="Drill card", shown=len(self.holes)),
            "hardware": ShortList.of(tuple(hardware_lines(knife)), "Drill card", TEXT, width),
            "heat": ShortList.of(tuple(heat_lines(self.design)), "The route", TEXT, width),
            "musts": ShortList.of([text for _, text in self.musts], "The order", TEXT, width - 2 * PAD - NUMBER),
        }
        return {name: made for name, made in lists.items() if made.rows}

    @cached_property
    def holes(self) -> tuple[tuple[str, ...], ...]:
        return hole_rows(self.design.knife)

    @cached_property
    def musts(self) -> tuple[tuple[str, str], ...]:
        return must_rows(self.design)

    @cached_property
    def fixed(self) -> tuple[tuple[Item, ...], ...]:
        """The view, the key numbers, the bevels: what is never cut."""
        knife, sheet, width = self.design.knife, self.design.grind_sheet, self.right - self.left
        view = side_view(knife, told_stations(sheet), self.left, self.right, _VIEW * self.room)
        band = key_band(tuple(key_numbers(sheet, self.design.weighing)), self.left, width)
        lines = [part for text in bevel_lines(sheet) for part in wrapped(text, TEXT, width)]
        return tuple(view), tuple(band), tuple(text_lines(lines, self.left, 0.0))

    @cached_property
    def foot(self) -> tuple[Item, ...]:
        return tuple(text_lines(wrapped(_FOOT, TEXT, self.right - self.left), self.left, 0.0))

    def height(self, lists: Lists) -> float:
        """Of everything with some lists, mm."""
        blocks = [_height(items) for items in (*self.fixed, self.foot)]
        blocks.append(self._middle(lists))
        blocks += [TITLE + LINE * lists[name].lines for name in ("hardware", "heat") if name in lists]
        blocks += [framed_height(lists["musts"])] if "musts" in lists else []
        return sum(blocks) + _GAP * (len(blocks) - 1)

    def drawn(self, lists: Lists, room: float) -> Iterator[Sequence[Item]]:
        """Each block; what is left of the room goes to the sections."""
        view, band, bevels = self.fixed
        yield from (view, band, bevels)
        yield tuple(self._sections(lists, self._middle(lists) + room - self.height(lists)))
        for name, title in (("hardware", "Hardware and depth stops"), ("heat", "Heat treatment")):
            if name in lists:
                yield tuple(list_block(title, lists[name], self.left))
        if "musts" in lists:
            numbers = [number for number, _ in self.musts]
            yield tuple(framed_block(self._order_title, numbers, lists["musts"], self.left, self.right))
        yield self.foot

    @property
    def _order_title(self) -> str:
        order = self.design.order
        return "" if order is None else f"Musts of order {order.number}"

    @cached_property
    def _table_width(self) -> float:
        return table_width(column_widths(_HOLES, self.holes)) if self.holes else 0.0

    @cached_property
    def _sections_width(self) -> float:
        return self.right - self.left - (self._table_width + _BESIDE if self.holes else 0.0)

    @cached_property
    def _said(self) -> tuple[list[str], list[str]]:
        """Under the titles of sections and table."""
        datum = drill_card(self.design.knife).datum if self.holes else None
        side = "" if datum is None else f"{datum.side}'s"
        of_holes = f"along from a square at the butt, off from a straightedge on the {side} side: chain lines above"
        of_sections = "at heights over the edge and at the spine; under them how far ahead of the front, and the angle"
        return wrapped(of_sections, TEXT, self._sections_width), wrapped(of_holes, TEXT, self._table_width)

    def _middle(self, lists: Lists) -> float:
        """Height of sections and table beside each other, mm."""
        of_sections, of_holes = self._said
        sections = TITLE + LINE * len(of_sections) + _SECTIONS
        table = TITLE + LINE * (len(of_holes) + 1 + lists["holes"].lines) if self.holes else 0.0
        return max(sections, table)

    def _sections(self, lists: Lists, height: float) -> Iterator[Item]:
        of_sections, of_holes = self._said
        top = -TITLE - LINE * len(of_sections)
        sections = ThreeSections(
            sheet=self.design.grind_sheet, left=self.left, width=self._sections_width, height=height + top
        )
        yield title_label(f"Thickness, {show_units()}; drawn {sections.scale:g} : 1", self.left)
        yield from text_lines(of_sections, self.left, -TITLE)
        drawing = Drawing(name="", items=tuple(sections.items))
        yield from drawing.moved(0.0, top - drawing.bounds[3]).items
        if self.holes:
            left, holes = self.right - self._table_width, lists["holes"]
            yield title_label(f"Holes, {show_units()}", left)
            yield from text_lines(of_holes, left, -TITLE)
            rows, under = self.holes[: holes.shown], -TITLE - LINE * len(of_holes)
            yield from table_block(_HOLES, rows, holes.pointer, self.right, under)


def _height(items: Sequence[Item]) -> float:
    _, low, _, high = Drawing(name="", items=tuple(items)).bounds
    return high - low
