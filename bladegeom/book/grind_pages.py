"""The grind sheet on the drawing: what is set, scribed and measured, sections, a table to check by, gauges."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.book.cautioned import caution
from bladegeom.book.chapter_flow import ChapterFlow
from bladegeom.book.grind_numbers import GrindNumbers, benched
from bladegeom.book.grind_rows import row_groups
from bladegeom.book.grind_sections import SECTION_HEIGHTS, UNDER_SECTION, GrindSections
from bladegeom.book.grind_settings import CAUTIONS, line_words, settings, stage_words, worked_to
from bladegeom.book.grind_view import LINE_PENS, GrindView
from bladegeom.book.key_number import key_rows
from bladegeom.book.scribe_picture import scribe_picture
from bladegeom.book.station_table import StationTable
from bladegeom.book.true_size import beside_bar, true_size
from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Path, Sheet
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.quantities.number_alone import units_alone
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.gauge import gauge_notes, gauges

_GAP = 3.0
"""Between blocks on a page, mm."""

_COLUMNS = 4
"""Numbers that are worked to stand in so many columns at most beside the picture of the edge."""

_PICTURE = 34.0
"""Width of that, mm."""

_SAMPLE = 14.0
"""Length of a line whose meaning is told, mm."""


def grind_pages(
    design: Design, papers: Sequence[Paper], *, step: float = 25.0, remarks: Sequence[str] = ()
) -> tuple[Sheet, ...]:
    """The chapter of the grind.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        step: Distance of the stations along x, mm.
        remarks: Lines under the head of every page.

    Raises:
        ExportError: The gauges, or title and remarks, do not fit the paper.
    """
    paper = papers[0]
    numbers = GrindNumbers(benched(dataclasses.replace(grind_sheet(design.knife), step=float(step))))
    flow = ChapterFlow(paper, "Grind sheet", design.title, remarks)
    _view(flow, numbers)
    _worked_to(flow, numbers.sheet)
    _lines(flow, numbers.sheet)
    _sections(flow, numbers)
    _table(flow, paper, numbers)
    true_size(flow, paper, "Gauges to cut out", tuple(gauge_notes(numbers.sheet)), tuple(_cards(numbers.sheet)))
    return flow.sheets()


def _view(flow: ChapterFlow, numbers: GrindNumbers) -> None:
    view = GrindView(numbers, flow.width)
    drawing = Drawing(name="", items=view.items)
    flow.begin()
    flow.block(drawing.moved(flow.x - drawing.bounds[0], 0.0).items, gap=1.0)
    unit, words = units_alone().first, [stage_words(numbers.sheet, stage) for stage in numbers.stages]
    weights = f"thin numbers {words[0]}, bold ones {words[1]}" if len(words) > 1 else words[0]
    seen = f"Scale {view.scale:g} : 1, seen from the right{_THROUGH[numbers.sheet.flank]}."
    flow.write(
        f"{seen} At dots: thickness in {unit}, {weights}. Over the stations their numbers, under them x in {unit} "
        "from where the spine meets the handle front; heights count from the edge and square to it.",
        TEXT,
    )
    for name, text in line_words(numbers.sheet):
        flow.fit(TEXT * LEADING)
        y = flow.y - TEXT * LEADING + 0.36 * TEXT
        flow.add(Path(layer="NOTE", curve=line((flow.x, y), (flow.x + _SAMPLE, y)), pen=LINE_PENS[name]))
        flow.write(text, TEXT, indent=_SAMPLE + 2.0)
    flow.y -= _GAP


_THROUGH: Final = {"right": "", "left": ", the grind line of the left side through the blade"}
"""How the line of a side is seen."""


def _worked_to(flow: ChapterFlow, sheet: GrindSheet) -> None:
    """Numbers in rows beside the edge of the blank."""
    told = tuple(worked_to(sheet))
    columns = math.ceil(len(told) / math.ceil(len(told) / _COLUMNS))
    left = flow.x + _PICTURE + 4.0
    rows = key_rows(told, left, flow.x + flow.width - left - 3.0, columns=columns, gap=1.0)
    flow.block((*scribe_picture(sheet, flow.x, 0.0, _PICTURE), *rows), gap=_GAP)


def _lines(flow: ChapterFlow, sheet: GrindSheet) -> None:
    for text in settings(sheet):
        flow.write(text, TEXT)
    flow.y -= 1.0
    caution(flow, CAUTIONS)
    flow.y -= _GAP


def _sections(flow: ChapterFlow, numbers: GrindNumbers) -> None:
    """As tall as the page leaves room for."""
    title, words = HEAD * LEADING + 1.0, 1.0 + 2 * TEXT * LEADING
    least, most = SECTION_HEIGHTS
    flow.fit(title + least + UNDER_SECTION + words + 0.1)
    sections = GrindSections(numbers, flow.width, min(most, flow.left - title - UNDER_SECTION - words - 0.1))
    flow.write(f"Sections square to the edge, {sections.scale} : 1, each with its whole at 1 : 1", HEAD, bold=True)
    flow.y -= 1.0
    flow.block(Drawing(name="", items=sections.items).moved(flow.x, 0.0).items, gap=1.0)
    flow.write(sections.words, TEXT)
    flow.y -= _GAP


def _table(flow: ChapterFlow, paper: Paper, numbers: GrindNumbers) -> None:
    """On a page of its own where this one does not hold all of it; beside the bar of the gauges where it can be."""
    names = [f"{i}" for i in range(1, len(numbers.sheet.stations) + 1)]
    groups = tuple(row_groups(numbers))
    tables = [StationTable(names, groups, width) for width in (beside_bar(paper), flow.width)]
    table = min(tables, key=lambda each: len(each.bands))
    trial = PageFlow(room=math.inf, width=flow.width)
    trial.begin()
    _put_table(trial, numbers, table)
    flow.fit(-trial.y)
    _put_table(flow, numbers, table)


def _put_table(flow: PageFlow, numbers: GrindNumbers, table: StationTable) -> None:
    units, words = units_alone(), [stage_words(numbers.sheet, stage) for stage in numbers.stages]
    weights = f"thin {words[0]}, bold {words[1]}" if len(words) > 1 else words[0]
    flow.write("Thickness to check while grinding", HEAD, bold=True)
    flow.write(f"In {units.first}, under it in {units.second}; {weights}.", TEXT)
    table.put(flow)


def _cards(sheet: GrindSheet) -> Iterator[Drawing]:
    for earlier in sheet.earlier:
        yield from gauges(earlier.sheet, earlier.before, sheet.knife)
    yield from gauges(sheet, stage_words(sheet, "finished"), sheet.knife)
