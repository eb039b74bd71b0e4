"""Sections through the blade, square to the edge: edge down, right face to the right."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.drawing.drawing import CUT_PEN, LEADER_PEN, SMALL_TEXT, Item, Label, Path
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.station import Station
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import JOINED
from bladegeom.quantities.units import show_mm

WIDEST = 232.0
"""Room for a row of sections, mm: what a page of A4 or Letter holds beside the bars."""

_TALLEST = 105.0
"""Room for an enlarged section, mm."""

_SCALES = (5, 4, 3, 2)
_APART = (1.0, 7.0)
"""Between the two sections of a station, and from station to station, mm."""

_STRAIGHT = 5e-5
"""A section this near to a straight line is one, mm."""

_STEP = 0.05
"""Places along the section are this far apart, mm: the chords of a hollow from a 50 mm wheel are then true to 1e-5."""


def blade_section(knife: Knife, station: Station, stage: Stage, *, up_to: float = math.inf) -> Curve:
    """The closed border of the steel at a station, in mm: x across the blade, y the distance from the edge.

    Args:
        knife: The design.
        station: Where it is cut, square to the edge.
        stage: Of the work.
        up_to: Distance from the edge beyond which it is left out, mm.
    """
    reach = min(station.reach, up_to)
    d = np.linspace(0.0, reach, max(2, round(reach / _STEP) + 1))
    right, left = (face_of(knife, station, stage, flank, d) for flank in ("right", "left"))
    up = np.stack([right, d], axis=1)
    down = np.stack([-left, d], axis=1)[::-1]
    return line(*_loop(np.concatenate([up, down])))


def face_of(knife: Knife, station: Station, stage: Stage, flank: str, from_edge: FloatArray) -> FloatArray:
    """Height of a face over the middle plane at distances from the edge along a station, shape (n,), mm."""
    x, y = station.place(from_edge)
    return knife.side(stage, "right" if flank == "right" else "left").height(x, y)


def _loop(points: FloatArray) -> list[tuple[float, float]]:
    """The points closed to a loop; those that a straight line passes nearer than that are left out."""
    # Where no steel is left both faces are one line, and its end would come twice.
    ring = shapely.remove_repeated_points(shapely.LineString(np.concatenate([points, points[:1]])), JOINED)
    kept = shapely.get_coordinates(shapely.simplify(ring, _STRAIGHT))
    return [(float(x), float(y)) for x, y in kept]


def section_rows(sheet: GrindSheet) -> Iterator[tuple[Item, ...]]:
    """Each station at 1:1 and its lower part enlarged, right face to the right, in rows that a page holds."""
    widths = {s: sum(_width(station, s) for station in sheet.stations) for s in _SCALES}
    scale = next((s for s in _SCALES if widths[s] <= WIDEST), _SCALES[-1])
    row: list[Item] = []
    x = 0.0
    for i, station in enumerate(sheet.stations):
        if row and x + _width(station, scale) > WIDEST:
            yield (*row, _note(sheet, scale))
            row, x = [], 0.0
        row += _pair(sheet, station, scale, x)
        middle = x + _width(station, scale) / 2
        for low, text in ((-4.0, f"{i + 1}"), (-8.0, f"x {show_mm(station.x)}")):
            row.append(Label(layer="NOTE", x=middle, y=low, text=text, height=SMALL_TEXT, anchor="middle"))
        x += _width(station, scale)
    yield (*row, _note(sheet, scale))


def _width(station: Station, scale: int) -> float:
    return (1 + scale) * station.stock + sum(_APART)


def _pair(sheet: GrindSheet, station: Station, scale: int, left: float) -> Iterator[Path]:
    """The section ground to size at 1:1; enlarged, with the other stages in thin lines under it."""
    small = left + _APART[1] / 2 + station.stock / 2
    large = small + (1 + scale) * station.stock / 2 + _APART[0]
    for stage in sorted(sheet.stages, key=lambda stage: stage == "finished"):
        pen = CUT_PEN if stage == "finished" else LEADER_PEN
        low = blade_section(sheet.knife, station, stage, up_to=_TALLEST / scale)
        matrix = [[scale, 0.0, large], [0.0, scale, 0.0]]
        yield Path(layer="NOTE", curve=low.transformed(matrix), closed=True, pen=pen)
    yield Path(
        layer="NOTE", curve=blade_section(sheet.knife, station, "finished").moved(small, 0.0), closed=True, pen=CUT_PEN
    )


def _note(sheet: GrindSheet, scale: int) -> Label:
    thin = f"{sheet.knife.stock.rough_words}, and sharpened" if "rough" in sheet.stages else "sharpened"
    text = (
        f"1:1, and the lowest {_TALLEST / scale:.0f} mm at {scale}:1; seen from the handle, right face to the right; "
        f"ground to size, in thin lines {thin}"
    )
    return Label(layer="NOTE", x=0.0, y=-12.5, text=text, height=SMALL_TEXT)
