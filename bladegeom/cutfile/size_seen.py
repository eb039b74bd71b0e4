"""Why a file is seen at another size than it has: the cause by the factor, and what to write to the shop."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from bladegeom.quantities.errors import QuantityError
from bladegeom.quantities.units import length

_NEAR = 0.006
"""A factor is that of a cause within this share of it: sizes are read to two or three digits; own choice."""

_UNEVEN = 0.01
"""Width and height that are scaled by factors farther apart than this share are not scaled but another shape."""

_SET_MM = "Please set the unit of the import to mm (not inch) and do not scale the part"
_NO_SCALE = "Please place it at 100 %, scale 1:1"


@dataclass(frozen=True, kw_only=True)
class Cause:
    """A reason for a size that is off.

    Args:
        low: Least factor seen / true.
        high: Greatest one.
        why: What happened.
        ask: What the shop should do.
    """

    low: float
    high: float
    why: str
    ask: str


def _one(factor: float, why: str, ask: str) -> Cause:
    return Cause(low=factor * (1 - _NEAR), high=factor * (1 + _NEAR), why=why, ask=ask)


def _both(factor: float, there: str, back: str, ask: str) -> tuple[Cause, Cause]:
    return _one(factor, there, ask), _one(1 / factor, back, ask)


def _resolution(drawn: int, read: int) -> Cause:
    why = f"lengths went through pixels: written at {drawn} to the inch, read at {read}"
    return _one(drawn / read, why, f"{_NO_SCALE}, with {drawn} pixels to the inch; or open the DXF, not an SVG")


CAUSES: Final = (
    _one(1.0, "nothing is wrong: that is the true size", "Please go on"),
    *_both(25.4, "mm were read as inch", "inch were read as mm", _SET_MM),
    *_both(304.8, "mm were read as feet", "feet were read as mm", _SET_MM),
    *_both(12.0, "inch were read as feet", "feet were read as inch", "Please set the unit of the import"),
    *_both(2.54, "cm were read as inch", "inch were read as cm", "Please set the unit of the import"),
    *_both(
        25.4 / 96,
        "mm were read as pixels, 96 to the inch",
        "pixels, 96 to the inch, were read as mm",
        f"{_SET_MM}; take the DXF, not an SVG",
    ),
    *_both(
        25.4 / 90,
        "mm were read as pixels, 90 to the inch",
        "pixels, 90 to the inch, were read as mm",
        f"{_SET_MM}; take the DXF, not an SVG",
    ),
    *_both(
        25.4 / 72,
        "mm were read as points, 72 to the inch",
        "points, 72 to the inch, were read as mm",
        f"{_SET_MM}; take the DXF, not a PDF or AI file",
    ),
    *(_resolution(a, b) for a in (72, 90, 96) for b in (72, 90, 96) if a != b),
    *_both(10.0, "mm were read as cm", "cm were read as mm, or 1:10 was set", _SET_MM),
    *_both(100.0, "cm were read as metres, or mm as decimetres", "metres were read as cm, or 1:100 was set", _SET_MM),
    *_both(1000.0, "mm were read as metres", "metres were read as mm", _SET_MM),
    *_both(
        2.0,
        "scale 2:1 is set, or a radius was taken for a diameter",
        "scale 1:2 is set, or half was measured",
        _NO_SCALE,
    ),
    Cause(
        low=0.935,
        high=0.975,
        why="it was fitted to the page, with its margins, when printed",
        ask=f"{_NO_SCALE}, never fit to page",
    ),
    Cause(
        low=1.025, high=1.07, why="it was fitted to a larger page when printed", ask=f"{_NO_SCALE}, never fit to page"
    ),
)
"""Factors by definition of the units (inch of 25.4 mm; CSS pixels of 1/96 in, older SVG programs 1/90 in, points of
1/72 in). Fitting to the page: A4 to Letter is 0.941, margins of 5 to 10 mm give up to 0.97."""


def causes(factor: float) -> tuple[Cause, ...]:
    """All causes that a factor seen / true may have; empty where none is known.

    >>> [cause.why for cause in causes(25.4)]
    ['mm were read as inch']
    """
    return tuple(cause for cause in CAUSES if cause.low <= factor <= cause.high)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One way to read what was seen.

    Args:
        unit: "mm" or "inch" for a bare number, "" where the unit was written.
        side: Which side was seen: "width", "height", or both: "width and height", "height and width" of a turned part.
        factors: Seen / true, one or two.
        causes: That explain all of them.
    """

    unit: str
    side: str
    factors: tuple[float, ...]
    causes: tuple[Cause, ...]

    @property
    def uneven(self) -> bool:
        """Whether width and height are off by factors of their own."""
        return max(self.factors) > (1 + _UNEVEN) * min(self.factors)


def read_seen(text: str, width: float, height: float) -> tuple[Reading, ...]:
    """What a size that somebody sees tells, the readings that a cause explains first.

    Args:
        text: "9.11 in", "231.4", "9.11 x 1.50 in", '231.4 by 38.2 mm'. A bare number is tried as mm and as inch.
        width: True width, > 0 mm.
        height: True height, > 0 mm.

    Raises:
        QuantityError: It is no length and no pair of lengths, or not above 0.
    """
    parts = [part.strip() for part in re.split(r"\s*(?:[xX\xd7*]|\bby\b)\s*", text.strip()) if part.strip()]
    if len(parts) not in (1, 2):
        raise QuantityError(text, "give a width, or a width and a height such as '9.11 x 1.50 in'")
    bare = all(re.fullmatch(r"[\d.\s]+", part) for part in parts)
    unit = re.sub(r"^[-+\d\s./¼½¾⅛⅜⅝⅞]+", "", parts[-1])
    seen = [length(part if bare or not re.fullmatch(r"[\d.\s/-]+", part) else f"{part} {unit}") for part in parts]
    if min(seen) <= 0:
        raise QuantityError(text, "a size is more than 0")
    readings = [
        _reading(name, [scale * figure for figure in seen], width, height, side)
        for name, scale in ((("mm", 1.0), ("inch", 25.4)) if bare else (("", 1.0),))
        for side in (_PAIRS if len(seen) == 2 else _SINGLE)
    ]
    explained = tuple(reading for reading in readings if reading.causes)
    first = next(iter(_SINGLE if len(seen) == 1 else _PAIRS))
    # What the longer side explains needs no other reading; nor does a size that is simply right.
    straight = tuple(reading for reading in explained if reading.side == first)
    return straight or explained or tuple(reading for reading in readings if reading.side == first)


_SINGLE = ("width", "height")
_PAIRS = ("width and height", "height and width")


def _reading(unit: str, seen: list[float], width: float, height: float, side: str) -> Reading:
    true = [width if name == "width" else height for name in side.split(" and ")]
    factors = tuple(a / b for a, b in zip(seen, true, strict=True))
    shared = causes(factors[0])
    if len(factors) == 2:
        even = abs(factors[0] / factors[1] - 1) <= _UNEVEN
        shared = tuple(cause for cause in shared if even and cause in causes((factors[0] + factors[1]) / 2))
    return Reading(unit=unit, side=side, factors=factors, causes=shared)
