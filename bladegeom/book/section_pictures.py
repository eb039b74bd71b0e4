"""Pictures of steps that show the knife cut across: scribed edge and bevel, depth stop, handle, sharpened edge."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bladegeom.book.sketch import (
    DASHED,
    PICTURE,
    arrow,
    rectangle,
    shape,
    span_across,
    span_upright,
    stroke,
    words,
)
from bladegeom.curves.build import line
from bladegeom.curves.curve import FloatArray
from bladegeom.drawing.drawing import THIN_PEN, Item
from bladegeom.drawing.type_sizes import FINISHED_PEN, HEAVY_PEN, LEADING, TEXT
from bladegeom.drilling.row import CardRow
from bladegeom.grinding.grind_sheet import grind_sheet
from bladegeom.handle.section import handle_sections, places_told
from bladegeom.knife.grind import Stage
from bladegeom.quantities.shown import caliper_length, depth_stop, rule_length, scribed_length
from bladegeom.quantities.units import show_angle
from bladegeom.sheets.section import blade_section
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route

_LONG: Final = 44.0
_THICK: Final = 13.0
"""Of the section in a picture of a bevel, mm: its thickness is drawn larger than its height."""

STOP: Final = 11.0 + TEXT * LEADING
"""Height of the picture of a depth stop, mm."""

_NEAR: Final = 3.2
"""Heights of the facet that are shown of a sharpened edge."""


def rough_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """Where to scribe for the grind before hardening, and the section that it leaves."""
    yield from _bevel(work, "rough")


def finish_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """The same for the grind to size, over what was ground before."""
    yield from _bevel(work, "finished")


def _bevel(work: Route, stage: Stage) -> Iterator[Item]:
    """The section at the first station lying, edge to the left, bar round it, scribed lines at the edge."""
    sheet = grind_sheet(work.knife)
    station = sheet.rough_stations[0] if stage == "rough" else sheet.first
    bar = work.knife.stock.thickness
    along, across = _LONG / station.reach, _THICK / bar
    matrix = [[0.0, along, 0.0], [across, 0.0, 0.0]]
    yield rectangle(0.0, -_THICK / 2, _LONG, _THICK, THIN_PEN)
    if stage == "finished" and work.knife.grind.rough_edge is not None:
        yield shape(blade_section(work.knife, station, "rough").transformed(matrix), DASHED)
    yield shape(blade_section(work.knife, station, stage).transformed(matrix))
    right, left = sheet.scribe_offsets(stage, station.foot[0])
    for y in (_THICK / 2 - across * right, -_THICK / 2 + across * left):
        yield stroke((-9.0, y), (1.0, y), pen=FINISHED_PEN)
    yield stroke((-9.0, _THICK / 2), (0.0, _THICK / 2))
    if stage == "rough" or work.knife.grind.rough_edge is None:
        yield from span_upright(-7.5, _THICK / 2 - across * right, _THICK / 2)
        yield words(-9.0, _THICK / 2 + 5.4, f"scribe {caliper_length(right).first} from the face", "start")
    edge = work.knife.grind.rough_edge if stage == "rough" else work.knife.grind.edge_thickness
    yield words(-9.0, -_THICK / 2 - TEXT * LEADING, f"edge {caliper_length(edge or 0.0).first}", "start")
    low = -_THICK / 2 - 1.0
    if station.grind_line is not None:
        end = along * station.grind_line
        yield stroke((end, -_THICK / 2), (end, low - TEXT * LEADING - 3.0), pen=DASHED)
        yield from span_across(
            0.0, end, low - TEXT * LEADING - 2.0, f"grind line {scribed_length(station.grind_line).first}"
        )


def stop_picture(row: CardRow, slab: float, low: float) -> Iterator[Item]:
    """From where a depth stop counts: a slab with a bore from the face that its row names.

    Args:
        row: Of the drill card.
        slab: Thickness of it, mm.
        low: Lower border of the picture, mm.
    """
    if row.depth is None or row.face is None:
        return
    thick, wide = STOP - TEXT * LEADING, PICTURE - 28.0
    base = low + TEXT * LEADING
    deep = min(thick / slab * row.depth.nominal, thick)
    top = base + thick
    yield rectangle(0.0, base, wide, thick, FINISHED_PEN)
    yield rectangle(wide / 2 - 3.0, top - deep, 6.0, deep, HEAVY_PEN)
    yield from span_upright(wide + 3.0, top - deep, top)
    yield words(wide + 5.0, top - TEXT, "stop, from the", "start")
    yield words(wide + 5.0, top - TEXT * (1 + LEADING), row.face.split(",")[0], "start")
    yield words(0.0, low, f"{', '.join(row.holes[:4])}: {depth_stop(row.depth.nominal).text}", "start")


def contour_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """The finished handle cut at three places, and how its width is measured."""
    sections = handle_sections(work.knife)
    if not sections:
        return
    told = [sections[i] for i in places_told(len(sections))]
    room = PICTURE / len(told) - 3.0
    by = min(*(room / section.width for section in told), *(20.0 / section.height for section in told))
    x = 0.0
    for section in told:
        up, out = section.half[:, 0], section.half[:, 1]
        border = np.concatenate([np.stack([out, up], 1), np.stack([-out, up], 1)[::-1]])
        middle = x + room / 2
        points = [(middle + by * float(a), by * float(b)) for a, b in border]
        yield shape(line(*points, points[0]))
        half = by * section.width / 2
        yield from span_across(middle - half, middle + half, -2.2, caliper_length(section.width).first)
        yield words(middle, -2.2 - 2.1 * TEXT * LEADING, f"x {rule_length(section.x).first}")
        x += room + 3.0


def sharpen_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """The edge enlarged: the facet's angle to the middle plane, and its width."""
    sheet = grind_sheet(work.knife)
    height, width = sheet.facet
    if not height:
        return
    section = blade_section(work.knife, sheet.first, "sharp", up_to=_NEAR * height)
    by = min(19.0 / (_NEAR * height), 9.0 / _half_at(section.pieces[:, 0], np.inf))
    yield shape(section.transformed([[by, 0.0, 0.0], [0.0, by, 0.0]]))
    yield stroke((0.0, 0.0), (0.0, by * _NEAR * height + 2.0), pen=DASHED)
    yield words(0.0, -TEXT * LEADING, f"{show_angle(work.knife.grind.sharpen_deg)} degrees to the dashed line")
    knee = by * height
    half = by * _half_at(section.pieces[:, 0], height)
    yield from arrow((half + 9.0, knee + 3.0), (half, knee))
    yield words(half + 10.0, knee + 2.2, f"facet {caliper_length(width).first}", "start")


def _half_at(places: FloatArray, height: float) -> float:
    """Greatest distance from the middle plane of the border's corners up to a height, mm."""
    return float(np.abs(places[places[:, 1] <= 1.001 * height, 0]).max())
