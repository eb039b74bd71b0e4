"""Sections of the blade at its heel, in its middle and near its tip, side by side on one scale of heights."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bladegeom.book.grind_numbers import show_height
from bladegeom.book.view_marks import CIRCLED, circled
from bladegeom.curves.build import line
from bladegeom.curves.curve import FloatArray
from bladegeom.drawing.drawing import THIN_PEN, Item, Label, Path
from bladegeom.drawing.type_sizes import FINISHED_PEN, LEADING, TEXT
from bladegeom.grinding.blade_size import spine_thickness
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.station import Station
from bladegeom.quantities.lettering import DEPTH, text_width
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.shown import caliper_length, gauge_angle, scribed_length
from bladegeom.sheets.section import blade_section

_NEAR_TIP: Final = 1 / 3
"""The foremost section is the last that is at least so much as high as the first; own choice."""

_GAP: Final = 1.5
"""Between a section and its numbers, mm."""

_OVER: Final = 1.2
"""Between a section and the thickness of its spine over it, mm."""

_STEPS: Final = 10
"""Sections are drawn at whole tenths of their size."""

_LINE: Final = TEXT * LEADING


def told_stations(sheet: GrindSheet) -> dict[int, Station]:
    """At the heel, in the middle and near the tip, by their numbers on the grind sheet; fewer on a short blade."""
    stations = sheet.stations
    high = [station for station in stations if station.reach >= _NEAR_TIP * stations[0].reach]
    first, last = stations[0], high[-1]
    between = [station for station in high if first.x < station.x < last.x]
    middle = min(between, key=lambda station: abs(station.x - (first.x + last.x) / 2), default=first)
    return {i: station for i, station in enumerate(stations, start=1) if station in (first, middle, last)}


@dataclass(frozen=True, kw_only=True)
class ThreeSections:
    """The sections with their thicknesses, the edge at height 0 of the page.

    Args:
        sheet: The grind.
        left: Left border, mm.
        width: That they may take, mm.
        height: That they may take with all their numbers, mm.
    """

    sheet: GrindSheet
    left: float
    width: float
    height: float

    @cached_property
    def stations(self) -> dict[int, Station]:
        """Where they are, by their numbers."""
        return told_stations(self.sheet)

    @cached_property
    def scale(self) -> float:
        """Of the sections."""
        tall = (self.height - _OVER - (1 + 2 * DEPTH) * TEXT - 2 * _LINE) / max(
            station.reach for station in self.stations.values()
        )
        wide = (self._column - self._number - 3 * _GAP) / self.sheet.knife.stock.thickness
        least = min(tall, wide)
        return math.floor(_STEPS * least) / _STEPS if least > 1 / _STEPS else least

    @property
    def items(self) -> Iterator[Item]:
        """All of it."""
        for _, height in self._told:
            y, text = self.scale * height - TEXT / 2, _up(height)
            yield Label(layer="NOTE", x=self.left + self._number, y=y, text=text, height=TEXT, anchor="end")
        for i, number in enumerate(self.stations):
            yield from self._section(i, number)

    @cached_property
    def _told(self) -> tuple[tuple[int, float], ...]:
        """Index and distance from the edge of the heights at which numbers stand clear of each other, mm."""
        heights = self.sheet.heights
        every = max(1, math.ceil(_LINE / (self.scale * self.sheet.height_step)))
        most = max(station.reach for station in self.stations.values())
        return tuple((i, heights[i]) for i in range(every, len(heights), every) if heights[i] <= most)

    @cached_property
    def _thickness(self) -> FloatArray:
        """At each section and each height, mm."""
        return self.sheet.thickness("finished")[[number - 1 for number in self.stations]]

    @cached_property
    def _number(self) -> float:
        """Room for a thickness, or a height, mm."""
        told = (self.sheet.knife.stock.thickness, *self._thickness[~np.isnan(self._thickness)].tolist())
        return max(text_width(text, TEXT) for text in (*map(_told, told), *map(_up, self.sheet.heights)))

    @property
    def _column(self) -> float:
        return (self.width - self._number - _GAP) / len(self.stations)

    def _section(self, i: int, number: int) -> Iterator[Item]:
        station = self.stations[number]
        half = self.scale * self.sheet.knife.stock.thickness / 2
        axis = self.left + self._number + 2 * _GAP + i * self._column + half
        matrix = [[self.scale, 0.0, axis], [0.0, self.scale, 0.0]]
        section = blade_section(self.sheet.knife, station, "finished").transformed(matrix)
        yield Path(layer="NOTE", curve=section, closed=True, pen=FINISHED_PEN)
        right = axis + half + _GAP
        for k, height in self._told:
            y = self.scale * height
            if y + TEXT / 2 < self.scale * station.reach:
                yield Path(layer="NOTE", curve=line((axis - half - _GAP, y), (right, y)), pen=THIN_PEN)
                text = _told(float(self._thickness[i, k]))
                yield Label(layer="NOTE", x=right + _GAP / 2, y=y - TEXT / 2, text=text, height=TEXT)
        spine = _told(spine_thickness(self.sheet.knife, station.top[0]))
        x, y = axis - half, self.scale * station.reach + _OVER + DEPTH * TEXT
        yield Label(layer="NOTE", x=x, y=y, text=spine, height=TEXT)
        yield from circled(f"{number}", x, -_LINE)
        beside = x + CIRCLED + _GAP / 2
        yield Label(layer="NOTE", x=beside, y=-_LINE, text=alone(scribed_length(station.x)).text, height=TEXT)
        yield Label(layer="NOTE", x=beside, y=-2 * _LINE, text=gauge_angle(station.angle_deg).text, height=TEXT)


def _told(mm: float) -> str:
    return alone(caliper_length(mm)).text


def _up(height: float) -> str:
    return alone(show_height(height)).text
