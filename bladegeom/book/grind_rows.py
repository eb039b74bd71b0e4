"""The stations of a blade and its thicknesses over the edge, stage by stage, as rows of a table."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from bladegeom.book.grind_numbers import GrindNumbers, Told, show_height
from bladegeom.book.grind_settings import stage_words
from bladegeom.book.station_table import RowGroup, TableRow
from bladegeom.grinding.blade_size import spine_thickness
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.station import TILT_DEG, Station
from bladegeom.knife.grind import Stage
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.shown import Shown, caliper_length, gauge_angle, scribed_length

_OTHER = "*"
"""After the angle of another face than that of the first station."""

_SPINE = "spine"
"""Where there is no grind line."""

_NONE = Shown(first="-")

_FINEST = 0.005
"""What calipers do not tell, mm."""

_EDGE = Shown(first="edge")
"""Height nought over it."""

Value = Callable[[Station], Shown]
"""What is told of a station."""


def row_groups(numbers: GrindNumbers) -> Iterator[RowGroup]:
    """Settings at the stations, then thicknesses from the edge upwards; what an earlier stage has of its own after."""
    sheet = numbers.sheet
    rows = (*_places(sheet), *_settings(sheet), *_walls(sheet))
    yield RowGroup(title="Ground at the stations", rows=rows, note=" ".join(_notes(sheet)))
    for earlier in sheet.earlier:
        own = tuple(_apart(_lines(earlier.sheet, earlier.sheet.stations), _lines(sheet, sheet.stations)))
        yield RowGroup(title=f"Ground at the stations, {earlier.words}", rows=own, note=_rest(own))
    yield _thickness_group(numbers)
    finished = tuple(_grid(sheet, "finished"))
    for earlier in sheet.earlier:
        own = tuple(_apart(_grid(earlier.sheet, "finished"), finished))
        yield RowGroup(title=f"Thickness, {earlier.words}", rows=own, note=_rest(own))
    # That the apex has no thickness left is no number to check by.
    own = tuple(row for row in _apart(_grid(sheet, "sharp"), finished) if row.head != _EDGE)
    if not own:
        return
    yield RowGroup(title=f"Thickness, {stage_words(sheet, 'sharp')}", rows=own, note=_rest(own))


def _rest(own: Sequence[TableRow]) -> str:
    return f"{'The rest' if own else 'All of it'} is as ground to size."


def _apart(rows: Iterator[TableRow], last: Sequence[TableRow] | Iterator[TableRow]) -> Iterator[TableRow]:
    """Those that read otherwise than in the last stage but one."""
    for row, other in zip(rows, last, strict=True):
        if [[t.shown for t in cell] for cell in row.cells] != [[t.shown for t in cell] for cell in other.cells]:
            yield row


def _places(sheet: GrindSheet) -> Iterator[TableRow]:
    yield _told_row(Shown(first="x"), sheet.stations, lambda s: alone(scribed_length(s.x)))
    yield _told_row(Shown(first="stock"), sheet.stations, lambda s: alone(caliper_length(s.stock)))
    if _differs_there(sheet):
        yield _told_row(Shown(first="at spine"), sheet.stations, lambda s: alone(caliper_length(_at_spine(sheet, s))))


def _at_spine(sheet: GrindSheet, station: Station) -> float:
    """Thickness ground to size where a station's line meets the spine, mm."""
    return spine_thickness(sheet.knife, station.top[0])


def _differs_there(sheet: GrindSheet) -> bool:
    return any(abs(_at_spine(sheet, station) - station.stock) > _FINEST for station in sheet.stations)


def _settings(sheet: GrindSheet) -> Iterator[TableRow]:
    """Grind line, angle, and what half a degree does, before hardening and ground to size."""
    finished = tuple(_lines(sheet, sheet.stations))
    rough = tuple(_lines(sheet, sheet.rough_stations)) if sheet.rough_stations else finished
    for first, last in zip(rough, finished, strict=True):
        thin = ([Told(shown=t.shown, bold=False) for t in cell] for cell in first.cells)
        if not any(t.shown != _NONE for cell in (*first.cells, *last.cells) for t in cell):
            continue
        alike = all(a[0].shown == b[0].shown for a, b in zip(first.cells, last.cells, strict=True))
        cells = last.cells if alike else tuple((*a, *b) for a, b in zip(thin, last.cells, strict=True))
        yield TableRow(head=last.head, cells=cells)


