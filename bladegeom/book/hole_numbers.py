"""The numbers of each hole in a column at its end of a line from its centre, over and under the drawing of the tang."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.book.hole_view import BEYOND, CORNER, HoleView
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import THIN_PEN, Item, Label, Path
from bladegeom.drawing.type_sizes import HEAD, KEY, LEADING, TEXT
from bladegeom.drilling.card import DrilledPlace
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.shown import scribed_length

_SPACE: Final = 2.0
"""Between two columns, mm."""

_FAN: Final = 4.0
"""In which the lines from the holes spread to their columns, mm."""

_HEADS: Final = ("along", "", "off", "")


@dataclass(frozen=True)
class HoleColumn:
    """The numbers of one place.

    Args:
        place: A hole, or an end of a slot.
        size: Height of the numbers that are worked to, mm.
        full: Whether numbers stand under its name; else they are told elsewhere.
    """

    place: DrilledPlace
    size: float
    full: bool = True

    @property
    def lines(self) -> tuple[tuple[str, float, bool], ...]:
        """Text, its height in mm, and whether it is bold, the name first."""
        name = (self.place.name, HEAD, True)
        if not self.full:
            return (name,)
        return (name, *(part for mm in (self.place.along, self.place.off) for part in self._both(mm)))

    def _both(self, mm: float) -> Iterator[tuple[str, float, bool]]:
        shown = scribed_length(mm)
        yield _number(shown.first), self.size, self.size > TEXT
        yield _number(shown.second), TEXT, False

    @property
    def width(self) -> float:
        """With what stays free beside it, mm."""
        return max(text_width(text, size, bold=bold) for text, size, bold in self.lines) + _SPACE


def _number(text: str) -> str:
    """Without its unit, which stands at the head of the row."""
    return text.rpartition(" ")[0]


def units() -> tuple[str, str]:
    """Of the first and the second number."""
    shown = scribed_length(1.0)
    return shown.first.rpartition(" ")[2], shown.second.rpartition(" ")[2]


Bands = tuple[tuple[HoleColumn, ...], tuple[HoleColumn, ...]]
"""On the steel's far side of the straightedge, and on the straightedge's side."""


def bands(view: HoleView) -> Bands:
    """Where the columns stand: those to be drilled large and on the far side, the others on the other one.

    Where these are too many, all are small; where those are, names alone stand at the holes.
    """
    places = sorted(view.card.places, key=lambda place: (place.along, place.off))
    made = [place for place in places if place.made != "cut"]
    cut = [place for place in places if place.made == "cut"]
    for choice in _choices(places, made, cut):
        if all(_fits(band, room) for band, room in zip(choice, _rooms(view), strict=True)):
            return choice
    named = [HoleColumn(place, TEXT, full=False) for place in places]
    far, near = named[::2], named[1::2]
    return tuple(_first(far, _rooms(view)[0])), tuple(_first(near, _rooms(view)[1]))


def _choices(
    places: Sequence[DrilledPlace], made: Sequence[DrilledPlace], cut: Sequence[DrilledPlace]
) -> Iterator[Bands]:
    large = tuple(HoleColumn(place, KEY) for place in made)
    small = tuple(HoleColumn(place, TEXT) for place in cut)
    if large and not small:
        yield large, ()
        yield large[::2], large[1::2]
    yield (large, small) if large else (small, ())
    every = tuple(HoleColumn(place, TEXT) for place in places)
    yield every[::2], every[1::2]


def _rooms(view: HoleView) -> tuple[float, float]:
    """Of both bands, without what names their rows, and the corner where the straightedge is named, mm."""
    whole = view.width - _head_width()
    return whole, whole - CORNER


def _head_width() -> float:
    return max(text_width(f"{head}, {unit}", TEXT) for head in _HEADS for unit in units()) + _SPACE


def _fits(band: Sequence[HoleColumn], room: float) -> bool:
    return sum(column.width for column in band) <= room


def _first(band: Sequence[HoleColumn], room: float) -> Iterator[HoleColumn]:
    """As many as there is room for."""
    for column in band:
        room -= column.width
        if room < 0:
            return
        yield column


def number_items(view: HoleView, chosen: Bands) -> Iterator[Item]:
    """Columns, the names of their rows, and the lines to the holes, in the view's frame."""
    far, near = chosen
    up = view.up
    if far:
        yield from _band(view, far, up * (view.tall + BEYOND), up, view.width - 2 * BEYOND)
    if near:
        yield from _band(view, near, -up * BEYOND, -up, view.width - 2 * BEYOND - CORNER)


def _band(view: HoleView, band: Sequence[HoleColumn], edge: float, way: float, right: float) -> Iterator[Item]:
    """Columns beyond a line, in one direction from it."""
    foot, full = edge + way * _FAN, band[0].full
    left = _head_width() - BEYOND if full else 0.0
    at = _apart([view.at(column.place)[0] for column in band], [column.width for column in band], left, right)
    rows = _rows(band, foot, way)
    for column, x in zip(band, at, strict=True):
        yield Path(layer="NOTE", curve=line(view.at(column.place), (x, foot)), pen=THIN_PEN)
        for (text, size, bold), y in zip(column.lines, rows, strict=True):
            yield Label(layer="NOTE", x=x, y=y, text=text, height=size, anchor="middle", bold=bold)
    if full:
        for head, unit, y in zip(_HEADS, units() * 2, rows[1:], strict=True):
            text = f"{head}, {unit}" if head else unit
            yield Label(layer="NOTE", x=left - _SPACE, y=y, text=text, height=TEXT, anchor="end")


def _rows(band: Sequence[HoleColumn], foot: float, way: float) -> list[float]:
    """Base lines of the rows: the name nearest to the steel, along always over off, each first unit over the second."""
    sizes = [size for _, size, _ in band[0].lines]
    if way < 0:
        return [foot - taken for taken in itertools.accumulate(size * LEADING for size in sizes)]
    out = [foot + 1.0] * len(sizes)
    for below, row in itertools.pairwise((0, *range(len(sizes) - 1, 0, -1))):
        out[row] = out[below] + sizes[below] + (LEADING - 1) * sizes[row]
    return out


def _apart(wanted: Sequence[float], widths: Sequence[float], left: float, right: float) -> list[float]:
    """Middles near those wanted, in their order, pushed apart and kept between two borders."""
    low, at = left, list[float]()
    for x, width in zip(wanted, widths, strict=True):
        at.append(max(x, low + width / 2))
        low = at[-1] + width / 2
    high = right
    for i in range(len(at) - 1, -1, -1):
        at[i] = min(at[i], high - widths[i] / 2)
        high = at[i] - widths[i] / 2
    return at
