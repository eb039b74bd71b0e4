"""A picture with numbered pointers over and under it: each number in a circle, a line to its place, and a dot there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from bladegeom.agreement.pointers import Pointer
from bladegeom.agreement.spots import Seen
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Circle, Item, Label, Path, Pen, Raster
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.pictures.layout import STANDS_FOR
from bladegeom.pictures.painting import Painting

NUMBER_RADIUS: Final = 2.55
"""Of the circle round a number, mm."""

_LANE: Final = 2 * NUMBER_RADIUS + 4.0
"""Height of a row of numbers with the least length of the lines from it, mm."""

_APART: Final = 2.0
"""Between numbers of different places, mm."""

_TOGETHER: Final = 8
"""So many numbers may stand side by side on one line; more of them have another."""

_DOT: Final = 0.55
"""Radius of the dot at a place, mm; a rim of half of that, in white, shows it on any ground."""

_INK, _WHITE = Pen(width=0.22), Pen(width=0.22, grey=1.0)
_HALO: Final = Pen(width=0.75, grey=1.0)

_CALLED: Final[Mapping[Seen, str]] = {"right": "Right side", "spine": "From above", "left": "Left side"}


@dataclass(frozen=True, kw_only=True, eq=False)
class PointedView:
    """One view with its pointers; the upper left corner is the origin, y up.

    Args:
        view: Which.
        title: Words over it.
        raster: The picture.
        items: Pointers and title, over the picture.
        width: Of all of it, mm.
        height: Of all of it, mm.
        shown: Where each pointer ends.
    """

    view: Seen
    title: str
    raster: Raster
    items: tuple[Item, ...]
    width: float
    height: float
    shown: tuple[tuple[Pointer, tuple[float, float]], ...]


@dataclass(frozen=True, kw_only=True)
class _Mark:
    """Numbers that stand side by side, and the place in the picture that they point at."""

    numbers: tuple[int, ...]
    place: tuple[float, float]

    @property
    def width(self) -> float:
        return 2 * NUMBER_RADIUS * len(self.numbers)


def pointed_views(
    paintings: Mapping[Seen, Painting], pointers: Sequence[Pointer], width: float
) -> tuple[PointedView, ...]:
    """Every view as wide as the page, all at one scale, each with its own pointers.

    Args:
        paintings: The picture of each view, at one scale.
        pointers: Of all views.
        width: Of the room, mm.
    """
    by = width / max(painting.pixels.shape[1] for painting in paintings.values())
    return tuple(_view(view, painting, pointers, width, by) for view, painting in paintings.items())


def under_views(views: Sequence[PointedView]) -> str:
    """What is to be known of the pictures."""
    pointed = any(view.shown for view in views)
    numbers = "The numbers are those of your wishes below; sizes stand in the table." if pointed else ""
    return f"{STANDS_FOR} {numbers}".rstrip()


def _view(view: Seen, painting: Painting, pointers: Sequence[Pointer], width: float, by: float) -> PointedView:
    rows, columns, _ = painting.pixels.shape
    here = [pointer for pointer in pointers if pointer.spot.view == view]
    spots = np.array([(pointer.spot.x, pointer.spot.y, pointer.spot.z) for pointer in here]).reshape(-1, 3)
    left = (width - by * columns) / 2
    places = [(left + by * x, -by * y) for x, y in painting.at(spots).tolist()]
    marks = [
        _Mark(numbers=pointer.numbers[i : i + _TOGETHER], place=place)
        for pointer, place in zip(here, places, strict=True)
        for i in range(0, len(pointer.numbers), _TOGETHER)
    ]
    upper, lower = _halves(marks, -by * rows / 2)
    above, below = (_rows(half, width) for half in (upper, lower))
    head = 1.6 * TEXT + _LANE * len(above)
    raster = Raster(x=left, y=-head - by * rows, width=by * columns, height=by * rows, pixels=painting.pixels)
    items = [Label(layer="NOTE", x=0.0, y=-TEXT, text=_CALLED[view], height=TEXT, bold=True)]
    lanes = [
        *((row, -head + _LANE * (i + 1) - NUMBER_RADIUS) for i, row in enumerate(above)),
        *((row, raster.y - _LANE * (i + 1) + NUMBER_RADIUS) for i, row in enumerate(below)),
    ]
    drawn = [item for row, y in lanes for item in _lane([_moved(mark, -head) for mark in row], y, width)]
    return PointedView(
        view=view,
        title=_CALLED[view],
        raster=raster,
        items=(*items, *sorted(drawn, key=lambda item: isinstance(item, Circle | Label))),
        width=width,
        height=-raster.y + _LANE * len(below),
        shown=tuple((pointer, (x, y - head)) for pointer, (x, y) in zip(here, places, strict=True)),
    )


def _moved(mark: _Mark, up: float) -> _Mark:
    return _Mark(numbers=mark.numbers, place=(mark.place[0], mark.place[1] + up))


def _halves(marks: Sequence[_Mark], middle: float) -> tuple[list[_Mark], list[_Mark]]:
    """Those whose numbers stand over the picture, and those under it."""
    return [mark for mark in marks if mark.place[1] >= middle], [mark for mark in marks if mark.place[1] < middle]


def _rows(marks: Sequence[_Mark], width: float) -> list[list[_Mark]]:
    """In as many rows as the room needs, by turns, from left to right."""
    needed = sum(mark.width + _APART for mark in marks)
    count = math.ceil(needed / width)
    ordered = sorted(marks, key=lambda mark: mark.place)
    return [ordered[i::count] for i in range(count)]


def _lane(row: Sequence[_Mark], y: float, width: float) -> Iterator[Item]:
    """A row of numbers, each with its line."""
    for mark, middle in zip(row, set_apart([(mark.place[0], mark.width) for mark in row], width), strict=True):
        down = mark.place[1] < y
        start = (middle, y - NUMBER_RADIUS if down else y + NUMBER_RADIUS)
        for pen in (_HALO, _INK):
            yield Path(layer="NOTE", curve=line(start, mark.place), pen=pen)
        x, up = mark.place
        yield Circle(layer="NOTE", x=x, y=up, radius=1.5 * _DOT, pen=_WHITE, filled=True)
        yield Circle(layer="NOTE", x=x, y=up, radius=_DOT, pen=_INK, filled=True)
        first = middle - mark.width / 2 + NUMBER_RADIUS
        for i, number in enumerate(mark.numbers):
            yield from numbered_circle(number, first + 2 * NUMBER_RADIUS * i, y)


def numbered_circle(number: int, x: float, y: float) -> Iterator[Item]:
    """A number in a circle round a place."""
    yield Circle(layer="NOTE", x=x, y=y, radius=NUMBER_RADIUS - 0.11, pen=_WHITE, filled=True)
    yield Circle(layer="NOTE", x=x, y=y, radius=NUMBER_RADIUS - 0.11, pen=_INK)
    text = str(number)
    size = TEXT if len(text) < 3 else 0.78 * TEXT
    yield Label(layer="NOTE", x=x, y=y - 0.42 * size, text=text, height=size, anchor="middle", bold=True)


def set_apart(wanted: Sequence[tuple[float, float]], width: float) -> list[float]:
    """Where middles come to stand so that nothing overlaps, as near as may be to where they are wanted.

    Args:
        wanted: Middle and width of each, from left to right, mm; together they fit with 2 mm between them.
        width: Of the room, mm.

    >>> set_apart([(10.0, 6.0), (11.0, 6.0)], 100.0)
    [6.5, 14.5]
    """
    # Neighbours that would overlap become one block, which stands at the mean of what its members want.
    blocks: list[list[float]] = []  # each: sum of wanted left ends, members, width
    for middle, size in wanted:
        blocks.append([middle - size / 2, 1.0, size])
        while len(blocks) > 1 and _left(blocks[-2], width) + blocks[-2][2] + _APART > _left(blocks[-1], width):
            total, members, long = blocks.pop()
            before = blocks[-1]
            before[0] += total - members * (before[2] + _APART)
            before[1] += members
            before[2] += _APART + long
    out: list[float] = []
    sizes = iter(wanted)
    for block in blocks:
        x = _left(block, width)
        for _ in range(round(block[1])):
            _, size = next(sizes)
            out.append(x + size / 2)
            x += size + _APART
    return out


def _left(block: Sequence[float], width: float) -> float:
    """Where a block begins, inside the room."""
    total, members, long = block
    return max(0.0, min(width - long, total / members))
