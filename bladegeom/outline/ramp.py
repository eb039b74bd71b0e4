"""Where a level line begins to bend: the curvature grows over a ramp, so that light runs over it without a break."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray, Vector, curvature, join
from bladegeom.quantities.tolerances import JOINED

_LONGEST = 20.0
"""Length over which the curvature grows, mm; own choice by eye."""

_SHARE = 0.3
"""Half a ramp is at most this part of the bend, along the level: from 0.4 on what follows would bend back."""

_STRAIGHT = 1e-9
"""A bend that begins with no more than this curvature needs no ramp, 1/mm."""

_MIRRORED = ((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0))

_ROUNDS = 60
"""Halvings in the search for the ramp's curvature: more than a double has digits."""


def ramped(start: Vector, bend: Curve) -> Curve:
    """A level line that runs over a ramp of the curvature into about a given bend.

    The ramp lies half before and half behind the place where the bend begins; where the level before it is shorter
    than half a ramp, the ramp is shorter, and where there is none, there is no ramp. The curvature that it reaches is
    the one with which what follows is as full as the bend. The end is the bend's own.

    Args:
        start: First point, mm.
        bend: One piece that begins level, at the start or ahead of it, and bends to one side.
    """
    if bend.end[0] < bend.start[0]:
        return ramped((-start[0], start[1]), bend.transformed(_MIRRORED)).transformed(_MIRRORED)
    begin, first, control, end = bend.pieces[0]
    (bent,) = curvature(bend, 0.0)
    level = float(begin[0]) - start[0]
    length = min(_LONGEST, 2 * level, 2 * _SHARE * float(end[0] - begin[0]))
    if length <= JOINED:
        return bend
    if abs(bent) <= _STRAIGHT:
        return join(line(start, bend.start), bend)
    fullness = (first[0] - begin[0]) / _meet(begin, np.array([1.0, 0.0]), control, end)[0]
    low, high = 0.0, float(bent)
    while _is_fuller(_ramp(begin, length, high), control, end, fullness):
        low, high = high, 2 * high
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        if _is_fuller(_ramp(begin, length, middle), control, end, fullness):
            low = middle
        else:
            high = middle
    ramp = _ramp(begin, length, high)
    points, way = ramp.pieces[0], np.array(ramp.end_direction)
    arm, _ = _arm(ramp, control, end)
    tail = Curve(np.array([[points[3], points[3] + arm * way, control, end]]))
    if points[0, 0] - start[0] > JOINED:
        return join(line(start, ramp.start), ramp, tail)
    return join(Curve(np.array([[start, *points[1:]]])), tail)


def peaked(start: Vector, corner: Vector, end: Vector) -> Curve:
    """A corner between two lines rounded with one peak: the curvature grows from nought to its middle and falls again.

    Args:
        start: On the one line, mm.
        corner: Where both lines meet, mm; as far from the start as from the end.
        end: On the other line, mm.
    """
    p, c, q = np.array(start), np.array(corner), np.array(end)
    reach, half = float(np.hypot(*(c - p))), float(np.hypot(*(q - p))) / 2
    # An even ramp has its control points one and two thirds of the way along its line, from there a third to its end:
    # on a blunt corner, where half over reach is nearly 1. A sharper one peaks once if they lie farther from it.
    share = 1 / (2 + half / reach)
    near, far = c + share * (p - c), c + share * (q - c)
    middle = (near + far) / 2
    first = np.array([p, (p + near) / 2, near, middle])
    return Curve(np.array([first, [middle, far, (far + q) / 2, q]]))


def _ramp(begin: FloatArray, length: float, bent: float) -> Curve:
    """A cubic parabola about the beginning of a bend: the second derivative grows evenly from nought."""
    x, y = begin[0] - length / 2, begin[1]
    third = length / 3
    return Curve(np.array([[(x, y), (x + third, y), (x + 2 * third, y), (x + length, y + bent * length**2 / 6)]]))


def _is_fuller(ramp: Curve, control: FloatArray, end: FloatArray, fullness: float) -> bool:
    """Whether what follows a ramp with its curvature fills its corner more than it shall."""
    arm, room = _arm(ramp, control, end)
    return room > 0 and arm > fullness * room


def _arm(ramp: Curve, control: FloatArray, end: FloatArray) -> tuple[float, float]:
    """How far ahead of the ramp's end the next control point lies, and the corner of what follows; mm."""
    begin, way = np.array(ramp.end), np.array(ramp.end_direction)
    (bent,) = np.abs(curvature(ramp, 1.0))
    room, aside = _meet(begin, way, control, end)
    # A cubic's curvature at its start: 2/3 of the far control point's distance from the tangent, over the arm squared.
    return math.sqrt(2 / 3 * abs(aside) / float(bent)), room


def _meet(begin: FloatArray, way: FloatArray, control: FloatArray, end: FloatArray) -> tuple[float, float]:
    """How far along its way a tangent meets that of an end, and how far beside it the end's control point lies; mm."""
    out = end - control
    chord, aside = end - begin, control - begin
    room = (chord[0] * out[1] - chord[1] * out[0]) / (way[0] * out[1] - way[1] * out[0])
    return float(room), float(way[0] * aside[1] - way[1] * aside[0])
