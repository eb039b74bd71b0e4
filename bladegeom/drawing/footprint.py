"""What a drawing covers on a page, at whatever turn: its hull, and its border with the bays that stay free."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray, rotation
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import Drawing, Item, Path
from bladegeom.drawing.label_placement import ink
from bladegeom.drawing.ruler import MARGIN
from bladegeom.quantities.papers import Paper

_CHORD = 0.002
"""How true the border is of which the page must hold every point, mm."""

_COARSE = 0.1
"""How true the border is that keeps off the texts, mm."""

_TURNS = np.linspace(-90.0, 90.0, 1801)
"""Turns that are tried, degrees: a step of 0.1 costs a piece of 300 mm 0.15 mm of its length at most."""

_WHOLE_DEG = 10
"""Every tenth turn is a whole degree: those are tried alone where there are any."""


class Footprint:
    """What a drawing covers: bays stay free, what lies within a closed line does not."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self._turned: dict[tuple[float, bool], BaseGeometry] = {}

    @cached_property
    def solid(self) -> BaseGeometry:
        """Everything that is drawn, closed lines with what lies within them."""
        return shapely.union_all([_solid(item) for item in self.drawing.items])

    @cached_property
    def around(self) -> BaseGeometry:
        """The hull of everything that is drawn."""
        paths = [item for item in self.drawing.items if isinstance(item, Path)]
        rest = tuple(item for item in self.drawing.items if not isinstance(item, Path))
        ends = [path.curve.pieces[:, ::3].reshape(-1, 2) for path in paths]
        known = np.concatenate([*ends, *([Drawing(name="", items=rest).points] if rest else [])])
        fine = [flatten(path.curve, _CHORD) for path in _reaching_out(paths, _hull(known))]
        return _hull(np.concatenate([*fine, known]))

    @cached_property
    def hull(self) -> FloatArray:
        """Its corners, shape (n, 2), mm."""
        return shapely.get_coordinates(self.around)

    def turned_hull(self, angle_deg: float) -> FloatArray:
        """The corners, turned."""
        return np.asarray(self.hull @ rotation(angle_deg)[:, :2].T)

    def turned(self, angle_deg: float, *, snug: bool) -> BaseGeometry:
        """Its hull, or what it covers where something else may stand in a bay of it, turned."""
        key = angle_deg, snug
        if key not in self._turned:
            shape, turn = self.solid if snug else self.around, rotation(angle_deg)[:, :2].T
            self._turned[key] = shapely.simplify(shapely.transform(shape, lambda xy: xy @ turn), _COARSE)
        return self._turned[key]

    @cached_property
    def _spans(self) -> FloatArray:
        """Width and height of what it covers at every turn that is tried, shape (turns, 2), mm."""
        cos, sin = np.cos(np.radians(_TURNS)), np.sin(np.radians(_TURNS))
        x, y = self.hull[:, :1], self.hull[:, 1:]
        return np.stack([np.ptp(x * cos - y * sin, axis=0), np.ptp(x * sin + y * cos, axis=0)], axis=1)

    def lies(self, width: float, height: float) -> bool:
        """Whether the printable area of a page holds it as it is."""
        return bool((np.ptp(self.hull, axis=0) <= np.array([width, height]) - 2 * MARGIN - _CHORD).all())

    def fits(self, paper: Paper) -> bool:
        """Whether the printable area holds it at some turn, if nothing else stood on the page."""
        sizes = (paper.height, paper.width), (paper.width, paper.height)
        return any(self.turns(*size, sign) for size in sizes for sign in (1.0, -1.0))

    def turns(self, width: float, height: float, sign: float) -> list[float]:
        """Turns to one side at which the printable area holds it, the least first, degrees."""
        # The border's chords may lie a little inside it.
        fits = (self._spans <= np.array([width, height]) - 2 * MARGIN - _CHORD).all(axis=1) & (sign * _TURNS >= 0.0)
        whole = fits & (np.arange(len(fits)) % _WHOLE_DEG == 0)
        found = _TURNS[whole if whole.any() else fits]
        return [float(angle) for angle in found[np.argsort(np.abs(found), kind="stable")]]


def _hull(points: FloatArray) -> BaseGeometry:
    # A line through them is made in a hundredth of the time of as many points.
    return shapely.convex_hull(shapely.LineString(points))


def _reaching_out(paths: Sequence[Path], hull: BaseGeometry) -> list[Path]:
    """Those that may lie outside of a hull in part: what their control points do not show to lie within."""
    if not paths:
        return []
    controls = [path.curve.pieces.reshape(-1, 2) for path in paths]
    shapely.prepare(hull)
    inside = shapely.contains_xy(hull, *np.concatenate(controls).T)
    first = np.cumsum([0, *map(len, controls[:-1])])
    within = np.logical_and.reduceat(inside, first)
    return [path for path, held in zip(paths, within.tolist(), strict=True) if not held]


def _solid(item: Item) -> BaseGeometry:
    if isinstance(item, Path) and item.closed:
        return Polygon(flatten(item.curve, _COARSE)).buffer(0.0)
    return ink(item)
