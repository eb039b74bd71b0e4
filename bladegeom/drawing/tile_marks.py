"""Marks that join pages: crosshairs in the overlap, the bar over a seam, the trim line and the map."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CUT_PEN, SMALL_TEXT, THIN_PEN, Circle, Drawing, Item, Label, Path, Pen
from bladegeom.drawing.label_placement import ink
from bladegeom.drawing.seams import OVERLAP, Span

MAP = (34.0, 16.0)
"""Room for the map, mm."""

BAND = 0.005
"""What the bar over a seam may be off: as the profile's bars."""

TRIM_PEN = Pen(width=0.18, dashes=(5.0, 1.5, 1.0, 1.5))

_ARM, _RING = 5.0, 1.5
"""Of a crosshair, mm."""

_HALF = 6.5
"""A crosshair's centre stays this far from the ends of its seam and from other ink, mm."""

_CELL = 9.0
"""Longer side of a page on the map, mm."""

_SHADE = Pen(width=0.13, grey=0.72)


@dataclass(frozen=True)
class Seam:
    """A seam between two pages.

    Args:
        name: A letter.
        upright: Whether it runs up the page: the pages lie beside each other.
        at: Its x, or its y, mm.
        span: From where to where it runs along the other axis, mm.
    """

    name: str
    upright: bool
    at: float
    span: Span

    def crosshairs(self, taken: BaseGeometry) -> Iterator[Item]:
        """A pair, as far apart as other ink lets them; each within the overlap, so that both pages show it."""
        low, high = self.span[0] + _HALF, self.span[1] - _HALF
        middle = (low + high) / 2
        ways = (np.arange(high, middle, -0.5), np.arange(low, middle, 0.5))
        for number, way in enumerate(ways, start=1):
            clear = (float(v) for v in way if not taken.intersects(self._box(float(v))))
            place = next(clear, float(way[0]))
            x, y = (self.at, place) if self.upright else (place, self.at)
            yield from crosshair(x, y, f"{self.name}{number}", above=self.upright)

    def trim(self, taken: BaseGeometry) -> Iterator[Item]:
        """The line along which the later page is cut, and what it is."""
        ends = [(self.at, v) if self.upright else (v, self.at) for v in self.span]
        yield Path(layer="NOTE", curve=line(*ends), pen=TRIM_PEN)
        for place in np.arange(self.span[0] + 1.0, self.span[1], 2.0).tolist():
            label = Label(
                layer="NOTE",
                x=self.at - 1.4 if self.upright else place,
                y=place if self.upright else self.at + 1.4,
                text="trim here",
                height=SMALL_TEXT,
                angle_deg=90.0 if self.upright else 0.0,
            )
            if place + label.width < self.span[1] and not taken.intersects(ink(label).buffer(0.5)):
                yield label
                return

    def _box(self, place: float) -> BaseGeometry:
        half = OVERLAP / 2
        if self.upright:
            return shapely.box(self.at - half, place - _HALF, self.at + half, place + _HALF)
        return shapely.box(place - _HALF, self.at - half, place + _HALF, self.at + half)


def crosshair(x: float, y: float, name: str, *, above: bool) -> Iterator[Item]:
    """Two hair lines and a ring; its name stands on the side that is kept when the page is trimmed."""
    yield Path(layer="NOTE", curve=line((x - _ARM, y), (x + _ARM, y)), pen=THIN_PEN)
    yield Path(layer="NOTE", curve=line((x, y - _ARM), (x, y + _ARM)), pen=THIN_PEN)
    yield Circle(layer="NOTE", x=x, y=y, radius=_RING, pen=THIN_PEN)
    low = y + 1.8 if above else y - 1.8 - SMALL_TEXT
    yield Label(layer="NOTE", x=x + 1.8, y=low, text=name, height=SMALL_TEXT, bold=True)


def joined_bar(length: float, name: str) -> Drawing:
    """The bar over a seam at x 0, to be measured when the pages are joined; its line is y 0."""
    half = length / 2
    items: list[Item] = [Path(layer="NOTE", curve=line((-half, 0.0), (half, 0.0)), pen=CUT_PEN)]
    for x in np.arange(-half, half + 1.0, 10.0).tolist():
        tall = 3.2 if abs(x) == half else 1.6
        items.append(Path(layer="NOTE", curve=line((x, 0.0), (x, tall)), pen=THIN_PEN))
    # On one page: a word that runs over the seam could not be read before the pages are joined.
    text = f"over seam {name}: {length:g} mm"
    items.append(Label(layer="NOTE", x=-half, y=-0.8 - SMALL_TEXT, text=text, height=SMALL_TEXT))
    return Drawing(name="", items=tuple(items))


def page_map(columns: int, rows: int, page: int, shape: tuple[float, float], corner: tuple[float, float]) -> Drawing:
    """All pages as they lie, this one shaded, its number in words below.

    Args:
        columns: How many pages lie beside each other.
        rows: How many below each other.
        page: The number of this one, from 1.
        shape: Width and height of the pages, mm.
        corner: Upper right corner of the map, mm.
    """
    size = min(_CELL / max(shape), MAP[0] / (columns * shape[0]), (MAP[1] - 2 * SMALL_TEXT) / (rows * shape[1]))
    wide, high = size * shape[0], size * shape[1]
    left, top = corner[0] - columns * wide, corner[1]
    shaded: list[Item] = []
    outlined: list[Item] = []
    for i in range(columns * rows):
        row, column = divmod(i, columns)
        x, y = left + column * wide, top - (row + 1) * high
        border = line((x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y))
        if i + 1 == page:
            shaded.append(Path(layer="NOTE", curve=border, closed=True, pen=_SHADE, filled=True))
        outlined.append(Path(layer="NOTE", curve=border, closed=True, pen=THIN_PEN))
        tall = min(SMALL_TEXT, 0.6 * high)
        low = y + high / 2 - 0.4 * tall
        outlined.append(Label(layer="NOTE", x=x + wide / 2, y=low, text=f"{i + 1}", height=tall, anchor="middle"))
    words = Label(
        layer="NOTE",
        x=corner[0],
        y=top - rows * high - 1.5 * SMALL_TEXT,
        text=f"tile {page} of {columns * rows}",
        height=SMALL_TEXT,
        anchor="end",
        bold=True,
    )
    return Drawing(name="", items=(*shaded, *outlined, words))


def taken_by(items: Sequence[Item]) -> BaseGeometry:
    """What some items cover, ready to be asked often."""
    out = shapely.union_all([ink(item) for item in items])
    shapely.prepare(out)
    return out
