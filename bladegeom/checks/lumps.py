"""Lumps and dents in lines that ought to be fair: a knot a little out of place, a slip of the file in a traced edge."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from bladegeom.checks.fairness import ROUNDED, course_along, fair_lines
from bladegeom.curves.curvature import Course
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.units import show_length

LUMP: Final = 0.1
"""A lump that stands out by less is not told, mm; own choice by trial: with half of it, lines drawn on purpose have
some."""

_HIGHEST: Final = 1.9
"""One that stands out by more is drawn on purpose, mm; own choice by eye."""

_HIGHEST_BELOW: Final = 0.62
"""Along the underside of a handle, where a swell for the palm and grooves for fingers belong, mm; own choice by eye."""

_WIDEST: Final = 44.0
"""And so is one that is wider, mm; own choice by trial: hollows drawn into spines are wider."""

_EVEN: Final = 0.45
"""Least share of the one flank's rise in curvature that the other has; own choice by trial: where a line goes over from
one shape to another, they differ more."""

_BACK: Final = 0.05
"""Beyond each flank the curvature falls back by so much of the rise at least: the line was fair before; own choice."""

_ROUNDED_OFF: Final = 0.8
"""Share of its swing that a spline leaves of a lump; own choice by trial: 0.73 of one knot out of place, up to 0.88 of
a wave through many."""

_STEP: Final = 0.5
"""Places along a line, mm."""

_TURN: Final = 3e-4
"""A change of the curvature by less is no turn, 1/mm: over the widest lump it is hardly more than 0.01 mm."""

_LEAD: Final = 6.0
"""So near to a rounded corner a line is part of it, mm; own choice by eye."""


class Lump(NamedTuple):
    """A lump, or a dent, in a line that runs with the steel on its left."""

    along: float
    """Of its middle, from the line's start, mm."""
    height: float
    """Outwards positive, mm."""
    width: float


@rule(
    Code("lump", ("note",), "a line that ought to be fair has a lump or a dent"),
)
def check_lumps(knife: Knife) -> Iterator[Finding]:
    """Lumps and dents along edge, spine and handle."""
    for name in fair_lines(knife.outline):
        path, highest = course_along(knife, name), _HIGHEST_BELOW if name == "handle underside" else _HIGHEST
        for lump in _own(list(lumps(path))):
            if abs(lump.height) > highest:
                continue
            x, y = (float(np.interp(lump.along, path.along, path.xy[:, i])) for i in (0, 1))
            size = show_length(abs(lump.height))
            what = f"a lump that stands out by about {size}" if lump.height > 0 else f"a dent about {size} deep"
            yield Finding(
                code="lump",
                severity="note",
                part="blade",
                message=(
                    f"the {name} has {what} over {show_length(lump.width)} at ({x:.1f}, {y:.1f}); leave a knot out "
                    "there, or move it by as much"
                ),
                measured=abs(lump.height),
                limit=LUMP,
                source="own choice by trial",
                x=x,
                y=y,
            )


def _own(found: list[Lump]) -> Iterator[Lump]:
    """Those that are no mere swing of the line beside a higher lump that stands out to the other side."""
    for lump in found:
        beside = [other for other in found if abs(other.along - lump.along) < (lump.width + other.width) / 2]
        if not any(abs(other.height) > abs(lump.height) and other.height * lump.height < 0 for other in beside):
            yield lump


def lumps(path: Course) -> Iterator[Lump]:
    """Where the curvature swings up and down again, or down and up, by about as much.

    A lump h (1 + cos(2 pi s / w)) / 2 swings by h (2 pi / w)^2 from its middle to either flank, w apart; a spline
    rounds some of that off.
    """
    along = np.arange(_STEP / 2, path.along[-1], _STEP)
    bend = np.interp(along, path.along, path.bend)
    rounded = along[np.abs(bend) > ROUNDED]
    bend = np.clip(bend, -ROUNDED, ROUNDED)
    turns = _turns(bend.tolist())
    for before, left, middle, right, after in zip(turns, turns[1:], turns[2:], turns[3:], turns[4:], strict=False):
        five = bend[[before, left, middle, right, after]]
        outer, rise, fall, last = np.abs(np.diff(five)).tolist()
        width, swing = float(along[right] - along[left]), min(rise, fall)
        height = swing * (width / (2 * math.pi)) ** 2 / _ROUNDED_OFF
        if height < LUMP or width > _WIDEST:
            continue
        if swing < _EVEN * max(rise, fall) or min(outer, last) < _BACK * swing:
            continue
        if ((rounded > along[left] - _LEAD) & (rounded < along[right] + _LEAD)).any():
            continue
        yield Lump(float(along[middle]), math.copysign(height, five[2] - five[1]), width)


def _turns(values: list[float]) -> list[int]:
    """The ends, and where values that rose fall again, or the other way, by more than next to nothing."""
    out, top, bottom = [0], 0, 0
    rising: bool | None = None
    for i, value in enumerate(values):
        top, bottom = (i if value > values[top] else top), (i if value < values[bottom] else bottom)
        if rising is not False and values[top] - value >= _TURN:
            out += [top] if top else []
            rising, bottom = False, i
        elif rising is not True and value - values[bottom] >= _TURN:
            out += [bottom] if bottom else []
            rising, top = True, i
    return [*out, len(values) - 1]
