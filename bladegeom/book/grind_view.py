"""The blade as large as a page takes it, with stations through it and at their heights the thickness to expect."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import shapely
from shapely import LineString, affinity
from shapely.geometry.base import BaseGeometry

from bladegeom.book.grind_numbers import GrindNumbers, Told
from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import CUT_PEN, ROUGH_PEN, THIN_PEN, Circle, Item, Label, Path, Pen
from bladegeom.drawing.label_placement import ink
from bladegeom.drawing.type_sizes import FINISHED_PEN, HEAD, HEAVY_PEN, TEXT
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.station import Station
from bladegeom.quantities.lettering import DEPTH, text_width
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.shown import scribed_length

LINE_PENS: Final[dict[str, Pen]] = {"plunge": FINISHED_PEN, "rough": ROUGH_PEN, "finished": HEAVY_PEN}
"""How the plunge line and the grind line of each stage are drawn."""

_LARGEST = 3.0
"""A short blade is drawn no larger than this; own choice by eye."""

_SCALE_STEP = 0.05
"""Scales are told by two digits."""

_PITCH = 1.35 * TEXT
"""Between the numbers of a station at least, mm: they then keep off each other."""

_ASIDE = 0.9
"""From the line of a station to its numbers, mm."""

_BESIDE = 2.0
"""Between the numbers of two stations at least, mm."""

_OUT = 2.6
"""From the blade to the names of the stations, mm."""

_MIDDLE = 0.36
"""Of a digit over its base line, in heights of the text."""

_SIDES: Final = ("both", "right", "left")
"""On which the numbers of a station may stand, the best to read first."""

_LEANS = 0.5
"""Least rise of a station's line that numbers make room for."""

_SHORT = 0.3
"""A height this near to the grind line is not told, mm: from there on it is the stock."""

_OFF = 0.3
"""Between numbers and lines at least, mm."""

_SAME = 1e-3
"""Places of a line nearer to each other are one, mm."""

_CHORD = 0.02

_DOT = 0.4
"""Radius of what marks a height, mm."""


Row = tuple[float, tuple[Told, ...]]
"""A height over the edge, mm, and what is told there."""


_NEARER = 0.5
"""A number may be so much nearer to another station than to its own, mm; own choice."""


@dataclass(frozen=True, kw_only=True)
class StationColumn:
    """What is told at a station.

    Args:
        station: It.
        rows: From the edge upwards.
        labels: The numbers on paper.
    """

    station: Station
    rows: tuple[Row, ...]
    labels: tuple[Label, ...]

    @property
    def taken(self) -> BaseGeometry:
        """Room of the numbers."""
        return shapely.union_all([ink(label) for label in self.labels])


