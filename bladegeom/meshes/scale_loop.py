"""The border of a scale in chords, with corners where its roundings want them, and rows of places inside it.

A rounding is an arc across the border: rows of places at the same distances from the border, as many as the arc
needs, make triangles that lie along it. What lies farther inside, and where rows from different sides would meet,
is left open here.
"""

from __future__ import annotations

import bisect
import dataclasses
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.knife import Knife
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.knife.scales import Rounding
from bladegeom.solids.mesh import Corners

_ARC = 0.3
"""Of the tolerance, for the arcs of roundings: what their chords lack is given back to them."""

_UPRIGHT = 1e-9
"""Keeps the slope of a quarter circle a number at the border itself."""

_SAMPLES = 400
"""Places at which a line's distance from another is looked up."""

_CORNER = np.cos(np.radians(12.0))
"""Chords that turn by more than this meet in a corner: their surfaces in a crease; own choice."""


@dataclass(frozen=True, kw_only=True, eq=False)
class HandleLoop:
    """The border of the handle, counter-clockwise from the lower end of its front.

    Args:
        xy: Corners, shape (n, 2), mm.
        front: How many chords lie on the handle front: the first ones.
    """

    xy: FloatArray
    front: int

    @cached_property
    def smooth(self) -> npt.NDArray[np.bool_]:
        """Where the chords before and behind a corner stand for one curve, shape (n,)."""
        across = self.across
        smooth = (np.roll(across, 1, axis=0) * across).sum(axis=1) > _CORNER
        smooth[[0, self.front]] = False
        return np.asarray(smooth)

    @cached_property
    def across(self) -> FloatArray:
        """Unit vectors inwards, square to each chord, shape (n, 2)."""
        chord = np.roll(self.xy, -1, axis=0) - self.xy
        return np.asarray(np.stack([-chord[:, 1], chord[:, 0]], axis=1) / np.hypot(*chord.T)[:, None])

    @cached_property
    def inwards(self) -> FloatArray:
        """The same at both ends of each chord, square to the curve that the chords stand for, shape (n, 2, 2)."""
        middle = np.roll(self.across, 1, axis=0) + self.across
        middle /= np.hypot(*middle.T)[:, None]
        first = np.where(self.smooth[:, None], middle, self.across)
        last = np.where(np.roll(self.smooth, -1)[:, None], np.roll(middle, -1, axis=0), self.across)
        return np.stack([first, last], axis=1)


@dataclass(frozen=True, kw_only=True, eq=False)
class ScaleLoop(HandleLoop):
    """The border of a scale.

    Args:
        face: The scale's face, measured from these very chords.
        levels: Distances of the rows from the border along top, butt and underside, from 0 on, mm.
        front_levels: The same of the handle front.
        sag: How far rows, and the chords across them, may lie off the face, mm.
        lower: Corners at the lower end of the front: on the front at the levels of the border, and on the border at
            the levels of the front, the end itself first in both.
        upper: The same at the upper end.
    """

    face: ScaleFace
    levels: FloatArray
    front_levels: FloatArray
    sag: float
    lower: tuple[Corners, Corners]
    upper: tuple[Corners, Corners]


