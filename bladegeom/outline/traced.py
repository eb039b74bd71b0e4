"""From one closed line, as somebody drew or traced it, to an outline with named curves in the design's frame."""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import numpy as np
import shapely

from bladegeom.curves.curve import Curve, FloatArray, Vector, join, split
from bladegeom.curves.curve import points as xy
from bladegeom.curves.fair import fair_loop
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.curves.measure import loop_moments
from bladegeom.curves.meet import along_line, nearest
from bladegeom.outline.landmarks import Landmarks
from bladegeom.outline.marked_loop import NEAR, MarkedLoop
from bladegeom.outline.outline import Outline
from bladegeom.quantities.errors import OutlineError, ParameterError
from bladegeom.quantities.units import show_length

_STEEP_DEG = 45.0
"""Where the border of the handle has turned so far, the butt begins; own choice."""

_SNAP = 0.02
"""A landmark so near to the end of a piece is that end, mm: two different marks are never so close."""

_REACH = 3.0
"""The turn at a traced corner is that between the means of the line so far before and behind it, mm; own choice."""

_SHARP_DEG = 60.0
"""A traced line that turns more within the reach before and behind is a corner; an arc of 3 mm radius is none."""

_REAR = 0.25
"""The butt is looked for in this part of the handle; own choice."""


class Placed(NamedTuple):
    """An outline that was drawn elsewhere, and how it came to lie where it lies."""

    outline: Outline
    frame: FloatArray
    """Map (2, 3) from the frame of the drawing, mm, to that of the design."""


def place_loop(loop: Curve, marks: Landmarks, *, fair_within: float | None = None, picked: bool = False) -> Placed:
    """An outline in the design's frame from a closed line in mm.

    Args:
        loop: The whole border, y up, mm; it ends where it starts. Either way round.
        marks: Where the parts begin; their points in the frame of the loop.
        fair_within: If given, the line is replaced by few fair curves that pass its points no farther off, mm. Corners
            stay corners.
        picked: Only the ends of the pieces were picked; nothing is known of the line between them.

    Raises:
        ParameterError: A landmark that lies nowhere on the line.
        OutlineError: Landmarks in an order that no knife has, or a line that crosses itself.
        CurveError: A point that no fair curve passes within the distance.
    """
    matrix = marks.levelling()
    marks = marks.mapped(matrix)
    whole = MarkedLoop(_counter_clockwise(loop.transformed(matrix)), marks)
    if fair_within is not None:
        whole = MarkedLoop(_faired(whole, fair_within, picked=picked), marks)
    outline, (x, y) = _cut(whole)
    return Placed(outline, np.asarray(matrix - np.array([[0.0, 0.0, x], [0.0, 0.0, y]])))


def _counter_clockwise(loop: Curve) -> Curve:
    if math.dist(loop.start, loop.end) > _SNAP:
        raise OutlineError("an outline must be closed: this line ends{at}, away from its start", loop.end)
    pieces = loop.pieces.copy()
    pieces[-1, 3] = pieces[0, 0]
    closed = Curve(pieces)
    area = float(loop_moments(closed.pieces)[0])
    if area == 0:
        raise OutlineError("the outline encloses nothing{at}", loop.start)
    return closed if area > 0 else closed.reversed()


def _cut(whole: MarkedLoop) -> tuple[Outline, Vector]:
    """Six curves from mark to mark, and where the origin was."""
    marks, loop = whole.marks, whole.loop
    tip = whole.tip
    front = whole.place("handle_front", marks.handle_front, upper=True)
    x, y = xy(loop, front)[0]
    heel = whole.heel
    bottom = (
        _across(whole, float(x), float(y))
        if marks.front_bottom is None
        else whole.place("front_bottom", marks.front_bottom, upper=False)
    )
    top_rear, low_rear = _butt(whole, front, bottom)
    places = {
        "heel": heel, "tip": tip, "handle_front": front, "butt_top": top_rear, "butt_bottom": low_rear,
        "front_bottom": bottom,
    }  # fmt: skip
    k = len(loop)
    named = {name: _snapped(loop, t) for name, t in places.items()}
    x, y = xy(loop, named["handle_front"])[0]
    ahead = {name: (t - named["heel"]) % k for name, t in named.items()}
    wrong = [
        name
        for name, following in zip(list(ahead)[:-1], list(ahead)[1:], strict=True)
        if ahead[following] <= ahead[name]
    ]
    if wrong:
        names = list(ahead)
        a, b = wrong[0], names[names.index(wrong[0]) + 1]
        place = xy(loop, named[b])[0]
        raise OutlineError(
            f"going round from the heel over the tip, the {_plain(b)} comes before the {_plain(a)}{{at}} (levelled "
            f"drawing): name both as points, and see that the tip points right and the edge down",
            (float(place[0]), float(place[1])),
        )
    stops = [*named.values(), named["heel"]]
    curves = [_between(loop, a, b).moved(-float(x), -float(y)) for a, b in itertools.pairwise(stops)]
    edge, spine, handle_top, butt, underside, choil = curves
    outline = Outline(edge=edge, spine=spine, handle_top=handle_top, butt=butt, handle_underside=underside, choil=choil)
    return outline, (float(x), float(y))


