"""Numbered marks on the side view, one at the place of each finding, its severity told by its shape."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.curves.curve import Vector
from bladegeom.drawing.drawing import THIN_PEN, Circle, Item, Label, Path, Pen
from bladegeom.drawing.label_placement import ink
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife

RADIUS = 2.6
"""Of a mark, mm."""

_TEXT = 2.5
_RIM = Pen(width=0.35)

_FREE = 0.7
"""Between a mark and anything else, mm."""

_OUT = np.arange(7.0, 80.0, 2.5)
_WAYS = np.radians([90, 75, 105, 60, 120, 45, 135, 30, 150, 15, 165, 0, 180, -45, -135, -60, -120, -75, -105, -90])
"""Distances and directions in which a mark is tried from its place: the nearest first, mm; upwards first."""

_TRIED = np.concatenate([out * np.stack([np.cos(_WAYS), np.sin(_WAYS)], axis=1) for out in _OUT])

_CORNERS = {"error": 4, "warning": 3}
"""A square for an error, a triangle for a warning, a circle for a note."""


_WITHIN = 0.05
"""At its very ends the steel has no height: it is measured so far within them, mm."""


@dataclass(frozen=True, kw_only=True)
class FindingMark:
    """A finding's mark.

    Args:
        number: Of the finding, from 1.
        severity: Of the finding.
        items: Leader, dot, shape and number, design frame.
    """

    number: int
    severity: Severity
    items: tuple[Item, ...]


def finding_marks(knife: Knife, findings: Sequence[Finding], drawn: Sequence[Item]) -> Iterator[FindingMark]:
    """A mark for each finding that has a place, clear of what is drawn and of each other.

    Args:
        knife: The design.
        findings: All of them, in the order in which they are numbered.
        drawn: What the marks keep clear of, design frame.
    """
    inks = [ink(item) for item in drawn]
    words = [ink(item) for item in drawn if isinstance(item, Label)]
    for number, finding in enumerate(findings, start=1):
        if finding.x is None:
            continue
        place = (finding.x, middle_height(knife, finding.x) if finding.y is None else finding.y)
        centre = _clear(place, shapely.union_all(inks), shapely.union_all(words))
        leader = LineString([place, centre])
        inks += [leader, Point(centre).buffer(RADIUS + _FREE)]
        words += inks[-2:]
        yield FindingMark(
            number=number, severity=finding.severity, items=tuple(_mark(place, centre, number, finding.severity))
        )


def middle_height(knife: Knife, x: float) -> float:
    """Half way up the steel, at its nearer end where there is none: there a finding that has no height is marked."""
    x0, _, x1, _ = knife.outline.bounds
    upper, lower = knife.outline.tang_height(np.clip([x], x0 + _WITHIN, x1 - _WITHIN))
    return float(upper[0] + lower[0]) / 2


def _clear(place: Vector, taken: BaseGeometry, words: BaseGeometry) -> Vector:
    """The nearest centre whose mark is clear and whose leader crosses no words; else the nearest that is clear."""
    shapely.prepare(taken)
    shapely.prepare(words)
    centres = np.array(place) + _TRIED
    clear = ~shapely.intersects(taken, shapely.buffer(shapely.points(centres), RADIUS + _FREE))
    leaders = shapely.linestrings(np.stack([np.broadcast_to(place, centres.shape), centres], axis=1))
    best = clear & ~shapely.intersects(words, leaders)
    x, y = centres[int((best if best.any() else clear).argmax())].tolist()
    return x, y


def _mark(place: Vector, centre: Vector, number: int, severity: Severity) -> Iterator[Item]:
    (x, y), (cx, cy) = place, centre
    away = math.dist(place, centre)
    near = (cx + RADIUS * (x - cx) / away, cy + RADIUS * (y - cy) / away)
    yield Path(layer="NOTE", curve=line(place, near), pen=THIN_PEN)
    yield Circle(layer="NOTE", x=x, y=y, radius=0.45, pen=THIN_PEN, filled=True)
    yield _shape(cx, cy, severity)
    low = 0.36 * _TEXT if severity != "warning" else 0.5 * _TEXT
    yield Label(layer="NOTE", x=cx, y=cy - low, text=str(number), height=_TEXT * 0.8, anchor="middle", bold=True)


def _shape(x: float, y: float, severity: Severity) -> Item:
    corners = _CORNERS.get(severity)
    if corners is None:
        return Circle(layer="NOTE", x=x, y=y, radius=RADIUS, pen=_RIM)
    # So large that the shape holds the number as well as the circle does.
    reach, first = RADIUS * (1.15 if corners == 4 else 1.3), 45.0 if corners == 4 else 90.0
    turns = [math.radians(first + 360.0 * i / corners) for i in range(corners)]
    ring = [(x + reach * math.cos(t), y + reach * math.sin(t)) for t in turns]
    return Path(layer="NOTE", curve=line(*ring, ring[0]), closed=True, pen=_RIM)
