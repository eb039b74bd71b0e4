"""Sections square to the edge: whole at true size, and much larger what lies right behind the edge."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bladegeom.book.grind_numbers import GrindNumbers, edge_step, show_height
from bladegeom.book.grind_settings import stage_words
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CENTRE_PEN, ROUGH_PEN, THIN_PEN, Drawing, Item, Label, Path, Pen
from bladegeom.drawing.type_sizes import FINISHED_PEN, HEAD, LEADING, TEXT
from bladegeom.grinding.grind_words import side_words
from bladegeom.knife.grind import Stage
from bladegeom.quantities.lettering import DEPTH, text_width
from bladegeom.quantities.number_alone import alone, units_alone
from bladegeom.quantities.shown import gauge_angle, scribed_length
from bladegeom.sheets.section import blade_section

PENS: dict[Stage, Pen] = {"rough": ROUGH_PEN, "finished": FINISHED_PEN, "sharp": THIN_PEN}
"""How each stage is drawn."""

_OVER = 1.5
"""By how much the middle line passes a section, mm."""

_SCALES = (10, 8, 6, 5, 4, 3, 2)
_MOST = 3
"""Sections that a page shows."""

SECTION_HEIGHTS: Final = (40.0, 80.0)
"""Of an enlarged section, mm: at least, and at most."""

UNDER_SECTION: Final = 2 * _OVER + LEADING * (HEAD + TEXT) + DEPTH * TEXT + 0.5
"""Height of what stands under it and of what its middle line reaches over it, mm."""

_ASIDE = 1.2
"""From the widest section to its numbers, mm."""

_BETWEEN = 4.0
"""From one section to the next at least, mm."""

_PITCH = 1.3 * TEXT
"""Between two numbers at least, mm."""

_HEIGHTS = 4
"""Numbers behind the edge that are told at most."""


@dataclass(frozen=True)
class GrindSections:
    """Some stations of a blade, edge down, right face to the right.

    Args:
        numbers: What is told of it.
        width: Room, mm.
        tall: Height of an enlarged one, mm.
    """

    numbers: GrindNumbers
    width: float
    tall: float

    @property
    def chosen(self) -> tuple[int, ...]:
        """The first station, the middle one, and the last before the tip, counted from 0."""
        last = len(self.numbers.sheet.stations) - 1
        return tuple(sorted({0, last // 2, max(0, last - 1)}))[:_MOST]

    @cached_property
    def scale(self) -> int:
        """Of what lies behind the edge."""
        texts = 4 * _ASIDE + self._widest_height + len(self.numbers.stages) * self._widest_number
        room = self._room - texts - self.numbers.sheet.knife.stock.thickness - _BETWEEN
        return next((s for s in _SCALES if 2 * s * self._reach(self.tall / s) <= room), _SCALES[-1])

    @property
    def _room(self) -> float:
        """Width for one of them, mm."""
        return self.width / len(self.chosen)

    @property
    def _widest_number(self) -> float:
        return text_width("0.000", TEXT, bold=True)

    @property
    def _widest_height(self) -> float:
        steps = range(1, _HEIGHTS + 1)
        return max(text_width(_up(i * edge_step()), TEXT) for i in steps)

    def _reach(self, height: float) -> float:
        """Of the steel from its middle plane, so far from the edge, mm: a side that is not ground reaches farthest."""
        stations = self.numbers.sheet.stations
        sections = (
            blade_section(self.numbers.sheet.knife, stations[i], self.numbers.stages[0], up_to=height)
            for i in self.chosen
        )
        return max(float(np.abs(section.pieces[..., 0]).max()) for section in sections)

    def heights(self, station: int) -> tuple[float, ...]:
        """Where thickness is told behind the edge of a station, mm: between the heights of the side view."""
        step = edge_step()
        most = min(self.tall / self.scale, self.numbers.sheet.height_step, self.numbers.ground(station))
        count = int((most - 1e-6) / step)
        every = max(1, math.ceil(_PITCH / (step * self.scale)))
        return tuple(step * i for i in range(every, count + 1, every))[:_HEIGHTS]

    @property
    def words(self) -> str:
        """How they are read."""
        sheet = self.numbers.sheet
        rough = [f"dotted and thin {stage_words(sheet, 'rough')}"] if "rough" in sheet.stages else []
        drawn = ", ".join((*rough, f"heavy and bold {stage_words(sheet, 'finished')}", "thin line sharpened"))
        return (
            f"Seen from the handle, right face to the right: {drawn}. Thickness at heights over the edge, all in "
            f"{units_alone().first}."
        )

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """The sections beside each other, each with its number and its angle under it."""
        out: list[Item] = []
        for column, i in enumerate(self.chosen):
            out += Drawing(name="", items=tuple(self._section(i))).moved(column * self._room, 0.0).items
        return tuple(out)

    @cached_property
    def _middle(self) -> float:
        """Of an enlarged section, from the left border of its room, mm."""
        left = self._widest_height + (self._widest_number if len(self.numbers.stages) > 1 else 0.0)
        used = left + 4 * _ASIDE + 2 * self._half + self._widest_number
        stock = self.numbers.sheet.knife.stock.thickness
        return stock + max(0.0, self._room - stock - _BETWEEN - used) / 2 + left + 3 * _ASIDE + self._half

    @cached_property
    def _half(self) -> float:
        """Of the width of the widest enlarged section, mm."""
        return self.scale * self._reach(self.tall / self.scale)

    def _section(self, i: int) -> Iterator[Item]:
        sheet, station = self.numbers.sheet, self.numbers.sheet.stations[i]
        small = station.stock / 2
        whole = blade_section(sheet.knife, station, "finished").moved(small, 0.0)
        yield Path(layer="NOTE", curve=whole, closed=True, pen=FINISHED_PEN)
        middle = self._middle
        for stage in sheet.stages:
            low = blade_section(sheet.knife, station, stage, up_to=self.tall / self.scale)
            matrix = [[self.scale, 0.0, middle], [0.0, self.scale, 0.0]]
            yield Path(layer="NOTE", curve=low.transformed(matrix), closed=True, pen=PENS[stage])
        top = self.scale * min(station.reach, self.tall / self.scale)
        yield Path(layer="NOTE", curve=line((middle, -_OVER), (middle, top + _OVER)), pen=CENTRE_PEN)
        yield from self._thicknesses(i, middle)
        yield from self._words(i, middle)

    def _thicknesses(self, i: int, middle: float) -> Iterator[Item]:
        half = self._half
        for height in self.heights(i):
            y = self.scale * height
            yield Path(layer="NOTE", curve=line((middle - half, y), (middle + half, y)), pen=THIN_PEN)
            beyond = middle - half - 2 * _ASIDE - (self._widest_number if len(self.numbers.stages) > 1 else 0.0)
            yield Label(layer="NOTE", x=beyond, y=y - 0.36 * TEXT, text=_up(height), height=TEXT, anchor="end")
            for told in self.numbers.thickness(i, height):
                yield Label(
                    layer="NOTE",
                    x=middle + (half + _ASIDE) * (1 if told.bold else -1),
                    y=y - 0.36 * TEXT,
                    text=told.shown.first,
                    height=TEXT,
                    anchor="start" if told.bold else "end",
                    bold=told.bold,
                )

    def _words(self, i: int, middle: float) -> Iterator[Label]:
        station = self.numbers.sheet.stations[i]
        at = alone(scribed_length(station.x)).first
        side = side_words(self.numbers.sheet.knife.grind.only)
        lines = ((f"station {i + 1}, x {at}", HEAD), (f"{gauge_angle(station.angle_deg)} {side}", TEXT))
        y = -_OVER - 0.5
        for text, size in lines:
            y -= LEADING * size
            yield Label(layer="NOTE", x=middle, y=y, text=text, height=size, anchor="middle", bold=size == HEAD)


def _up(height: float) -> str:
    """A height over the edge, which is not to be taken for a thickness."""
    return f"at {alone(show_height(height)).first}"
