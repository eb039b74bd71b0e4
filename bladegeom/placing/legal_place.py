"""The nearest place to which an opening can be moved so that it keeps all rules."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.scale_border import room_at, scale_lines
from bladegeom.handle.parts import bare_holes
from bladegeom.holes.clearance import behind_front
from bladegeom.holes.net_section import chords
from bladegeom.knife.hole import Hole, Opening, axis_points
from bladegeom.knife.knife import Knife
from bladegeom.placing.net_width import CELL, WidthLeft
from bladegeom.quantities.tolerances import CHORD

_RADII = np.arange(0.25, 40.0, 0.25)
_ROUND = np.radians(np.arange(0.0, 360.0, 5.0))
_AT_ONCE = 8
"""Rings of places are tried from the nearest outwards, some at a time; own choice: farther off is another design."""

_FINE = 0.02
"""From one upright line across the opening to the next, mm."""

_RESERVE = 2 * CHORD
"""Kept back because curves are measured as chords, mm."""


def nearest_legal(knife: Knife, index: int) -> Vector | None:
    """Centre of the nearest place, in hundredths of a mm, where an opening keeps the rules of steel and scales.

    Args:
        knife: All else stays where it is.
        index: Of the opening.
    """
    mover, opening = _Mover(knife, index), knife.openings[index]
    for start in range(0, len(_RADII), _AT_ONCE):
        radius = np.repeat(_RADII[start : start + _AT_ONCE], len(_ROUND))
        angle = np.tile(_ROUND, len(radius) // len(_ROUND))
        at = np.round(np.stack([opening.x + radius * np.cos(angle), opening.y + radius * np.sin(angle)], axis=1), 2)
        legal = at[mover.legal(at)]
        if len(legal):
            x, y = legal[np.hypot(*(legal - (opening.x, opening.y)).T).argmin()].tolist()
            return x, y
    return None


@dataclass(frozen=True, eq=False)
class _Mover:
    """An opening that is moved about."""

    knife: Knife
    index: int

    def legal(self, at: FloatArray) -> NDArray[np.bool_]:
        """Whether each place (n, 2) is one where all rules are kept, shape (n,)."""
        points = at[:, None, :] + self._axis
        x, y = points[..., 0].ravel(), points[..., 1].ravel()
        good = shapely.contains_xy(self.knife.outline.polygon, x, y)
        good &= behind_front(self.knife, points.reshape(-1, 2)) >= self._radius + self.knife.rules.clear_strip
        for line, least in self._lines:
            good[good] = line.distances(x[good], y[good]) >= least + _RESERVE
        whole = np.asarray(good.reshape(len(at), -1).all(axis=1))
        whole[whole] = self._apart(points[whole])
        whole[whole] = self._high_enough(at[whole])
        return whole

    @cached_property
    def _opening(self) -> Opening:
        return self.knife.openings[self.index]

    @property
    def _radius(self) -> float:
        return self._opening.diameter / 2

    @cached_property
    def _axis(self) -> FloatArray:
        """Places along its axis about the middle, shape (k, 2): one of a round hole, so dense of a slot."""
        ends = self._opening.axis - (self._opening.x, self._opening.y)
        share = np.linspace(0.0, 1.0, max(2, int(np.hypot(*(ends[1] - ends[0])) / 0.25)))[:, None]
        return ends[:1] if isinstance(self._opening, Hole) else ends[0] + share * (ends[1] - ends[0])

    @cached_property
    def _layers(self) -> LayerStack | None:
        """As a fastener in scales, if it is one."""
        fastens = self.index < len(self.knife.fasteners) and self.knife.scales is not None
        return LayerStack(self.knife, self.index) if fastens else None

    @cached_property
    def _lines(self) -> list[tuple[Polyline, float]]:
        """Lines, and how far its axis must stay from each, mm."""
        rules = self.knife.rules
        rim = self._radius + rules.least_rim(self.knife.stock.thickness)
        edge = rules.edge_distance(self._opening.diameter)
        lines = [(Polyline(flatten(self.knife.outline.loop, CHORD)), max(rim, edge))]
        if self._layers:
            lines += [(line.chords, room_at(self._layers, line).least) for line in scale_lines(self.knife)]
        return lines

    def _apart(self, points: FloatArray) -> NDArray[np.bool_]:
        """Whether it keeps its webs to the others, shape (n,)."""
        good = np.ones(len(points), dtype=bool)
        for other, least in self._others:
            axis = shapely.LineString(axis_points((other,))[0])
            apart = shapely.distance(shapely.points(points), axis).min(axis=1)
            good &= apart >= least + _RESERVE
        return good

    def _high_enough(self, at: FloatArray) -> NDArray[np.bool_]:
        """Whether the tang keeps its net width around places (n, 2), shape (n,)."""
        offset, lost = self._profile
        strip = np.rint((at[:, :1] + offset - self._width.x[0]) / CELL).astype(int)
        left = self._width.left[np.clip(strip, 0, len(self._width.left) - 1)]
        return np.asarray((lost <= left).all(axis=1))

    @cached_property
    def _profile(self) -> tuple[FloatArray, FloatArray]:
        """What the opening takes of upright lines at offsets along x from its middle, shape (k,) both, mm."""
        opening, ends = self._opening, self._opening.axis[:, 0]
        reach = np.abs(ends - opening.x).max() + self._radius
        lines = np.linspace(-reach, reach, 2 * math.ceil(reach / _FINE) + 1)
        offset = np.unique(np.concatenate([lines, ends - opening.x]))
        down, up = chords(opening.x + offset, (opening,))
        return offset, np.nan_to_num((up - down)[:, 0])

    @cached_property
    def _width(self) -> WidthLeft:
        return WidthLeft.of(self.knife, [opening for i, opening in enumerate(self.knife.openings) if i != self.index])

    @cached_property
    def _others(self) -> list[tuple[Opening, float]]:
        """Other openings, and how far from axis to axis they must be, in the steel and in the scales, mm."""
        web = self.knife.rules.least_web(self.knife.stock.thickness)
        others = [(i, opening) for i, opening in enumerate(self.knife.openings) if i != self.index]
        out: list[tuple[Opening, float]] = [
            (opening, self._radius + opening.diameter / 2 + web) for _, opening in others
        ]
        if self._layers:
            wide, bare = self._layers.widest / 2, bare_holes(self.knife)
            for i, opening in others:
                fastens = i < len(self.knife.fasteners)
                if fastens or any(opening is hole for hole in bare):
                    size = LayerStack(self.knife, i).widest if fastens else opening.diameter
                    out.append((opening, wide + size / 2 + self.knife.handle_rules.web))
        return out
