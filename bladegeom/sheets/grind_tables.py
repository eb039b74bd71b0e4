"""Tables of the grind sheet: the stations and the thicknesses, each as the blade is ground at one stage."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bladegeom.drawing.drawing import Item
from bladegeom.drawing.table import table_items
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_words import side_words
from bladegeom.grinding.station import TILT_DEG, Station
from bladegeom.knife.grind import Stage
from bladegeom.quantities.units import show_angle, show_both, show_mm, show_units

_FINISHED = {"finished": "ground to size", "sharp": "sharpened"}


def stage_words(sheet: GrindSheet, stage: Stage) -> str:
    """What the blade is called then; a metal that is not hardened is rough ground."""
    return _FINISHED.get(stage, sheet.knife.stock.rough_words)


def station_tables(sheet: GrindSheet) -> Iterator[list[Item]]:
    """The stations as they are ground at each stage, the wall when all faces are on."""
    if sheet.rough_stations:
        yield _stations(sheet, sheet.rough_stations, stage_words(sheet, "rough"))
    for earlier_stage in sheet.earlier:
        yield _stations(earlier_stage.sheet, earlier_stage.sheet.stations, earlier_stage.words)
    yield _stations(sheet, sheet.stations, stage_words(sheet, "finished"), wall=True)


def _stations(sheet: GrindSheet, stations: Sequence[Station], title: str, *, wall: bool = False) -> list[Item]:
    angle = ("angle " if sheet.is_flat(sheet.uppermost) else "chord angle ") + side_words(sheet.knife.grind.only)
    less, more = f"{TILT_DEG:g} deg less", f"{TILT_DEG:g} deg more"
    rows = [["station", "x", "stock", "grind line", angle, less, more, *(("thinnest wall", "at height") * wall)]]
    for i, s in enumerate(stations):
        tilted, face = s.tilted or (math.nan, math.nan), sheet.knife.grind.faces[s.face]
        rows.append(
            [
                f"{i + 1}",
                show_mm(s.x),
                _both(s.stock),
                _both(s.grind_line) if s.grind_line is not None else "runs out at the spine",
                f"{show_angle(s.angle_deg)} deg" + (f", {face.kind}" if face != sheet.uppermost else ""),
                *(_both(v) for v in tilted),
                *((_both(s.wall[0]), show_mm(s.wall[1])) * wall),
            ]
        )
    return table_items(rows, 0.0, 0.0, title=f"{_capital(title)}, {show_units()}")[0]


def thickness_tables(sheet: GrindSheet) -> Iterator[list[Item]]:
    """What to measure at each stage, and before each face that is set below another."""
    for stage in sheet.stages:
        if stage == "finished":
            for earlier_stage in sheet.earlier:
                yield _grid(earlier_stage.sheet, stage, earlier_stage.words)
        yield _grid(sheet, stage, stage_words(sheet, stage))


def _grid(sheet: GrindSheet, stage: Stage, title: str) -> list[Item]:
    rows = [["station", "x", *(f"{h:g} mm up" if h else "edge" for h in sheet.heights)]]
    for i, (station, row) in enumerate(zip(sheet.stations, sheet.thickness(stage), strict=True)):
        rows.append([f"{i + 1}", show_mm(station.x), *(_both(v) for v in row.tolist())])
    return table_items(rows, 0.0, 0.0, title=_capital(title))[0]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _both(mm: float) -> str:
    """A length in mm and in inch, short; a dash for none."""
    return "-" if math.isnan(mm) else show_both(mm)
