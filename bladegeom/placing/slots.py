"""Lightening slots along the tang's mid line: two drills and a mill, or cut with the outline."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Made, Slot
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import MID_STEP
from bladegeom.placing.ground import lightening_sizes, with_holes
from bladegeom.placing.net_width import WidthLeft
from bladegeom.placing.width_limits import beside, border_limits, no_room
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.tolerances import JOINED
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
    least = 0.0
    while (slot := _best(done, line, widths, made, least)) is not None and _area(slot) >= least:
        least = least or _LEAST_SHARE * _area(slot)
        slots.append(slot)
        done = with_holes(knife, slots)
    if not slots:
        raise _none(knife, line, widths[0])
    return done


def _best(knife: Knife, line: FloatArray, widths: tuple[float, ...], made: Made, least: float) -> Slot | None:
    """The slot that takes out the most beside what is there; None where there is none.

    What cannot take out so much as another, nor a least area in mm2, is not tried.
    """
    if not len(line):
        return None
    strips = WidthLeft.of(knife, knife.openings)
    room = beside(knife, border_limits(knife, line), line, knife.openings, strips).room
    stretches = [(width, line[run]) for width in widths for run in _runs(room, width)]
    most = [_most_area(width, places) for width, places in stretches]
    found: dict[int, Slot] = {}
    for i in sorted(range(len(stretches)), key=lambda i: -most[i]):
        width, places = stretches[i]
        slot = _longest(knife, strips, places, width, made, least)
        if slot is not None:
            found[i], least = slot, max(least, _area(slot))
    # Of equal ones the first, as if all had been tried in order.
    return max((found[i] for i in sorted(found)), key=_area, default=None)


def _runs(room: FloatArray, width: float) -> list[npt.NDArray[np.intp]]:
    """Stretches of the mid line where a width is legal."""
    legal = np.flatnonzero(room >= width / 2)
    return [run for run in np.split(legal, np.flatnonzero(np.diff(legal) > 1) + 1) if len(run)]


def _most_area(width: float, places: FloatArray) -> float:
    """No slot between two of the places takes out more: none is longer than the box that holds them all, mm2."""
    return _area_of(width, math.hypot(*np.ptp(places, axis=0).tolist()) + JOINED)


def _longest(
    knife: Knife, strips: WidthLeft, places: FloatArray, width: float, made: Made, least: float
) -> Slot | None:
    """From one place to another, drawn in from whichever end is illegal along a curved mid line.

    None where it becomes no slot, or can no longer take out a least area, mm2.
    """
    first, last = 0, len(places) - 1
    while (
        math.dist(places[first], places[last]) >= _LEAST_TRAVEL * width
        and _most_area(width, places[first : last + 1]) >= least
    ):
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
    return _area_of(slot.diameter, math.dist(slot.start, slot.end))


def _area_of(width: float, travel: float) -> float:
    return width * travel + math.pi * width**2 / 4


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
