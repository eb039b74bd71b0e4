"""The grind sheet on paper: settings and stations, thicknesses to measure, sections, and gauges to cut out."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Sequence

import numpy as np

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import (
    CUT_PEN,
    LEADER_PEN,
    ROUGH_PEN,
    SCRIBE_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Drawing,
    Item,
    Label,
    Path,
    Sheet,
)
from bladegeom.drawing.page_flow import stacked
from bladegeom.drawing.sheet import PagePiece, each_on_smallest
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.grinding.grind_summary import declared_numbers, declared_words, plunge_words, wheel_lines
from bladegeom.grinding.grind_words import scribe_words, side_words, tang_range, taper_words
from bladegeom.grinding.lower_face import LowerFace
from bladegeom.grinding.station import TILT_DEG
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.revision_id import revision_id
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.units import show_angle, show_length, show_mass, show_mm, show_units
from bladegeom.sheets.gauge import gauge_notes, gauges
from bladegeom.sheets.grind_tables import stage_words, station_tables, thickness_tables
from bladegeom.sheets.section import WIDEST, section_rows
from bladegeom.solids.part import G_PER_MM3

_ROOM = 150.0
"""Height that a page of A4 or Letter holds between a title and the bars, mm."""

_LINE = 4.5
"""What a line of settings takes of it, some wrapped, mm."""

_LONG = 150
"""Letters that a line of settings holds before it is wrapped."""

_GAP = 5.0
"""Between blocks on a page, mm."""

_MOST_HEIGHTS = 13
"""Columns of thicknesses that a page holds."""

_FOOT = (
    "Numbers are starting points: scribe the lines and grind to them.",
    "Edge trailing once it is thin; eyes, ears and lungs covered; no gloves at the grinder.",
)


def grind_pages(
    design: Design, papers: Sequence[Paper], *, step: float = 25.0, remarks: Sequence[str] = ()
) -> tuple[Sheet, ...]:
    """All pages of the grind sheet, each on the first of some papers that takes it.

    Args:
        design: The knife, and what follows from it.
        papers: To choose from, the preferred one first.
        step: Distance of the stations along x, mm.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    return each_on_smallest(_pieces(design.knife, design.title, float(step), tuple(remarks)), papers)


@memo
def _pieces(knife: Knife, name: str, step: float, remarks: Sequence[str]) -> tuple[PagePiece, ...]:
    """Every page, for whatever paper."""
    sheet = grind_sheet(knife)
    if step != sheet.step:
        sheet = dataclasses.replace(sheet, step=step)
    if len(sheet.heights) > _MOST_HEIGHTS:
        sheet = dataclasses.replace(sheet, height_step=2 * sheet.height_step)
    lines = settings(sheet)
    room = _ROOM - _LINE * len(remarks)
    stations, grids = (_view(sheet), *station_tables(sheet)), thickness_tables(sheet)
    parts = (
        ("settings and stations", lines, stacked(stations, room - _LINE * _rows(lines), gap=_GAP)),
        (f"thickness to expect with a micrometer, {show_units()}", (), stacked(grids, room, gap=_GAP)),
        ("sections square to the edge", (), section_rows(sheet)),
        ("gauges to cut out", gauge_notes(sheet), stacked(_gauges(sheet), room, gap=_GAP)),
    )
    pages = [
        (f"Grind sheet: {title}" + (", continued" if i else ""), () if i else tuple(notes), items)
        for title, notes, blocks in parts
        for i, items in enumerate(blocks)
    ]
    return tuple(
        PagePiece(
            drawing=Drawing(name=knife.name, items=items),
            head=(f"{name}, page {number} of {len(pages)}", part, *notes, *remarks),
            foot=_FOOT,
        )
        for number, (part, notes, items) in enumerate(pages, start=1)
    )


