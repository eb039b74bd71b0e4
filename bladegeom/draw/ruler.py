"""The ruler bars that prove a print's size: 100 mm and 4 in, along both axes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from bladegeom.curves.build import line
from bladegeom.draw.drawing import CUT_PEN, THIN_PEN, Drawing, Item, Label, Path
from bladegeom.quantities.units import inch

_TICKS = (3.2, 2.4, 1.6)
"""Long, middle and short ticks, mm."""

_TEXT = 1.9
_HALF = 7.0
"""From the line between the two bars to the edge of their room, mm."""

_CORNER = 15.0
"""From the corner of the printable area to the zero of either bar, or to its end, mm."""

_LONGEST = 104.0
"""The longer bar and half of the text at its end, mm."""


def bars(width: float, low: float, left: float, side: Literal["left", "right"]) -> tuple[Drawing, Drawing]:
    """A lying and a standing pair of bars in a lower corner.

    Args:
        width: Of the printable area, mm.
        low: Its lower border.
        left: Its left border.
        side: In which corner they stand.
    """
    pair = Drawing(name="", items=tuple(_pair()))
    if side == "right":
        lying, standing = left + width - _CORNER - _LONGEST, left + width - _HALF
    else:
        lying, standing = left + _CORNER, left + _HALF
    return pair.moved(lying, low + _HALF), pair.turned(90.0).moved(standing, low + _CORNER)


def _pair() -> Iterator[Item]:
    """A 100 mm bar above a 4 in bar, zero at the origin, ticks away from each other."""
    yield from _bar(100.0, 100, (10, 5), up=True)
    yield from _bar(inch(4.0), 32, (8, 4), up=False)
    for i in range(11):
        yield _number(10.0 * i, 4.0, "100 mm" if i == 10 else f"{10 * i}")
    for i in range(5):
        yield _number(inch(float(i)), -5.8, "4 in" if i == 4 else f"{i}")


def _number(x: float, y: float, text: str) -> Label:
    return Label(layer="NOTE", x=x, y=y, text=text, height=_TEXT, anchor="middle")


def _bar(length: float, count: int, every: tuple[int, int], *, up: bool) -> Iterator[Item]:
    side = 1.0 if up else -1.0
    yield Path(layer="NOTE", curve=line((0.0, side * 0.3), (length, side * 0.3)), pen=CUT_PEN)
    for i in range(count + 1):
        x = i * length / count
        size = _TICKS[0] if i % every[0] == 0 else _TICKS[1] if i % every[1] == 0 else _TICKS[2]
        yield Path(layer="NOTE", curve=line((x, side * 0.3), (x, side * (0.3 + size))), pen=THIN_PEN)