def _lines(sheet: GrindSheet, stations: Sequence[Station]) -> Iterator[TableRow]:
    chord = "angle" if sheet.is_flat(sheet.uppermost) else "chord"
    rows: tuple[tuple[Shown, Value], ...] = (
        (Shown(first="grind line"), _grind_line),
        (Shown(first=f"{chord} °"), lambda s: _angle(sheet, s)),
        (Shown(first=f"{TILT_DEG:g}° less"), lambda s: _tilted(s, 0)),
        (Shown(first=f"{TILT_DEG:g}° more"), lambda s: _tilted(s, 1)),
    )
    for head, value in rows:
        yield _told_row(head, stations, value)


def _told_row(head: Shown, stations: Sequence[Station], value: Value) -> TableRow:
    return TableRow(head=head, cells=tuple((Told(shown=value(s), bold=True),) for s in stations))


def _grind_line(station: Station) -> Shown:
    return _line(station.grind_line)


def _angle(sheet: GrindSheet, station: Station) -> Shown:
    other = sheet.knife.grind.faces[station.face] != sheet.uppermost
    return Shown(first=f"{alone(gauge_angle(station.angle_deg)).first}{_OTHER if other else ''}")


def _notes(sheet: GrindSheet) -> Iterator[str]:
    """What short words and marks in the rows mean."""
    stations = (*sheet.stations, *sheet.rough_stations)
    if any(station.grind_line is None or None in (station.tilted or ()) for station in stations):
        yield f"{_SPINE}: runs out at the spine."
    if _differs_there(sheet):
        yield "stock: the bar at x; at spine: ground to size, where the station's line meets it."
    if any(station.tilted is not None for station in stations):
        yield f"{TILT_DEG:g}° less, more: the grind line with such an error of the angle."
    faces = (sheet.knife.grind.faces[station.face] for station in stations)
    if kinds := dict.fromkeys(face.kind for face in faces if face != sheet.uppermost):
        yield f"{_OTHER} Angle of the {' and '.join(kinds)}."


def _tilted(station: Station, which: int) -> Shown:
    return _NONE if station.tilted is None else _line(station.tilted[which])


def _line(from_edge: float | None) -> Shown:
    return Shown(first=_SPINE) if from_edge is None else alone(scribed_length(from_edge))


def _walls(sheet: GrindSheet) -> Iterator[TableRow]:
    """Where the blade is thinnest, if that is not the edge itself."""
    if not any(round(station.wall[1], 2) for station in sheet.stations):
        return
    yield _told_row(Shown(first="thinnest wall"), sheet.stations, lambda s: alone(caliper_length(s.wall[0])))
    yield _told_row(Shown(first="its height"), sheet.stations, lambda s: alone(caliper_length(s.wall[1])))


def _thickness_group(numbers: GrindNumbers) -> RowGroup:
    """Rows up to where nothing is left but the stock."""
    rows = tuple(_thicknesses(numbers))
    stock = [alone(caliper_length(station.stock)) for station in numbers.sheet.stations]
    ground = [i for i, row in enumerate(rows) if not _is_stock(row, stock)]
    count = max(ground, default=0) + 1
    note = f"From {show_height(numbers.sheet.heights[count]).text} upwards it is the stock." if rows[count:] else ""
    return RowGroup(title="Thickness at heights over the edge", rows=rows[:count], note=note)


def _is_stock(row: TableRow, stock: Sequence[Shown]) -> bool:
    return all(told.shown in (_NONE, bar) for cell, bar in zip(row.cells, stock, strict=True) for told in cell)


def _thicknesses(numbers: GrindNumbers) -> Iterator[TableRow]:
    sheet = numbers.sheet
    for height in sheet.heights:
        cells = (
            numbers.thickness(i, height) if height <= station.reach else (Told(shown=_NONE, bold=True),)
            for i, station in enumerate(sheet.stations)
        )
        yield TableRow(head=_up(height), cells=tuple(cells))


def _grid(sheet: GrindSheet, stage: Stage) -> Iterator[TableRow]:
    for height, column in zip(sheet.heights, sheet.thickness(stage).T, strict=True):
        cells = ((Told(shown=_NONE if np.isnan(v) else alone(caliper_length(v)), bold=True),) for v in column.tolist())
        yield TableRow(head=_up(height), cells=tuple(cells))


def _up(height: float) -> Shown:
    return show_height(height) if height else _EDGE
