"""How far lines lie from where they were agreed to lie."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely

from bladegeom.agreement.agreed import Table
from bladegeom.agreement.difference_seen import At, Difference
from bladegeom.agreement.sights import sight_of
from bladegeom.agreement.state import COVERED, IS, line_of
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.outline.outline import CURVE_NAMES
from bladegeom.quantities.tolerances import CHORD, SHOP
from bladegeom.quantities.units import show_length, show_place

_STEP: Final = 0.5
"""Places on a line that are measured are at most so far apart, mm."""

_Farthest = tuple[float, tuple[float, float]]
"""A distance, mm, and the place (x, y) where it is."""

_BLADE: Final = frozenset({"blade height", "knuckle clearance", "edge length"})
_HANDLE: Final = frozenset({"handle length", "handle height", "handle girth", "least handle girth", "hand breadth"})
"""Measures that go with the two parts of the outline."""


def line_difference(was: Table, now: Table, at: At) -> Iterator[Difference]:
    """Of two lines."""
    away, place = _apart(*(flatten(line_of(line), CHORD) for line in (was, now)))
    if away > SHOP:
        limit = sight_of("Curve", "pieces").within
        yield _moved(at, away, place, is_seen=away > limit)


def outline_differences(was: Table, now: Table, at: At) -> Iterator[Difference]:
    """Of two outlines as whole lines, blade and handle apart, wherever their pieces end; then of heel and tip."""
    loops = [np.vstack([flatten(line_of(outline[name]), CHORD) for name in CURVE_NAMES]) for outline in (was, now)]
    limit = sight_of(was[IS], CURVE_NAMES[0]).within
    hidden = bool(was.get(COVERED)) and bool(now.get(COVERED))
    moved = False
    for part, asked, is_hidden in (("blade", _BLADE, False), ("handle", _HANDLE, hidden)):
        halves = [_part(loop, part) for loop in loops]
        away, place = max(_farthest(halves[0], loops[1]), _farthest(halves[1], loops[0]))
        moved |= part == "blade" and away > limit
        if away > SHOP:
            here = At(at.sight, f"outline of the {part}", at.kind, asked)
            yield _moved(here, away, place, is_seen=away > limit and not is_hidden)
    if moved:  # then the heel goes with it
        return
    old, new = (line_of(outline["edge"]).start for outline in (was, now))
    heel = float(np.hypot(new[0] - old[0], new[1] - old[1]))
    if heel > SHOP:
        here = At(at.sight, "heel of the edge", at.kind, frozenset({"edge length"}))
        yield here.worded(f"at {show_place(*old)}", f"at {show_place(*new)}", is_seen=heel > limit, place=new)


def _moved(at: At, away: float, place: tuple[float, float], *, is_seen: bool) -> Difference:
    now = f"up to {show_length(away)} off that, at {show_place(*place)}"
    return at.worded("as drawn", now, is_seen=is_seen, place=place)


def _part(loop: FloatArray, part: str) -> FloatArray:
    """What of an outline lies ahead of the handle front, or behind it."""
    dense = _dense(loop)
    ahead = dense[:, 0] >= 0
    return dense[ahead if part == "blade" else ~ahead]


def _apart(line: FloatArray, other: FloatArray) -> _Farthest:
    """How far two lines are from each other at most, and where."""
    return max(_farthest(_dense(line), other), _farthest(_dense(other), line))


def _farthest(places: FloatArray, line: FloatArray) -> _Farthest:
    """Of some places the one farthest from a line."""
    away = np.asarray(shapely.distance(shapely.points(places), shapely.LineString(line)))
    worst = int(np.argmax(away))
    return float(away[worst]), (float(places[worst, 0]), float(places[worst, 1]))


def _dense(line: FloatArray) -> FloatArray:
    """With places between its corners."""
    return np.asarray(shapely.get_coordinates(shapely.segmentize(shapely.LineString(line), _STEP)))