def scale_loop(knife: Knife, face: ScaleFace, tolerance: float) -> ScaleLoop:
    """The loop of a knife's scale.

    Args:
        knife: With scales.
        face: Of them.
        tolerance: Greatest distance of the whole mesh from the face, mm; chords and rows take a part of it.
    """
    chord, sag = tolerance / 4, _ARC * tolerance
    front, border = _lines(knife, chord)
    # Between corners at levels no others stay: they must follow the bend of the front.
    levels = _no_farther_than(_chords(front).max(), _levels(face.scales.roundings, sag))
    front_levels = _levels(face.scales.front_roundings, sag)
    face = ScaleFace(scales=face.scales, stock=face.stock, border=Polyline(border), front=Polyline(front))
    up, down, top = _at_levels(front, face.border, levels)
    ahead, back, _ = _at_levels(border, face.front, front_levels)
    front, at = _with_places(front, (up, down), top, chord / 2)
    # A place next to each end of the border: from there on rows are as long as the chords, before it they may be arcs.
    ends = [tolerance, _ways(border)[-1] - tolerance]
    further = np.concatenate([_at_stations(border, face, chord / 2), ends])
    border, at_border = _with_places(border, (ahead, back), further, chord / 2)
    n = len(front) + len(border) - 2
    at_border = [(len(front) - 1 + which) % n for which in at_border]
    # Measured from the corners that stayed.
    face = dataclasses.replace(face, border=Polyline(border), front=Polyline(front))
    return ScaleLoop(
        xy=np.concatenate([front[:-1], border[:-1]]),
        front=len(front) - 1,
        face=face,
        levels=levels,
        front_levels=front_levels,
        sag=sag,
        lower=(np.append(0, at[0]), np.append(0, at_border[1])),
        upper=(np.append(len(front) - 1, at[1]), np.append(len(front) - 1, at_border[0])),
    )


def handle_loop(knife: Knife, tolerance: float) -> HandleLoop:
    """The loop of a knife's handle, with corners at the stations of its taper."""
    front, border = _lines(knife, tolerance / 4)
    stations = np.array([x for x, _ in knife.stock.taper])
    border, _ = _with_places(border, (np.zeros(0), np.zeros(0)), _crossing(border, stations), tolerance / 8)
    return HandleLoop(xy=np.concatenate([front[:-1], border[:-1]]), front=len(front) - 1)


def _lines(knife: Knife, chord: float) -> tuple[FloatArray, FloatArray]:
    """The front upwards, and the rest of the border from its upper end on, as chords."""
    front = flatten(knife.handle_front.reversed(), chord)
    return front, flatten(Curve(knife.handle_loop.pieces[len(knife.handle_front) :]), chord)


def _levels(roundings: Sequence[Rounding], sag: float) -> FloatArray:
    """Distances from the border, from 0 to the widest width, between which arcs that add up are straight."""
    if not roundings:
        return np.zeros(1)
    way = np.linspace(1.0, 0.0, _SAMPLES)
    angles = (np.arcsin(min(arc.width / arc.radius, 1.0)) for arc in roundings)
    ends = (arc.width - arc.radius * np.sin(angle * way) for arc, angle in zip(roundings, angles, strict=True))
    away = np.unique(np.maximum(np.concatenate(list(ends)), 0.0))
    drop = np.sum([np.maximum(arc.drop(away), 0.0) for arc in roundings], axis=0)
    turn = np.abs(np.diff(np.arctan(steepness(away, roundings))))
    # A chord of the length s over a turn t has a sag of s t / 8.
    needed = np.sqrt(turn * np.hypot(np.diff(away), np.diff(drop)) / (8 * sag))
    count = np.concatenate([[0.0], np.cumsum(needed)])
    return np.asarray(np.interp(np.linspace(0.0, count[-1], math.ceil(count[-1]) + 1), count, away))


def _no_farther_than(most: float, levels: FloatArray) -> FloatArray:
    """The same with further ones between those that are more than so far apart, mm."""
    parts = np.ceil(np.diff(levels) / most).astype(int)
    found = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(levels[:-1], levels[1:], parts, strict=True)]
    return np.concatenate([*found, levels[-1:]])


def _chords(line: FloatArray) -> FloatArray:
    """Lengths of a line's chords, mm."""
    return np.asarray(np.hypot(*np.diff(line, axis=0).T))


def steepness(away: FloatArray, roundings: Sequence[Rounding]) -> FloatArray:
    """By how much the face rises per mm away from a border, at distances from it, shape (n,)."""
    out = np.zeros(len(away))
    for arc in roundings:
        left = np.clip(arc.width - away, 0.0, arc.width)
        out += left / np.sqrt(np.maximum(arc.radius**2 - left**2, _UPRIGHT))
    return out


