"""Where a region is thinner than a width: what a disc of that width, rolled about within it, never comes to.

Corners are left out: a disc never fills one, and a corner that is a little round is no fault.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import Final, NamedTuple

import shapely
from shapely.geometry.base import BaseGeometry

_QUARTER = 8
"""Chords to a quarter of a disc: they lie within it by 5e-3 of its radius."""

_SLACK = 7e-3
"""Parts of its width by which what a disc has passed is taken wider, so that the chords leave nothing behind."""

_TOUCH = 1e-9
"""Borders so near to each other are the same, mm."""

_STEP: Final = 0.005
"""A width is found to so much, mm: a magnifier on the bench tells no less."""

_FIRST, _RISE = 0.05, 1.15
"""Width that is tried first, mm, and by how much the next is larger."""

_CORNER, _SEEN = 2.0, 0.2
"""What sticks out by no more than so many widths is a corner, which comes out blunter by that; own choice. Corners of
23 degrees and more do: the inner one of an A is none that closes up. Nor does anybody see so many mm.
"""


class ThinPlace(NamedTuple):
    """A place, mm."""

    x: float
    y: float


def thin_places(region: BaseGeometry, width: float) -> tuple[ThinPlace, ...]:
    """Middles of all stretches that are narrower than a width, from left to right.

    A stretch counts where it parts what is wide enough, where nothing about it is, or where it sticks out of that by
    more than twice the width and 0.2 mm; what is shorter is a corner.

    Args:
        region: Of lines, mm.
        width: That they should have, > 0 mm.
    """
    core = shapely.buffer(region, -width / 2, quad_segs=_QUARTER)
    found = [*_left_over(region, core, width), *_short_necks(region, core, width)]
    apart: list[ThinPlace] = []
    for place in sorted(found):
        if all(math.dist(place, other) > width for other in apart):
            apart.append(place)
    return tuple(apart)


def _left_over(region: BaseGeometry, core: BaseGeometry, width: float) -> Iterator[ThinPlace]:
    """Stretches that no disc comes to."""
    passed = shapely.buffer(core, width / 2 * (1 + _SLACK), quad_segs=_QUARTER)
    border = shapely.boundary(passed).buffer(_TOUCH)
    shapely.prepare(passed)
    for piece in shapely.get_parts(shapely.difference(region, passed)):
        if piece.area <= (_SLACK * width) ** 2:
            continue
        sides = shapely.get_parts(shapely.line_merge(shapely.intersection(piece.boundary, border)))
        parts = sum(side.length > _SLACK * width for side in sides)
        out_by = shapely.distance(passed, shapely.points(shapely.get_coordinates(piece)))
        if parts != 1 or out_by.max() > max(_CORNER * width, _SEEN):
            yield _place(piece.representative_point())


def _short_necks(region: BaseGeometry, core: BaseGeometry, width: float) -> Iterator[ThinPlace]:
    """Stretches so short that discs from both ends meet within them, and none goes through."""
    for part in shapely.get_parts(region):
        rings = (part.exterior, *part.interiors)
        yield from (_between_two(a, b) for a, b in itertools.combinations(rings, 2) if a.distance(b) < width)
    parts = shapely.get_parts(core)
    for a, b in itertools.combinations(parts, 2):
        if a.distance(b) <= width * (1 + _SLACK):
            place = _between_two(a, b)
            if region.covers(shapely.Point(place)):
                yield place


def _between_two(a: BaseGeometry, b: BaseGeometry) -> ThinPlace:
    """Half way where they are nearest."""
    return _place(shapely.shortest_line(a, b).interpolate(0.5, normalized=True))


def _place(point: shapely.Point) -> ThinPlace:
    return ThinPlace(float(point.x), float(point.y))


def gap_places(region: BaseGeometry, width: float) -> tuple[ThinPlace, ...]:
    """The same of the gaps between a region's lines."""
    return thin_places(_between(region), width)


def least_line(region: BaseGeometry) -> float:
    """Width of the thinnest line of a region, mm."""
    return _least(region, _reach(region))


def least_gap(region: BaseGeometry) -> float | None:
    """Width of the narrowest gap between lines of a region, mm; None where there is none."""
    found = _least(_between(region), _reach(region))
    return None if found >= _reach(region) else found


def _between(region: BaseGeometry) -> BaseGeometry:
    return shapely.difference(shapely.box(*region.bounds).buffer(2 * _reach(region), join_style="mitre"), region)


def _reach(region: BaseGeometry) -> float:
    """Its longer side: no gap between its lines is wider."""
    x0, y0, x1, y1 = region.bounds
    return float(max(x1 - x0, y1 - y0))


def _least(region: BaseGeometry, reach: float) -> float:
    """The least width at which there is a thin place, at most as wide as the region is long.

    In steps, as a stretch that sticks out of what is wide becomes its corner at a width that is large enough; and then
    by halves.
    """
    low, high = 0.0, min(_FIRST, reach)
    while not thin_places(region, high):
        if high >= reach:
            return reach
        low, high = high, min(_RISE * high, reach)
    while high - low > _STEP:
        middle = (low + high) / 2
        if thin_places(region, middle):
            high = middle
        else:
            low = middle
    return low