def _rows(lines: Sequence[str]) -> int:
    """About how many lines some settings take once they are wrapped."""
    return sum(1 + len(text) // _LONG for text in lines)


def settings(sheet: GrindSheet) -> tuple[str, ...]:
    """What to set and to scribe, a line each."""
    return (
        *_bevel_lines(sheet),
        *_stock_lines(sheet),
        *_scribe_lines(sheet),
        _facet_line(sheet),
        _weight_line(sheet),
        _MEASURED,
    )


_MEASURED = "x counts from where the spine meets the handle front, heights from the edge and square to it."


def _bevel_lines(sheet: GrindSheet) -> Iterator[str]:
    grind, first = sheet.knife.grind, sheet.stations[0]
    only = "" if grind.only is None else f", on the {grind.only} side only"
    yield f"Bevel{only}: {_declared(sheet, sheet.uppermost)}."
    to = "spine" if first.grind_line is None else "grind line"
    yield f"At station 1, from edge to {to}: {_angle(sheet, first.angle_deg, sheet.uppermost)}.{_wedge(sheet)}"
    yield from wheel_lines(sheet)
    yield from _rough_words(sheet)
    yield from (_lower_line(sheet, lower) for lower in sheet.showing)
    if any(station.tilted for station in (*sheet.stations, *sheet.rough_stations)):
        what, instead = _JIG[sheet.is_flat(sheet.uppermost)]
        yield f"{what} {TILT_DEG:g} degrees off moves the grind line as in the table: scribe the line, {instead}."
    yield f"Plunge line at {plunge_words(dataclasses.asdict(grind.plunge))}."


_JIG = {True: ("A jig", "do not trust the jig"), False: ("A chord", "grind to it")}
"""What is set of a flat face, and of a round one, which no jig gives; and what to heed instead."""


def _angle(sheet: GrindSheet, degrees: float, face: Face) -> str:
    """An angle, its side, what both sides include, and whether it is a chord's."""
    only = sheet.knife.grind.only
    included = "" if only else f", {show_angle(2 * degrees)} included"
    return f"{show_angle(degrees)} degrees {side_words(only)}{included}{_chord(sheet, face)}"


def _chord(sheet: GrindSheet, face: Face) -> str:
    return "" if sheet.is_flat(face) else " (chord)"


def _wedge(sheet: GrindSheet) -> str:
    """What to set a jig with; nothing for a round face, which no wedge gives."""
    if not sheet.is_flat(sheet.uppermost):
        return ""
    # A face set below the first one may take all of it at the tip: its angle is no matter of the first one's jig.
    alone = sheet.earlier[0].sheet if sheet.earlier else sheet
    angles = [station.angle_deg for station in alone.stations]
    varies = max(angles) - min(angles) > _VARIES_DEG
    along = f"; the angle varies from {show_angle(min(angles))} to {show_angle(max(angles))} degrees" if varies else ""
    rise = 100 * math.tan(math.radians(angles[0]))
    return f" Jig wedge{' at station 1 only' if varies else ''}: {show_mm(rise)} mm rise per 100 mm{along}."


_VARIES_DEG = 0.1
"""Where the angle varies by more along the edge, one jig wedge does not hold."""


def _rough_words(sheet: GrindSheet) -> Iterator[str]:
    """Where the grind line comes to lie before hardening, which is not where it ends."""
    if sheet.rough_stations and (line := sheet.rough_stations[0].grind_line) is not None:
        when = sheet.knife.stock.rough_when.capitalize()
        yield (
            f"{when} grind up to {show_length(line)} at station 1 and no higher: the edge is "
            f"still {show_length(sheet.scribed_edge('rough'))} thick."
        )


def _lower_line(sheet: GrindSheet, lower: LowerFace) -> str:
    before = lower.face.edge_thickness > sheet.uppermost.edge_thickness
    where = ("Ground before it" if before else "Then below it") if lower.station == 1 else "Farther along the edge"
    angle = f"{show_angle(lower.angle_deg)} degrees {side_words(sheet.knife.grind.only)}"
    return (
        f"{where}: {_declared(sheet, lower.face)}; {angle}{_chord(sheet, lower.face)}, "
        f"up to {show_length(lower.height)} at station {lower.station}."
    )


def _stock_lines(sheet: GrindSheet) -> Iterator[str]:
    stock = sheet.knife.stock
    if stock.taper:
        yield f"Stock {show_length(stock.thickness)}, {taper_words(stock.taper, tang_range(sheet.knife))}."


def _declared(sheet: GrindSheet, face: Face) -> str:
    return declared_words(face.kind, declared_numbers(face, sheet.knife.grind.faces))


def _scribe_lines(sheet: GrindSheet) -> Iterator[str]:
    for stage in sheet.stages:
        if stage != "sharp":
            first = ", for the first face" if sheet.showing else ""
            yield (
                f"Scribe on the edge of the blank, {stage_words(sheet, stage)}{first}: "
                f"{scribe_words(*sheet.scribe_offsets(stage))}; {show_length(sheet.scribed_edge(stage))} stays."
            )
    last = sheet.stations[-1]
    if sheet.knife.grind.only and sheet.knife.stock.taper:
        yield (
            "One side alone on tapered stock: these distances hold at the heel only; ground to size they are "
            f"{scribe_words(*sheet.scribe_offsets('finished', last.x))} at station {len(sheet.stations)}."
        )


def _facet_line(sheet: GrindSheet) -> str:
    (height, width), grind = sheet.facet, sheet.knife.grind
    angle = f"{show_angle(grind.sharpen_deg)} degrees {side_words(grind.only)}"
    if not height:
        return f"Sharpened at {angle}: no facet, the face below it comes to a point by itself."
    return f"Sharpened facet at {angle}: {show_length(height)} high, {show_length(width)} wide."


def _weight_line(sheet: GrindSheet) -> str:
    weighed, density = weigh(sheet.knife), sheet.knife.stock.material.density_g_cm3 * G_PER_MM3
    stages = (("blank", "blank"), *((stage, stage_words(sheet, stage)) for stage in sheet.stages))
    grams = (f"{words} {show_mass(weighed.stage(stage).amount * density)}" for stage, words in stages)
    return f"The {sheet.knife.stock.metal_word} weighs: {', '.join(grams)}."


def _view(sheet: GrindSheet) -> Iterator[Item]:
    """The blade with its grind line and stations; at half size where it is too long for a page."""
    knife, outline = sheet.knife, sheet.knife.outline
    size = 1.0 if outline.bounds[2] - min(0.0, knife.handle_front.end[0]) <= WIDEST else 0.5
    for curve in (outline.edge, outline.spine, *knife.front_to_heel):
        yield Path(layer="NOTE", curve=_sized(curve, size), pen=CUT_PEN)
    rows = (line(*[(float(x), float(y)) for x, y in row]) for row in grind_line(knife, "finished", sheet.flank))
    for curve in (knife.handle_front, knife.plunge_line, *rows):
        yield Path(layer="MARK", curve=_sized(curve, size), pen=SCRIBE_PEN)
    top, free = size * max(0.0, outline.bounds[3]) + 4.0, -math.inf
    for i, station in enumerate(sheet.stations):
        (x0, x1), (y0, y1) = ((size * v).tolist() for v in station.place(np.array([0.0, station.reach])))
        at = max(x1, free)
        free = at + _NUMBER
        yield Path(layer="NOTE", curve=line((x0, y0), (x1, y1)), pen=THIN_PEN)
        yield Path(layer="NOTE", curve=line((x1, y1), (at, top)), pen=LEADER_PEN)
        yield Label(layer="NOTE", x=at, y=top + 0.8, text=f"{i + 1}", height=SMALL_TEXT, anchor="middle")
    if size < 1:
        yield Label(layer="NOTE", x=0.0, y=top + 4.5, text="blade drawn at half size", height=SMALL_TEXT)
    yield from _rough_line(sheet, size, top + (4.5 if size == 1 else 8.5))


def _rough_line(sheet: GrindSheet, size: float, y: float) -> Iterator[Item]:
    """Up to where the bevel is ground before hardening."""
    rows = grind_line(sheet.knife, "rough", sheet.flank)
    for row in rows:
        curve = line(*[(float(px), float(py)) for px, py in row])
        yield Path(layer="MARK", curve=_sized(curve, size), pen=ROUGH_PEN)
    if rows:
        text = f"dotted: grind line {sheet.knife.stock.rough_when}"
        yield Label(layer="NOTE", x=0.0, y=y, text=text, height=SMALL_TEXT)


_NUMBER = 3.4
"""Room for the number of a station, mm."""


def _sized(curve: Curve, size: float) -> Curve:
    return curve.transformed([[size, 0.0, 0.0], [0.0, size, 0.0]])


def _gauges(sheet: GrindSheet) -> Iterator[list[Item]]:
    mark = f"{sheet.knife.name}, {revision_id(sheet.knife)}"
    for earlier_stage in sheet.earlier:
        yield list(gauges(earlier_stage.sheet, earlier_stage.before, mark))
    yield list(gauges(sheet, stage_words(sheet, "finished"), mark))
