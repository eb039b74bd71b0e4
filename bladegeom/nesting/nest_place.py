"""One blank after another onto one piece of stock, each as far to the left as it goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.nesting.nest_clear import around, too_near
from bladegeom.nesting.nest_stock import Blank, StockPiece, laid, turn

SLACK: Final = 1e-6
"""By so much a place may miss the spacing and the margin, so that a gap that fits exactly is found, mm."""

_SAME = 1e-3
"""Places that differ by less reach equally far, mm."""


@dataclass(frozen=True, kw_only=True)
class LaidBlank:
    """A blank in one of the ways in which it may lie.

    Args:
        blank: Which of the blanks.
        angle_deg: By how much it is turned, counter-clockwise.
        flipped: Whether it is turned over about its long axis before.
        loop: The outline so, its lower left corner at the origin.
        matrix: From the blank's own frame to that, shape (2, 3).
    """

    blank: int
    angle_deg: float
    flipped: bool
    loop: Curve
    matrix: FloatArray

    @cached_property
    def size(self) -> tuple[float, float]:
        """Length and width of the box around it, mm; exact."""
        x0, y0, x1, y1 = bounding_box(self.loop.pieces)
        return x1 - x0, y1 - y0

    @cached_property
    def around(self) -> Polygon:
        """A polygon of few corners that holds it."""
        return around(self.loop)


@dataclass(frozen=True, kw_only=True)
class NestPlace:
    """Where a blank lies on its piece of stock.

    Args:
        lying: The blank and how it is turned.
        x: Left end, mm.
        y: Lower border, mm.
    """

    lying: LaidBlank
    x: float
    y: float

    @property
    def right(self) -> float:
        """Right end, mm."""
        return self.x + self.lying.size[0]

    @property
    def loop(self) -> Curve:
        """The outline there."""
        return self.lying.loop.moved(self.x, self.y)

    @property
    def matrix(self) -> FloatArray:
        """From the blank's own frame to its place, shape (2, 3)."""
        return np.asarray(self.lying.matrix + np.array([[0.0, 0.0, self.x], [0.0, 0.0, self.y]]))


@dataclass(frozen=True, kw_only=True)
class Layout:
    """What a nest is held to: the stock, what is kept free, and the ways in which each blank may lie.

    Two shifts of the same pair of ways are worked out once.
    """

    stock: StockPiece
    spacing: float
    margin: float
    ways: tuple[LaidBlank, ...]
    _known: dict[tuple[int, int], BaseGeometry] = field(default_factory=dict, repr=False)

    def ways_of(self, blank: int) -> list[int]:
        """Indices of the ways of a blank that the stock has room for at all."""
        return [i for i, way in enumerate(self.ways) if way.blank == blank and self.room(i) is not None]

    def room(self, way: int) -> tuple[float, float, float, float] | None:
        """Box of the places where the margin holds: least x, least y, greatest x, greatest y, mm; None without any."""
        length, width = self.ways[way].size
        right, top = self.stock.length - self.margin - length, self.stock.width - self.margin - width
        if min(right, top) < self.margin - SLACK:
            return None
        return self.margin, self.margin, max(right, self.margin), max(top, self.margin)

    def too_near(self, fixed: int, other: int) -> BaseGeometry:
        """Shifts of one way against another that break the spacing."""
        if (fixed, other) not in self._known:
            a, b = self.ways[fixed].around, self.ways[other].around
            self._known[fixed, other] = too_near(a, b, self.spacing).buffer(-SLACK, join_style="mitre")
        return self._known[fixed, other]


def layout(
    blanks: Sequence[Blank], stock: StockPiece, *, spacing: float, margin: float, any_grain: bool, flip: bool
) -> Layout:
    """All ways in which blanks may lie; those of the same shape as an earlier one of the same blank are left out."""
    angles = (0.0, 180.0, 90.0, 270.0) if any_grain else (0.0, 180.0)
    ways: list[LaidBlank] = []
    for i, blank in enumerate(blanks):
        for flipped in (False, True) if flip else (False,):
            for angle in angles:
                loop, matrix = laid(blank.loop, turn(angle, flipped=flipped))
                way = LaidBlank(blank=i, angle_deg=angle, flipped=flipped, loop=loop, matrix=matrix)
                if not any(
                    lying.blank == i and lying.around.equals_exact(way.around, 1e-9, normalize=True) for lying in ways
                ):
                    ways.append(way)
    return Layout(stock=stock, spacing=spacing, margin=margin, ways=tuple(ways))


class Filling:
    """One piece of stock while it is being filled."""

    def __init__(self, rules: Layout, *, upwards: bool) -> None:
        self.rules = rules
        self.places: list[NestPlace] = []
        self._upwards = upwards
        self._indices: list[int] = []
        self._taken: dict[int, tuple[int, BaseGeometry]] = {}

    def add(self, ways: Sequence[int]) -> bool:
        """Place a blank in that of its ways which lets it end farthest to the left; False where there is no room."""
        found = [(way, place) for way in ways if (place := self._leftmost(way)) is not None]
        if not found:
            return False
        way, place = min(found, key=lambda tried: self._rank(tried[1].right, tried[1].y))
        self.places.append(place)
        self._indices.append(way)
        return True

    def _rank(self, right: float, y: float) -> tuple[int, float]:
        return round(right / _SAME), y if self._upwards else -y

    def _leftmost(self, way: int) -> NestPlace | None:
        room = self.rules.room(way)
        if room is None:
            return None
        x0, y0, x1, y1 = room
        box = shapely.box(x0 - SLACK, y0 - SLACK, x1 + SLACK, y1 + SLACK)
        corners = shapely.get_coordinates(box.difference(self._taken_for(way)))
        if not len(corners):
            return None
        x, y = np.clip(corners[:, 0], x0, x1), np.clip(corners[:, 1], y0, y1)
        best = np.lexsort((y if self._upwards else -y, np.round(x / _SAME)))[0]
        return NestPlace(lying=self.rules.ways[way], x=float(x[best]), y=float(y[best]))

    def _taken_for(self, way: int) -> BaseGeometry:
        """Places that what lies there already takes from a way; only what is new is added to what was known before."""
        count, taken = self._taken.get(way, (0, Polygon()))
        new = [
            translate(self.rules.too_near(index, way), place.x, place.y)
            for index, place in zip(self._indices[count:], self.places[count:], strict=True)
        ]
        if new:
            taken = shapely.union_all([taken, *new])
            self._taken[way] = (len(self.places), taken)
        return taken
