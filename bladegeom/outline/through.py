"""A line through given places, each with its direction of travel, that swings no more often than it must."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from bladegeom.curves.build import direction
from bladegeom.curves.curve import Curve, Vector
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import JOINED

Knot = tuple[float, float, float]
"""x and y in mm, and the direction of travel there in degrees from +x counter-clockwise."""

_REACH = 0.4
"""How far a control point lies from its end as a part of the way to the next place; own choice by eye."""

_SHORTEST, _LONGEST = 0.28, 0.5
"""The same at least and at most, where two neighbours are to bend alike; own choice by eye."""

_BEFORE_CORNER, _LEAST = 0.82, 0.25
"""A control point lies at most this part of the way to where the two directions meet, so that no span bends back; but
never nearer to its end than this part of the span, or the span would have a kink there."""

_ROUNDS = 4
"""As often the neighbours at each place give way to each other."""


def through(knots: Sequence[Knot]) -> Curve:
    """One cubic from place to place, with one curvature at each place inside, as far as that can be had.

    A span whose two directions meet in a corner well ahead of the one and behind the other bends to one side only; any
    other bends once to each side.

    Args:
        knots: At least two, none where its neighbour is.

    Raises:
        CurveError: Fewer than two, a number that is not finite, or two at the same place.
    """
    table = np.array(knots, dtype=np.float64)
    if table.ndim != 2 or table.shape[1] != 3 or len(table) < 2:
        raise CurveError(
            f"a line needs at least two places (x, y, degrees), not {len(knots)}", value=len(knots), limit=2
        )
    if not np.isfinite(table).all():
        raise CurveError("a place that a line goes through is not a finite number")
    places: list[Vector] = [(float(x), float(y)) for x, y, _ in table]
    ways = [direction(float(a)) for a in table[:, 2]]
    spans = [math.dist(p, q) for p, q in pairwise(places)]
    if min(spans) <= JOINED:
        x, y = places[spans.index(min(spans))]
        raise CurveError(f"two places that a line goes through are the same: x {x:.2f}, y {y:.2f} mm", at=(x, y))
    most = [_room(places[i : i + 2], ways[i : i + 2], span) for i, span in enumerate(spans)]
    arms = [[min(_REACH * span, room) for room in rooms] for span, rooms in zip(spans, most, strict=True)]
    for _ in range(_ROUNDS):
        for i in range(1, len(places) - 1):
            _level(i, arms, spans, most, places, ways)
    out, into = np.array(ways[:-1]), np.array(ways[1:])
    sizes, first, last = np.array(arms), table[:-1, :2], table[1:, :2]
    return Curve(np.stack([first, first + sizes[:, :1] * out, last - sizes[:, 1:] * into, last], axis=1))


def _room(ends: Sequence[Vector], ways: Sequence[Vector], span: float) -> tuple[float, float]:
    """How far the control points at both ends of a span may lie from them."""
    turn = _cross(*ways)
    if abs(turn) < JOINED:
        return math.inf, math.inf
    chord = _way(*ends)
    ahead, behind = _cross(chord, ways[1]) / turn, _cross(ways[0], chord) / turn
    if ahead > 0 and behind > 0:
        return max(_BEFORE_CORNER * ahead, _LEAST * span), max(_BEFORE_CORNER * behind, _LEAST * span)
    return math.inf, math.inf


def _level(
    i: int,
    arms: list[list[float]],
    spans: list[float],
    most: list[tuple[float, float]],
    places: list[Vector],
    ways: list[Vector],
) -> None:
    """Let the two control points about a place share the length that they have so that both sides bend alike."""
    back = _way(places[i], _beyond(places[i - 1], ways[i - 1], arms[i - 1][0]))
    ahead = _way(places[i], _beyond(places[i + 1], ways[i + 1], -arms[i][1]))
    # A cubic's curvature at its end is 2/3 of the far control point's distance from the tangent, over the arm squared.
    left, right = _cross(ways[i], back), _cross(ways[i], ahead)
    if left * right <= 0 or min(abs(left), abs(right)) < JOINED:
        return
    share = (left / right) ** 0.25
    both = _REACH * math.sqrt(spans[i - 1] * spans[i])
    for span, side, wish in ((i - 1, 1, both * share), (i, 0, both / share)):
        low, high = _SHORTEST * spans[span], _LONGEST * spans[span]
        arms[span][side] = min(max(wish, low), high, most[span][side])


def _beyond(place: Vector, way: Vector, by: float) -> Vector:
    return place[0] + by * way[0], place[1] + by * way[1]


def _way(start: Vector, end: Vector) -> Vector:
    return end[0] - start[0], end[1] - start[1]


def _cross(a: Vector, b: Vector) -> float:
    return a[0] * b[1] - a[1] * b[0]
