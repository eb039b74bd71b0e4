"""Lines for the layer MARK of a cut file: they never touch what is cut, nor each other."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.arcs import SHORTEST
from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, points
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import curve_length
from bladegeom.curves.part import part
from bladegeom.cutfile.scribe_lines import scribe_lines
from bladegeom.drawing.drawing import SCRIBE_PEN, Path
from bladegeom.grinding.zones import box_of
from bladegeom.handle.scale_blank import vectors
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone
from bladegeom.quantities.tolerances import CHORD

PULLED_BACK = 1.0
"""A mark ends so far from every cut, mm; own choice: about the width of one."""

_APART = 0.5
"""And so far from another mark, mm; own choice."""

_LEAST = 2.0
"""A shorter piece of a mark is left out, mm; own choice."""

_STRAIGHT = 0.02
"""A line of many points is drawn by as few as keep so close, mm."""

_PROBES = 32
_HALVINGS = 40


def cut_marks(knife: Knife) -> Iterator[Path]:
    """Handle front, plunge line, grind line and the mark fields of the right face, or of the only ground one."""
    holes = [
        shapely.LineString(hole.opening.axis).buffer(hole.diameter / 2 + PULLED_BACK)
        for hole in cut_holes(knife)
        if hole.way != "left"
    ]
    free = shapely.difference(knife.outline.polygon.buffer(-PULLED_BACK), shapely.union_all(holes))
    for curve in _wished(knife):
        for stretch in _inside(curve, free):
            yield Path(layer="MARK", curve=stretch, pen=SCRIBE_PEN, closed=stretch.start == stretch.end)
        free = shapely.difference(free, shapely.LineString(flatten(curve, CHORD)).buffer(_APART))


def _wished(knife: Knife) -> Iterator[Curve]:
    side = knife.grind.only or "right"
    for zone in knife.zones:
        if isinstance(zone, MarkZone) and zone.side == side:
            yield line(*vectors(shapely.get_coordinates(box_of(zone))))
    for item in scribe_lines(knife):
        if not isinstance(item, Path):
            continue
        xy = flatten(item.curve, CHORD)
        straight = shapely.get_coordinates(shapely.simplify(shapely.LineString(xy), _STRAIGHT))
        # Arcs stay curves; what is a row of many points already is drawn by fewer.
        yield line(*vectors(straight)) if len(xy) == len(item.curve) + 1 else item.curve


def _inside(curve: Curve, free: BaseGeometry) -> Iterator[Curve]:
    """The parts of a curve in a region, each long enough to be seen."""
    t = np.linspace(0.0, len(curve), _PROBES * len(curve) + 1)
    xy = points(curve, t)
    within = shapely.contains_xy(free, xy[:, 0], xy[:, 1])
    ends = [0.0, *(_border(curve, free, t[i], t[i + 1]) for i in np.flatnonzero(within[1:] != within[:-1])), t[-1]]
    state = bool(within[0])
    for start, stop in itertools.pairwise(ends):
        begin, end = _to_knot(curve, start, math.ceil(start)), _to_knot(curve, stop, math.floor(stop))
        if state and end > begin and curve_length(stretch := part(curve, begin, end)) >= _LEAST:
            yield stretch
        state = not state


def _to_knot(curve: Curve, t: float, knot: int) -> float:
    """A knot in place of an end that would leave only a sliver beyond it."""
    here, there = points(curve, [t, float(knot)]).tolist()
    return float(knot) if math.dist(here, there) < SHORTEST else float(t)


def _border(curve: Curve, free: BaseGeometry, low: float, high: float) -> float:
    """Where a curve enters or leaves a region between two places, on the inner side."""
    first = bool(shapely.contains_xy(free, *points(curve, low)[0]))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if bool(shapely.contains_xy(free, *points(curve, middle)[0])) == first:
            low = middle
        else:
            high = middle
    return float(low if first else high)
