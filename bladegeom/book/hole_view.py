"""The tang on the straightedge and the square that holes are told from, as large as a page is wide."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import shapely

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import CENTRE_PEN, CUT_PEN, THIN_PEN, Circle, Item, Label, Path
from bladegeom.drawing.type_sizes import FINISHED_PEN, TEXT
from bladegeom.drilling.card import DrillCard, DrilledPlace
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.tolerances import CHORD

BEYOND: Final = 3.0
"""By how much straightedge and square reach beyond the outline, mm on paper."""

CORNER: Final = text_width("straightedge", TEXT) + 2.0
"""Width of the corner of the view in which the straightedge is named, mm on paper."""

_AHEAD: Final = 5.0
"""Steel that is drawn ahead of the handle front, mm."""

_LARGEST: Final = 2.5
_HIGHEST: Final = 44.0
"""Scale of the view, and its height, mm on paper, at most."""

_CROSS: Final = 1.2
"""By how much a centre's cross reaches beyond the rim, mm on paper."""

_STEP: Final = 20
"""Scales go in steps of a twentieth."""


@dataclass(frozen=True, eq=False)
class HoleView:
    """The steel seen from the right-hand face; the corner of straightedge and square at the origin, mm on paper.

    Args:
        card: What is drilled.
        width: Of the page between its borders, mm.
    """

    card: DrillCard
    width: float

    @property
    def up(self) -> float:
        """1 where the steel lies over the straightedge, -1 where it lies under it."""
        return -1.0 if self.card.datum.side == "spine" else 1.0

    @cached_property
    def scale(self) -> float:
        """Of the view."""
        paper, last = self.width - 2 * BEYOND, max(place.along for place in self.card.places)
        tall = float(self._true[:, 1].max())
        least = min(paper / self._wanted, (paper - CORNER) / last, _HIGHEST / tall, _LARGEST)
        return max(1.0, math.floor(least * _STEP)) / _STEP

    @cached_property
    def _true(self) -> FloatArray:
        """The outline told from straightedge and square, shape (n, 2), mm."""
        return np.array(
            [self.card.datum.measure(*place) for place in flatten(self.card.knife.outline.loop, 0.1).tolist()]
        )

    @cached_property
    def _wanted(self) -> float:
        """From the square to the handle front and a little beyond, mm."""
        front = flatten(self.card.knife.handle_front, 0.1).tolist()
        return min(max(self.card.datum.measure(*place)[0] for place in front) + _AHEAD, float(self._true[:, 0].max()))

    @property
    def right(self) -> float:
        """Where the view ends, mm on paper."""
        return min(self.width - 2 * BEYOND, self.scale * float(self._true[:, 0].max()))

    @property
    def tall(self) -> float:
        """How far the drawn steel reaches from the straightedge, mm on paper."""
        drawn = self._true[self._true[:, 0] * self.scale <= self.right + 1.0]
        return float(drawn[:, 1].max()) * self.scale

    @cached_property
    def matrix(self) -> list[list[float]]:
        """A turn, a shift and the scale: the straightedge lies along x, nothing is mirrored."""
        (dx, dy), (cx, cy), by = self.card.datum.along, self.card.datum.corner, self.scale
        return [[by * dx, by * dy, -by * (cx * dx + cy * dy)], [-by * dy, by * dx, by * (cx * dy - cy * dx)]]

    @property
    def touches_beyond(self) -> int:
        """How many of the straightedge's two touches the drawing does not reach."""
        return sum(touch * self.scale > self.width - 2 * BEYOND for touch in self.card.datum.touches)

    def at(self, place: DrilledPlace) -> Vector:
        """A hole's centre, mm on paper."""
        return self.scale * place.along, self.scale * place.off * self.up

    def items(self) -> Iterator[Item]:
        """Outline, handle front, holes, straightedge and square."""
        yield from self._outline()
        yield Path(layer="NOTE", curve=self.card.knife.handle_front.transformed(self.matrix), pen=THIN_PEN)
        end, up = self.width - 2 * BEYOND, self.up
        yield Path(layer="NOTE", curve=line((-BEYOND, 0.0), (end, 0.0)), pen=CENTRE_PEN)
        yield Path(layer="NOTE", curve=line((0.0, -up * BEYOND), (0.0, up * (self.tall + BEYOND))), pen=CENTRE_PEN)
        for touch in self.card.datum.touches[: 2 - self.touches_beyond]:
            yield Circle(layer="NOTE", x=touch * self.scale, y=0.0, radius=0.6, filled=True)
        yield from self._holes()
        low = -1.0 - TEXT if up > 0 else 1.0
        yield Label(layer="NOTE", x=end, y=low, text="straightedge", height=TEXT, anchor="end")

    def _outline(self) -> Iterator[Path]:
        loop = self.card.knife.outline.loop.transformed(self.matrix)
        if self.right >= self.scale * float(self._true[:, 0].max()):
            yield Path(layer="NOTE", curve=loop, closed=True, pen=FINISHED_PEN)
            return
        ring = shapely.LineString(flatten(loop, CHORD))
        x0, y0, _, y1 = ring.bounds
        kept = shapely.line_merge(ring.intersection(shapely.box(x0 - 1.0, y0 - 1.0, self.right, y1 + 1.0)))
        for part in shapely.get_parts(kept):
            yield Path(layer="NOTE", curve=_line(shapely.get_coordinates(part)), pen=FINISHED_PEN)
        cut = shapely.Polygon(ring).intersection(shapely.LineString([(self.right, y0), (self.right, y1)]))
        _, low, _, high = cut.bounds
        yield Path(layer="NOTE", curve=_broken(self.right, low, high), pen=THIN_PEN)

    def _holes(self) -> Iterator[Item]:
        for opening in self.card.knife.openings:
            yield Path(layer="NOTE", curve=opening.outline.transformed(self.matrix), closed=True, pen=CUT_PEN)
        for place in self.card.places:
            (x, y), arm = self.at(place), self.scale * place.diameter / 2 + _CROSS
            yield Path(layer="NOTE", curve=line((x - arm, y), (x + arm, y)), pen=THIN_PEN)
            yield Path(layer="NOTE", curve=line((x, y - arm), (x, y + arm)), pen=THIN_PEN)


def _line(places: FloatArray) -> Curve:
    return line(*((float(x), float(y)) for x, y in places))


def _broken(x: float, low: float, high: float) -> Curve:
    """A line with a kink in its middle: the steel goes on."""
    middle, kink = (low + high) / 2, min(2.0, (high - low) / 6)
    return line(
        (x, low),
        (x, middle - kink),
        (x - kink, middle - kink / 3),
        (x + kink, middle + kink / 3),
        (x, middle + kink),
        (x, high),
    )
