"""The ruler bars that prove a print's size: 100 mm and 4 in, along both axes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Literal

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CUT_PEN, THIN_PEN, Drawing, Item, Label, Path
from bladegeom.quantities.lettering import DEPTH
from bladegeom.quantities.units import inch

MARGIN = 10.0
"""Printers cannot reach the outermost 10 mm; common practice, no source."""

PRINT_WORDS = (
    "Print at 100 % (actual size), never fit to page. Then measure the bars, across and along the page:",
    "profile 99.5 to 100.5 mm, 3.98 to 4.02 in; hole layout 99.75 to 100.25 mm, 3.99 to 4.01 in.",
    "Outside that band do not cut: set the printer to 100 %, or export again with --printer 'ACROSS x ALONG', what the "
    "two 100 mm bars measure.",
)
"""What every page says about its size. 0.5 % is 1.2 mm on a blade of 230 mm; holes that must meet others take half of
it; own choice."""

_TICKS = (3.2, 2.4, 1.6)
"""Long, middle and short ticks, mm."""

_CLEAR = 4.0
"""From the line between the two bars to their numbers, mm."""

_OVER = 3.6
"""From there to the tails of the numbers above it, mm, at least: a little more than the long ticks reach."""

_TEXT, _WORDS = 1.9, 1.5
_HALF = 7.0
"""From the line between the two bars to the edge of their room, mm."""

_CORNER = 15.0
"""From the corner of the printable area to the zero of the lying bar, or to its end, mm."""

_FOOT = 1.3
"""From the lower border of the printable area to the zero of the standing bar, mm: half of a number, and a little."""

_DIRECTION = 3.0
"""From the inch side of the standing bar to the lying one, mm: the direction is written there."""

_LONGEST = 104.0
"""The longer bar and half of the text at its end, mm."""


@cache
def bars(width: float, height: float, side: Literal["left", "right"]) -> tuple[Drawing, Drawing]:
    """A lying and a standing pair of bars in a lower corner of a page, named by the side of the paper they run along.

    Args:
        width: Of the page, mm.
        height: Of the page, mm.
        side: In which corner they stand.
    """
    low = left = MARGIN
    lies = width > height
    (level, _), (_, upright) = _pairs(along=lies), _pairs(along=not lies)
    if side == "right":
        lying, standing = width - MARGIN - _CORNER - _LONGEST, width - MARGIN - _HALF
    else:
        lying, standing = left + _CORNER + _DIRECTION, left + _HALF
    return level.moved(lying, low + _HALF), upright.moved(standing, low + _FOOT)


@cache
def short_bar(tens: int, inches: int, size: float) -> Drawing:
    """A standing pair of bars beside something small; zero at the origin, on the line between the two.

    Args:
        tens: Length of the left one, cm.
        inches: Length of the right one.
        size: Height of their numbers, mm.
    """
    return Drawing(name="", items=tuple(_divided(tens, inches, size))).turned(90.0)


@cache
def _pairs(*, along: bool) -> tuple[Drawing, Drawing]:
    """A pair that lies, and one that stands."""
    level = Drawing(name="", items=tuple(_pair(along=along)))
    return level, level.turned(90.0)


def _pair(*, along: bool) -> Iterator[Item]:
    """A 100 mm bar above a 4 in bar, zero at the origin, ticks away from each other, the direction between inches."""
    yield from _divided(10, 4, _TEXT)
    name, words = ("ALONG", "long side of the paper") if along else ("ACROSS", "short side of the paper")
    yield Label(layer="NOTE", x=inch(0.5), y=-5.8, text=name, height=_TEXT, anchor="middle", bold=True)
    yield Label(layer="NOTE", x=inch(2.5), y=-5.8, text=words, height=_WORDS, anchor="middle")


def _divided(tens: int, inches: int, size: float) -> Iterator[Item]:
    """Both bars with their numbers, whose height is given in mm."""
    yield from _bar(10.0 * tens, 10 * tens, (10, 5), up=True)
    yield from _bar(inch(float(inches)), 8 * inches, (8, 4), up=False)
    for i in range(tens + 1):
        yield _number(10.0 * i, max(_CLEAR, _OVER + DEPTH * size), f"{10 * i} mm" if i == tens else f"{10 * i}", size)
    for i in range(inches + 1):
        yield _number(inch(float(i)), 0.1 - _CLEAR - size, f"{i} in" if i == inches else f"{i}", size)


def _number(x: float, y: float, text: str, size: float) -> Label:
    return Label(layer="NOTE", x=x, y=y, text=text, height=size, anchor="middle")


def _bar(length: float, count: int, every: tuple[int, int], *, up: bool) -> Iterator[Item]:
    side = 1.0 if up else -1.0
    yield Path(layer="NOTE", curve=line((0.0, side * 0.3), (length, side * 0.3)), pen=CUT_PEN)
    for i in range(count + 1):
        x = i * length / count
        size = _TICKS[0] if i % every[0] == 0 else _TICKS[1] if i % every[1] == 0 else _TICKS[2]
        yield Path(layer="NOTE", curve=line((x, side * 0.3), (x, side * (0.3 + size))), pen=THIN_PEN)