def _across(whole: MarkedLoop, x: float, y: float) -> float:
    """Place on the lower border straight below the handle front."""
    heights = along_line(whole.loop, (x, 0.0), 90.0)
    below = heights[heights < y - NEAR]
    if not len(below):
        raise ParameterError(
            "landmarks: front_bottom", None, "be given as a point: no steel lies below the handle front"
        )
    return float(nearest(whole.loop, (x, float(below[-1]))).t[0])


def _butt(whole: MarkedLoop, front: float, bottom: float) -> tuple[float, float]:
    """Ends of the handle's top and underside, as marked or where the line has become steep."""
    marks, k = whole.marks, len(whole.loop)
    run = (bottom - front) % k
    # Ends of pieces are among the places, so that a butt that begins in a corner begins there.
    joints = np.arange(math.floor(front) + 1, math.ceil(front + run))
    t = np.unique(np.concatenate([front + np.linspace(0.0, 1.0, 2001)[1:-1] * run, joints])) % k
    p = xy(whole.loop, t)
    step = np.diff(p, axis=0)
    steep = np.abs(step[:, 1]) > np.abs(step[:, 0]) * math.tan(math.radians(_STEEP_DEG))
    rear = p[:-1, 0] < p[:, 0].min() + _REAR * (p[:, 0].max() - p[:, 0].min())
    there = np.flatnonzero(steep & rear)
    if len(there) < 2:
        raise ParameterError("landmarks: butt_top", None, "be given as a point: the rear of the line turns nowhere")
    i, j = int(there[0]), int(there[-1]) + 1
    top = float(t[i]) if marks.butt_top is None else whole.place("butt_top", marks.butt_top, upper=True)
    low = float(t[j]) if marks.butt_bottom is None else whole.place("butt_bottom", marks.butt_bottom, upper=False)
    return top, low


def _snapped(loop: Curve, t: float) -> float:
    """The end of a piece in place of a place right beside it, so that no crumb is cut off."""
    i = round(t)
    near = math.dist(xy(loop, t)[0], xy(loop, float(i))[0]) <= _SNAP
    return float(i % len(loop)) if near else t


def _between(loop: Curve, a: float, b: float) -> Curve:
    """The part of a closed chain from one place on to another."""
    k = len(loop)
    twice = Curve(np.concatenate([loop.pieces, loop.pieces]))
    end = b if b > a else b + k
    part = split(twice, end)[0] if end < 2 * k else twice
    return split(part, a)[1] if a > 0 else part


def _faired(whole: MarkedLoop, within: float, *, picked: bool) -> Curve:
    """The loop as few fair curves from corner to corner."""
    if not 0 < within <= NEAR:
        raise ParameterError("fair_within", f"{within:g} mm", f"be more than 0 mm and at most {show_length(NEAR)}")
    points = np.asarray(whole.loop.pieces[:, 0]) if picked else _points_of(whole.loop, within)
    # The tip is a corner of every knife; a heel that is one is found with the others, or named as a point.
    named = [
        xy(whole.loop, whole.tip)[0],
        *([xy(whole.loop, whole.heel)[0]] if isinstance(whole.marks.heel, tuple) else []),
    ]
    corners = {int(np.hypot(*(points - at).T).argmin()) for at in named}
    corners |= _sharp(points, corners)
    return join(*fair_loop(points, sorted(corners), within))


def _points_of(loop: Curve, within: float) -> FloatArray:
    """Points all along a loop, its corners among them."""
    p = loop.pieces
    ring = shapely.LineString(np.concatenate([flatten_pieces(p, within / 10)[0], p[:1, 0]]))
    return np.asarray(shapely.get_coordinates(shapely.segmentize(ring, max(ring.length / 400, 1.0)))[:-1])


def _sharp(points: FloatArray, named: set[int]) -> set[int]:
    """Points where the line turns sharply from one reach to the next, the sharpest of each place."""
    n = len(points)
    closed = np.concatenate([points, points, points, points[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = along[n : 2 * n]

    def there(where: FloatArray) -> FloatArray:
        return np.stack([np.interp(where, along, closed[:, i]) for i in (0, 1)], axis=1)

    before = points - there(at - _REACH)
    after = there(at + _REACH) - points
    turn = np.abs(
        np.degrees(np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)))
    )
    out: set[int] = set()
    for i in np.argsort(-turn).tolist():
        if turn[i] < _SHARP_DEG:
            break
        if all(math.dist(points[i], points[j]) > 2 * _REACH for j in out | named):
            out.add(i)
    return out


def _plain(name: str) -> str:
    return name.replace("_", " ")
