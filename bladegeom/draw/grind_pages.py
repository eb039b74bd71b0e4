"""The grind sheet on paper: settings and stations, thicknesses to measure, sections, and gauges to cut out."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from bladegeom.body.bevels.spots import Face
from bladegeom.body.knife import Knife
from bladegeom.body.revision_id import revision_id
from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve
from bladegeom.draw.drawing import (
    CUT_PEN,
    LEADER_PEN,
    SCRIBE_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Drawing,
    Item,
    Label,
    Path,
    Sheet,
)
from bladegeom.draw.gauge import gauge_notes, gauges
from bladegeom.draw.section import WIDEST, section_rows
from bladegeom.draw.sheet import on_smallest
from bladegeom.draw.table import table
from bladegeom.quantities.tables import Paper
from bladegeom.quantities.units import MM_PER_INCH, show_length
from bladegeom.reason.grind_line import grind_line
from bladegeom.reason.grind_sheet import (
    GrindSheet,
    Lower,
    is_round,
    scribe_words,
    side_words,
    tang_range,
    taper_words,
)
from bladegeom.reason.part import G_PER_MM3
from bladegeom.reason.station import TILT_DEG
from bladegeom.reason.weigh import weigh

STAGE_WORDS = {"rough": "ground before hardening", "finished": "ground to size", "sharp": "sharpened"}

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
    knife: Knife, papers: Sequence[Paper], *, step: float = 25.0, remarks: Sequence[str] = ()
) -> tuple[Sheet, ...]:
    """All pages of the grind sheet, each on the first of some papers that takes it.

    Args:
        knife: The design.
        papers: To choose from, the preferred one first.
        step: Distance of the stations along x, mm.
        remarks: Lines for the head of every page.

    Raises:
        ExportError: A page fits none of them.
    """
    sheet = GrindSheet(knife, step=step)
    if len(sheet.heights) > _MOST_HEIGHTS:
        sheet = dataclasses.replace(sheet, height_step=2 * sheet.height_step)
    lines = settings(sheet)
    room = _ROOM - _LINE * len(remarks)
    parts = (
        ("settings and stations", lines, _stacked((_view(sheet), _stations(sheet)), room - _LINE * _rows(lines))),
        ("thickness to expect with a micrometer, mm (in)", (), _stacked(_thicknesses(sheet), room)),
        ("sections square to the edge", (), section_rows(sheet)),
        ("gauges to cut out", gauge_notes(sheet), (tuple(gauges(sheet)),)),
    )
    pages = [
        (f"Grind sheet: {title}" + (", continued" if i else ""), () if i else tuple(notes), items)
        for title, notes, blocks in parts
        for i, items in enumerate(blocks)
    ]
    out = []
    for number, (part, notes, items) in enumerate(pages, start=1):
        title = f"{knife.name}, revision {revision_id(knife)}, page {number} of {len(pages)}"
        drawing = Drawing(name=knife.name, items=items)
        out.append(on_smallest(drawing, papers, (title, part, *notes, *remarks), _FOOT, turn=False)[1])
    return tuple(out)


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
    yield f"Bevel{only}: {_declared(sheet.uppermost)}."
    to = "spine" if first.grind_line is None else "grind line"
    yield f"At station 1, from edge to {to}: {_angle(sheet, first.angle_deg, sheet.uppermost)}.{_wedge(sheet)}"
    yield from (_lower_line(sheet, lower) for lower in sheet.showing)
    if any(station.tilted for station in sheet.stations):
        yield (
            f"A jig {TILT_DEG:g} degrees off moves the grind line as in the table: scribe the line, do not trust "
            "the jig."
        )
    lean = f"leaning {abs(grind.plunge.lean_deg):g} degrees to the {'tip' if grind.plunge.lean_deg > 0 else 'butt'}"
    lean = lean if grind.plunge.lean_deg else "upright"
    radius = f"radius {show_length(grind.plunge.radius)}" if grind.plunge.radius else "a sharp step"
    yield f"Plunge line at x {grind.plunge.x:.1f} mm, {lean}, {radius}."


def _angle(sheet: GrindSheet, degrees: float, face: Face) -> str:
    """An angle, its side, what both sides include, and whether it is a chord's."""
    only = sheet.knife.grind.only
    included = "" if only else f", {2 * degrees:.2f} included"
    return f"{degrees:.2f} degrees {side_words(only)}{included}{' (chord)' if is_round(face) else ''}"


def _wedge(sheet: GrindSheet) -> str:
    """What to set a jig with; nothing for a round face, which no wedge gives."""
    if is_round(sheet.uppermost):
        return ""
    angles = [station.angle_deg for station in sheet.stations]
    varies = max(angles) - min(angles) > _VARIES_DEG
    along = f"; the angle varies from {min(angles):.2f} to {max(angles):.2f} degrees" if varies else ""
    rise = 100 * math.tan(math.radians(angles[0]))
    return f" Jig wedge{' at station 1 only' if varies else ''}: {rise:.2f} mm rise per 100 mm{along}."


_VARIES_DEG = 0.1
"""Where the angle varies by more along the edge, one jig wedge does not hold."""


