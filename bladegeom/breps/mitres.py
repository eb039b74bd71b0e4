"""Lines inside the steel that are as near to the edge on one side of a corner as on the other: the face creases there.

They run from the corner of the edge, and are cut wherever another law takes over, so that the takeovers of both sides
can end at them.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.breps.plan import PlanCurve, line_through
from bladegeom.breps.strips import meet, strip_offset
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.knife.side import Side

_CORNER = np.radians(0.5)
"""An edge that turns by less has no corner."""

_STEPS = 400
_HALVINGS = 50
_POINTS = 24
"""Places that a line is drawn through."""

_NEAREST = 2e-3
"""Where the edge is nearer than this less, a mitre has ended at another part of it, mm."""


def mitres(side: Side, edge: Curve, steel: BaseGeometry) -> Iterator[PlanCurve]:
    """Creases from the corners of an edge ahead of the plunge line, in pieces between takeovers."""
    for before, behind in itertools.pairwise(edge.pieces):
        first, second = before[3] - before[2], behind[1] - behind[0]
        turn = np.arctan2(first[0] * second[1] - first[1] * second[0], first @ second)
        if turn > _CORNER and side.past(*behind[:1].T)[0] > 0:
            yield from _mitre(side, before, behind, steel)


def _mitre(side: Side, before: FloatArray, behind: FloatArray, steel: BaseGeometry) -> Iterator[PlanCurve]:
    x0, y0, x1, y1 = steel.bounds

    def places(away: FloatArray) -> FloatArray:
        t, _ = meet(before, away, behind, away, (1.0, 0.0))
        return strip_offset(before, t, away)

    def least(away: FloatArray) -> FloatArray:
        return np.asarray(side.laws(*places(away).T).argmin(axis=0))

    away = min(x1 - x0, y1 - y0) * np.linspace(0.0, 1.0, _STEPS + 1)[1:]
    xy = places(away)
    counts = np.logical_and.accumulate(
        shapely.contains_xy(steel, *xy.T) & (side.edge.distances(*xy.T) > away - _NEAREST)
    )
    laws = least(away)
    start = 0.0
    for i in np.flatnonzero(np.diff(laws) != 0):
        if not counts[i]:
            return
        low, high = float(away[i]), float(away[i + 1])
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if least(np.array([middle]))[0] == laws[i] else (low, middle)
        yield line_through(places(np.linspace(start, high, _POINTS)))
        start = high
        if laws[i + 1] == 0:
            return
    last = int(counts.argmin()) if not counts.all() else _STEPS
    yield line_through(places(np.linspace(start, float(away[min(last + 2, _STEPS - 1)]), _POINTS)))