def _ways(line: FloatArray) -> FloatArray:
    """Length of a line from its start to each corner, mm."""
    return np.concatenate([[0.0], np.cumsum(_chords(line))])


def _at(line: FloatArray, way: FloatArray) -> FloatArray:
    along = _ways(line)
    return np.stack([np.interp(way, along, line[:, 0]), np.interp(way, along, line[:, 1])], axis=1)


def _at_levels(line: FloatArray, other: Polyline, levels: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Ways along a line to where it is as far from another line as each level but the first.

    Returns:
        From its start, and from its end; and to where it is farthest away, if it stays nearer than the last level.
    """
    long = _ways(line)[-1]
    found = []
    for first, last in ((0.0, long), (long, 0.0)):
        # Squared, so that places stand close at the end where the other line is near.
        way = first + (last - first) * np.linspace(0.0, 1.0, _SAMPLES) ** 2
        away = other.distances(*_at(line, way).T)
        top = int(away.argmax())
        away = np.maximum.accumulate(away[: top + 1])
        found.append(np.interp(levels[1:][levels[1:] < away[-1]], away, way[: top + 1]))
    return found[0], found[1], way[top : top + 1] if levels[-1] >= away[-1] else np.zeros(0)


def _at_stations(line: FloatArray, face: ScaleFace, sag: float) -> FloatArray:
    """Ways along a line to the stations of the taper, and on chords along which the swell bends more than a sag."""
    found = [_crossing(line, np.array([x for x, _ in face.stock.taper]))]
    if face.scales.swell:
        x = np.linspace(line[:, 0].min(), line[:, 0].max(), _SAMPLES)
        bend = np.abs(np.diff(face.scales.flat(x), 2)).max() / (x[1] - x[0]) ** 2
        parts = np.ceil(np.abs(np.diff(line[:, 0])) * np.sqrt(bend / (8 * sag)))
        along = _ways(line)
        for i in np.flatnonzero(parts > 1).tolist():
            found += [np.linspace(along[i], along[i + 1], int(parts[i]) + 1)[1:-1]]
    return np.concatenate(found)


def _crossing(line: FloatArray, stations: FloatArray) -> FloatArray:
    """Ways along a line to stations along x."""
    along = _ways(line)
    found = [np.zeros(0)]
    for (a, b), (s, t) in zip(itertools.pairwise(line[:, 0]), itertools.pairwise(along), strict=True):
        inner = stations[(stations > min(a, b)) & (stations < max(a, b))]
        if len(inner):
            found.append(s + (t - s) * (inner - a) / (b - a))  # one line would be no clearer
    return np.concatenate(found)


def _with_places(
    line: FloatArray, levels: Sequence[FloatArray], further: FloatArray, apart: float
) -> tuple[FloatArray, list[Corners]]:
    """A line with further corners on its chords, none too near to another.

    Args:
        line: Its corners.
        levels: Ways to the corners at levels, from its start and from its end: between these no others stay.
        further: Ways to more corners.
        apart: Least distance between two of the rest, mm.

    Returns:
        The corners, and which of them are at the levels.
    """
    along = _ways(line)
    first, last = (way.max(initial=0.0) for way in (levels[0], along[-1] - levels[1]))
    kept = along[(along > first + apart) & (along < along[-1] - last - apart)]
    merged = sorted({0.0, along[-1], *kept.tolist(), *levels[0].tolist(), *levels[1].tolist()})
    for way in further.tolist():
        at = bisect.bisect(merged, way)
        alone = way - merged[at - 1] > apart and (at == len(merged) or merged[at] - way > apart)
        if alone and first < way < along[-1] - last:
            merged.insert(at, way)
    return _at(line, np.array(merged)), [np.searchsorted(merged, way) for way in levels]