def _lower_line(sheet: GrindSheet, lower: Lower) -> str:
    where = "Then below it" if lower.station == 1 else "Farther along the edge"
    angle = f"{lower.angle_deg:.2f} degrees {side_words(sheet.knife.grind.only)}"
    return (
        f"{where}: {_declared(lower.face)}; {angle}{' (chord)' if is_round(lower.face) else ''}, "
        f"up to {show_length(lower.height)} at station {lower.station}."
    )


def _stock_lines(sheet: GrindSheet) -> Iterator[str]:
    stock = sheet.knife.stock
    if stock.taper:
        yield f"Stock {show_length(stock.thickness)}, {taper_words(stock.taper, tang_range(sheet.knife))}."


def _declared(face: Face) -> str:
    """A face's kind and numbers as the maker declared them."""
    words = []
    for field in dataclasses.fields(face):  # type: ignore[arg-type]  # every face is a dataclass
        value = getattr(face, field.name)
        if isinstance(value, int | float):
            name = field.name.removesuffix("_deg").replace("_", " ")
            words.append(f"{name} {value:g} degrees" if field.name.endswith("_deg") else f"{name} {show_length(value)}")
    return f"{face.kind}, {', '.join(words)}"


def _scribe_lines(sheet: GrindSheet) -> Iterator[str]:
    for stage in sheet.stages:
        if stage != "sharp":
            first = ", for the first face" if sheet.showing else ""
            yield (
                f"Scribe on the edge of the blank, {STAGE_WORDS[stage]}{first}: "
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
    angle = f"{grind.sharpen_deg:g} degrees {side_words(grind.only)}"
    if not height:
        return f"Sharpened at {angle}: no facet, the face below it comes to a point by itself."
    return f"Sharpened facet at {angle}: {show_length(height)} high, {show_length(width)} wide."


def _weight_line(sheet: GrindSheet) -> str:
    weighed, density = weigh(sheet.knife), sheet.knife.stock.material.density_g_cm3 * G_PER_MM3
    stages = (("blank", "blank"), *((stage, STAGE_WORDS[stage]) for stage in sheet.stages))
    grams = (f"{words} {weighed.stage(stage).amount * density:.1f} g" for stage, words in stages)
    return f"The steel weighs: {', '.join(grams)}."


def _stacked(blocks: Iterable[Iterable[Item]], room: float) -> Iterator[tuple[Item, ...]]:
    """Blocks of items below each other, on as few pages of a height as they need."""
    page: list[Item] = []
    low = 0.0
    for block in blocks:
        drawing = Drawing(name="", items=tuple(block))
        _, bottom, _, top = drawing.bounds
        if page and top - bottom - low > room:
            yield tuple(page)
            page, low = [], 0.0
        page += drawing.moved(0.0, low - top).items
        low -= top - bottom + _GAP
    yield tuple(page)


def _view(sheet: GrindSheet) -> Iterator[Item]:
    """The blade with its grind line and stations; at half size where it is too long for a page."""
    knife, outline = sheet.knife, sheet.knife.outline
    size = 1.0 if outline.bounds[2] - min(0.0, knife.handle_front.end[0]) <= WIDEST else 0.5
    for curve in (outline.edge, outline.spine, *knife.front_to_heel):
        yield Path(layer="NOTE", curve=_sized(curve, size), pen=CUT_PEN)
    rows = (line(*[(float(x), float(y)) for x, y in row]) for row in grind_line(knife, flank=sheet.flank))
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


_NUMBER = 3.4
"""Room for the number of a station, mm."""


def _sized(curve: Curve, size: float) -> Curve:
    return curve.transformed([[size, 0.0, 0.0], [0.0, size, 0.0]])


def _stations(sheet: GrindSheet) -> list[Item]:
    angle = ("chord angle " if is_round(sheet.uppermost) else "angle ") + side_words(sheet.knife.grind.only)
    less, more = f"{TILT_DEG:g} deg less", f"{TILT_DEG:g} deg more"
    rows = [["station", "x", "stock", "grind line", angle, less, more, "thinnest wall", "at height"]]
    for i, s in enumerate(sheet.stations):
        tilted = s.tilted or (math.nan, math.nan)
        rows.append(
            [
                f"{i + 1}",
                f"{s.x:.1f}",
                _both(s.stock),
                _both(s.grind_line) if s.grind_line is not None else "runs out at the spine",
                f"{s.angle_deg:.2f} deg",
                *(_both(v) for v in tilted),
                _both(s.wall[0]),
                f"{s.wall[1]:.1f}",
            ]
        )
    return table(rows, 0.0, 0.0, title="mm (in)")[0]


def _thicknesses(sheet: GrindSheet) -> Iterator[list[Item]]:
    for stage in sheet.stages:
        rows = [["station", "x", *(f"{h:g} mm up" if h else "edge" for h in sheet.heights)]]
        for i, (station, row) in enumerate(zip(sheet.stations, sheet.thickness(stage), strict=True)):
            rows.append([f"{i + 1}", f"{station.x:.1f}", *(_both(v) for v in row.tolist())])
        yield table(rows, 0.0, 0.0, title=STAGE_WORDS[stage].capitalize())[0]


def _both(mm: float) -> str:
    """A length in mm and in inch, short; a dash for none."""
    return "-" if math.isnan(mm) else f"{mm:z.2f} ({mm / float(MM_PER_INCH):z.3f})"