@dataclass(frozen=True)
class GrindView:
    """The blade on paper, the handle front's upper end at the origin.

    Args:
        numbers: What is told of it.
        width: Room, mm.
    """

    numbers: GrindNumbers
    width: float

    @cached_property
    def scale(self) -> float:
        """Millimetres on paper for one of the blade."""
        knife = self.numbers.sheet.knife
        ends = (knife.handle_front.end, knife.plunge_line.start, knife.plunge_line.end)
        length = knife.outline.bounds[2] - min(0.0, *(x for x, _ in ends))
        most = min(_LARGEST, (self.width - 2 * _BESIDE) / length)
        # Half a millimetre of a step is more than a float may lose.
        return round(max(1, math.floor(most / _SCALE_STEP + 1e-6)) * _SCALE_STEP, 2)

    @cached_property
    def columns(self) -> tuple[StationColumn, ...]:
        """Stations beside which numbers stand, as many as keep off each other."""
        told = list[StationColumn]()
        for i in range(len(self.numbers.sheet.stations)):
            told += [column for column in self._sides(i) if _is_clear(column, told)][:1]
        return tuple(told)

    def _sides(self, i: int) -> Sequence[StationColumn]:
        """Where the numbers of a station may stand: where the blade holds most of them first, then on both sides."""
        rows = tuple(self._rows(i))
        columns = [self._held(self.numbers.sheet.stations[i], rows, side) for side in _SIDES]
        return sorted(columns, key=lambda column: -len(column.rows))

    def _held(self, station: Station, rows: Sequence[Row], side: str) -> StationColumn:
        """Those of its numbers that the ground part of the blade holds; what it does not is left to the table."""
        thin, bold = (_widest(rows, bold=weight) for weight in (False, True))
        labels = [tuple(self._labels(station, row, _places(side, thin, bold))) for row in rows]
        held = [
            all(self._ground.contains(ink(label)) for label in row) and self._is_own(station, row) for row in labels
        ]
        return StationColumn(
            station=station,
            rows=tuple(itertools.compress(rows, held)),
            labels=tuple(label for row in itertools.compress(labels, held) for label in row),
        )

    def _is_own(self, station: Station, labels: Sequence[Label]) -> bool:
        """Whether numbers stand as near to their own station as to any other."""
        stations = self.numbers.sheet.stations
        near = shapely.union_all([ink(label) for label in labels])
        lines = [LineString((self._place(s, 0.0), self._place(s, s.reach))) for s in stations]
        away = shapely.distance(lines, near)
        return bool(away[stations.index(station)] <= away.min() + _NEARER)

    def _rows(self, i: int) -> Iterator[Row]:
        """Heights at which numbers of a station keep off each other, from the lowest one that is not the edge."""
        sheet, station = self.numbers.sheet, self.numbers.sheet.stations[i]
        rise = sheet.height_step * self.scale * station.inward[1]
        every = max(1, math.ceil(_PITCH / rise - 1e-9)) if rise > 0 else len(sheet.heights)
        for height in sheet.heights[every::every]:
            if height < min(self.numbers.ground(i) - _SHORT, station.reach):
                yield height, self.numbers.thickness(i, height)

    def _labels(self, station: Station, row: Row, places: tuple[float, float]) -> Iterator[Label]:
        height, told = row
        x, y = self._place(station, height)
        lean = abs(station.inward[0]) / max(station.inward[1], _LEANS) * TEXT / 2
        for each in told:
            at = places[each.bold]
            yield Label(
                layer="NOTE",
                x=x + at + math.copysign(lean, at),
                y=y - _MIDDLE * TEXT,
                text=each.shown.first,
                height=TEXT,
                anchor="start" if each.bold else "end",
                bold=each.bold,
            )

    @cached_property
    def _ground(self) -> BaseGeometry:
        """The side view ahead of the plunge line, its border left out."""
        inside = affinity.scale(self.numbers.sheet.knife.bevel_region, self.scale, self.scale, origin=(0, 0))
        shapely.prepare(kept := inside.buffer(-_OFF))
        return kept

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """Lines, names of the stations, numbers; lines end where a number stands on them."""
        return (*self._lines, *self._names(), *self._numbers())

    @cached_property
    def _lines(self) -> tuple[Path, ...]:
        return tuple(self._drawn_lines())

    def _drawn_lines(self) -> Iterator[Path]:
        sheet, knife = self.numbers.sheet, self.numbers.sheet.knife
        for curve in (knife.outline.edge, knife.outline.spine, *knife.front_to_heel, knife.handle_front):
            # In chords: the view is then known to reach no farther than it does.
            chords = flatten(self._sized(curve), _CHORD).tolist()
            yield Path(layer="NOTE", curve=line(*map(tuple, chords)), pen=CUT_PEN)
        taken = shapely.union_all([column.taken for column in self.columns]).buffer(_OFF)
        for station in sheet.stations:
            ends = self._place(station, 0.0), self._place(station, station.reach)
            yield from _broken(LineString(ends), taken, THIN_PEN)
        plunge = flatten(self._sized(knife.plunge_line), _CHORD)
        yield Path(layer="NOTE", curve=line(*map(tuple, plunge.tolist())), pen=LINE_PENS["plunge"])
        for stage in self.numbers.stages:
            for row in grind_line(knife, stage, sheet.flank):
                yield from _broken(LineString(self.scale * row), taken, LINE_PENS[stage])

    def _sized(self, curve: Curve) -> Curve:
        return curve.transformed([[self.scale, 0.0, 0.0], [0.0, self.scale, 0.0]])

    def _place(self, station: Station, from_edge: float) -> Vector:
        x, y = station.place(np.array([from_edge]))
        return self.scale * float(x[0]), self.scale * float(y[0])

    def _names(self) -> Iterator[Item]:
        """Numbers of the stations over the blade, and where they are along x under it."""
        stations = self.numbers.sheet.stations
        drawn = np.concatenate([flatten(path.curve, _CHORD) for path in self._lines])
        low, high = drawn[:, 1].min(), drawn[:, 1].max()
        names = [f"{i}" for i in range(1, len(stations) + 1)]
        yield from _row([self._place(s, s.reach) for s in stations], names, high + _OUT, HEAD, up=True)
        places = [alone(scribed_length(s.x)).first for s in stations]
        yield from _row([self._place(s, 0.0) for s in stations], places, low - _OUT, TEXT, up=False)

    def _numbers(self) -> Iterator[Item]:
        for column in self.columns:
            for height, _ in column.rows:
                x, y = self._place(column.station, height)
                yield Circle(layer="NOTE", x=x, y=y, radius=_DOT, filled=True)
            yield from column.labels


def _is_clear(column: StationColumn, before: Sequence[StationColumn]) -> bool:
    """Whether a station has numbers that keep off those of the one before."""
    return bool(column.labels) and all(each.taken.distance(column.taken) >= _BESIDE for each in before[-1:])


def _widest(rows: Sequence[Row], *, bold: bool) -> float:
    """Width of the widest number of a weight, mm; 0 where there is none."""
    return max(
        (text_width(t.shown.first, TEXT, bold=bold) for _, told in rows for t in told if t.bold is bold), default=0
    )


def _places(side: str, thin: float, bold: float) -> tuple[float, float]:
    """From a station to the right end of its thin numbers and to the left end of its bold ones, mm."""
    if side == "both":
        return -_ASIDE, _ASIDE
    if side == "right":
        return (_ASIDE + thin, thin + 2 * _ASIDE) if thin else (0.0, _ASIDE)
    return -bold - 2 * _ASIDE, -bold - _ASIDE


def _broken(whole: LineString, taken: BaseGeometry, pen: Pen) -> Iterator[Path]:
    """A line without what lies under numbers."""
    for part in shapely.get_parts(whole.difference(taken)):
        if part.length > _OFF:
            # Where a number ends just beside a place of the line, the two are told apart by nobody.
            places = shapely.get_coordinates(shapely.remove_repeated_points(part, _SAME)).tolist()
            yield Path(layer="NOTE", curve=line(*[(x, y) for x, y in places]), pen=pen)


def _row(places: Sequence[Vector], texts: Sequence[str], y: float, size: float, *, up: bool) -> Iterator[Item]:
    """Texts beside each other, each with a line to its place, moved to the right where they would overlap."""
    free = -math.inf
    for (x, from_y), text in zip(places, texts, strict=True):
        half = text_width(text, size, bold=up) / 2
        at = max(x, free + half)
        free = at + half + _BESIDE / 2
        yield Path(layer="NOTE", curve=line((x, from_y), (at, y)), pen=THIN_PEN)
        low = y + DEPTH * size + 0.1 if up else y - size - 0.5
        yield Label(layer="NOTE", x=at, y=low, text=text, height=size, anchor="middle", bold=up)
