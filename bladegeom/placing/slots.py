"""Lightening slots along the tang's mid line: two drills and a mill, or cut with the outline."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Made, Slot
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import MID_STEP
from bladegeom.placing.ground import lightening_sizes, with_holes
from bladegeom.placing.net_width import WidthLeft
from bladegeom.placing.width_limits import beside, border_limits, no_room
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.units import show_length

_LEAST_SHARE = 0.25
"""A slot that takes out less than this share of the first and largest is one too many; own choice."""

_LEAST_TRAVEL = 1.0
"""A tool that travels less than this many of its widths makes a hole, no slot; own choice."""


def add_lightening_slots(knife: Knife, *, largest: float | None = None, made: Made = "cut") -> Knife:
    """The widest and longest slots along the mid line between what is there already, as few as possible.

    The first is the one that takes out the most, the next the best in what is left, until the next would take out less
    than a quarter of the first. Each is as wide as a size of the drill index, straight, and runs from one place of the
    mid line to another.

    Args:
        knife: To which they are added; fasteners first, lightening last.
        largest: No slot wider than this, mm.
        made: When they are made; drilled means two drills and a mill.

    Raises:
        PlacingError: The drill index has no usable size, or no slot finds a place.

    >>> import dataclasses
    >>> bare = dataclasses.replace(knife, holes=())
    >>> [round(slot.diameter, 2) for slot in add_lightening_slots(bare).holes]
    [9.53]
    """
    widths = lightening_sizes(knife, largest=largest, made=made)
    line = knife.outline.mid_line[:, :2]
    line = line[~np.isnan(line).any(axis=1)]
    slots: list[Slot] = []
    done = knife
    while (slot := _best(done, line, widths, made)) is not None:
        if slots and _area(slot) < _LEAST_SHARE * _area(slots[0]):
            break
        slots.append(slot)
        done = with_holes(knife, slots)
    if not slots:
        raise _none(knife, line, widths[0])
    return done


def _best(knife: Knife, line: FloatArray, widths: tuple[float, ...], made: Made) -> Slot | None:
    """The slot that takes out the most beside what is there; None where there is none."""
    if not len(line):
        return None
    strips = WidthLeft.of(knife, knife.openings)
    room = beside(knife, border_limits(knife, line), line, knife.openings, strips).room
    slots = [slot for width in widths for slot in _of_width(knife, strips, line, room, width, made)]
    return max(slots, key=_area, default=None)


def _of_width(
    knife: Knife, strips: WidthLeft, line: FloatArray, room: FloatArray, width: float, made: Made
) -> list[Slot]:
    """In each stretch of the mid line where a width is legal, the longest straight slot."""
    legal = np.flatnonzero(room >= width / 2)
    out = []
    for run in np.split(legal, np.flatnonzero(np.diff(legal) > 1) + 1):
        slot = _longest(knife, strips, line[run], width, made) if len(run) else None
        if slot is not None:
            out.append(slot)
    return out


def _longest(knife: Knife, strips: WidthLeft, places: FloatArray, width: float, made: Made) -> Slot | None:
    """From one place to another, drawn in from whichever end is illegal along a curved mid line."""
    first, last = 0, len(places) - 1
    while math.dist(places[first], places[last]) >= _LEAST_TRAVEL * width:
        start, end = places[first], places[last]
        short = _short(knife, strips, start, end, width)
        if (short <= 0).all():
            return Slot(
                start=(float(start[0]), float(start[1])),
                end=(float(end[0]), float(end[1])),
                diameter=width,
                purpose="lightening",
                made=made,
            )
        # The chord of a bend is worst in the middle: draw in the end that is nearer to it.
        if int(short.argmax()) < len(short) / 2:
            first += 1
        else:
            last -= 1
    return None


def _short(knife: Knife, strips: WidthLeft, start: FloatArray, end: FloatArray, width: float) -> FloatArray:
    """By how much the room along a slot's axis is too small, shape (n,), mm."""
    length = math.dist(start, end)
    share = np.linspace(0.0, 1.0, math.ceil(length / MID_STEP) + 1)[:, None]
    xy = start + share * (end - start)
    found = beside(knife, border_limits(knife, xy), xy, knife.openings, strips)
    # An upright line cuts a leaning slot in more than its width.
    upright = width / 2 * length / max(abs(float(end[0] - start[0])), 1e-9)
    return np.maximum(width / 2 - found.without("width"), upright - found.width)


def _area(slot: Slot) -> float:
    return slot.diameter * math.dist(slot.start, slot.end) + math.pi * slot.diameter**2 / 4


def _none(knife: Knife, line: FloatArray, width: float) -> PlacingError:
    if not len(line):
        return PlacingError("no lightening slot finds a place: the tang is too short", value=width)
    found = beside(knife, border_limits(knife, line), line, knife.openings)
    if (found.room >= width / 2).any():
        return PlacingError(
            f"no lightening slot of {show_length(width)} can be as long as two widths between what is there; "
            "add_lightening_row places round holes",
            value=width,
        )
    what = f"no legal place for a lightening slot of {show_length(width)}"
    return no_room(knife, found, line, width).error(what, width)
