"""A closed line with a maker's landmarks found on it, by place or by distance behind the tip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray, Vector, directions
from bladegeom.curves.curve import points as xy
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.curves.meet import along_line, nearest
from bladegeom.outline.landmarks import Landmarks, Place
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_length

NEAR = 3.0
"""A landmark given as a point lies no farther from the line, mm; a corner so near is taken for the one meant."""

_CORNER_DEG = 25.0
"""A turn of more is a corner when one is looked for; own choice."""


@dataclass(frozen=True)
class MarkedLoop:
    """A loop laid level, counter-clockwise, with the places of its marks on it."""

    loop: Curve
    marks: Landmarks

    @property
    def tip(self) -> float:
        """Place of the tip: the mark, else the sharpest corner near the foremost place, else that place."""
        if self.marks.tip is not None:
            return self.at_point("tip", self.marks.tip)
        ends = self.loop.pieces[:, 0]
        ahead = float(xy(self.loop, self._foremost())[0, 0]) - NEAR
        turn = np.where(ends[:, 0] >= ahead, _turns(self.loop), 0.0)
        i = int(turn.argmax())
        return float(i) if turn[i] > _CORNER_DEG else self._foremost()

    def _foremost(self) -> float:
        points, index, u = flatten_pieces(self.loop.pieces, CHORD)
        i = int(points[:, 0].argmax())
        return float(index[i] + u[i])

    def at_point(self, name: str, point: Vector) -> float:
        """Place on the loop nearest to a point, or the corner close to there that must be meant."""
        near = nearest(self.loop, point)
        if near.distance[0] > NEAR:
            raise ParameterError(
                f"landmarks: {name}",
                f"({point[0]:.4g}, {point[1]:.4g})",
                f"lie on the line: the nearest place is {show_length(float(near.distance[0]))} away",
            )
        return float(near.t[0])

    def behind_tip(self, name: str, distance: float, *, upper: bool) -> float:
        """Place on the upper or lower border so far behind the tip."""
        tip_x = float(xy(self.loop, self.tip)[0, 0])
        heights = along_line(self.loop, (tip_x - distance, 0.0), 90.0)
        if distance <= 0 or not len(heights):
            reach = tip_x - float(self.loop.pieces[..., 0].min())
            must = f"be more than 0 mm and less than the knife is long behind its tip, {show_length(reach)}"
            raise ParameterError(f"landmarks: {name}", f"{distance:g} mm", must)
        y = float(heights[-1 if upper else 0])
        return float(nearest(self.loop, (tip_x - distance, y)).t[0])

    @property
    def heel(self) -> float:
        """Place of the heel: the corner close to the mark if there is one, the lowest if the mark is a distance."""
        ends, where = self.loop.pieces[:, 0], self.marks.heel
        corner = np.abs(_turns(self.loop)) > _CORNER_DEG
        if isinstance(where, tuple):
            away = np.hypot(*(ends - np.asarray(where)).T)
            rank = away
        else:
            away = np.abs(ends[:, 0] - (float(xy(self.loop, self.tip)[0, 0]) - where))
            rank = ends[:, 1]
        rank = np.where(corner & (away <= NEAR), rank, np.inf)
        i = int(rank.argmin())
        return float(i) if rank[i] < np.inf else self.place("heel", where, upper=False)

    def place(self, name: str, where: Place, *, upper: bool) -> float:
        """Place on the loop of a mark that is given as a point or as a distance."""
        if isinstance(where, tuple):
            return self.at_point(name, where)
        return self.behind_tip(name, where, upper=upper)


def _turns(loop: Curve) -> FloatArray:
    """How far a closed chain turns left at the start of each piece, degrees, shape (k,)."""
    starts = np.arange(len(loop), dtype=np.float64)
    # A hair before its end, for at the end itself the next piece begins.
    a, b = np.roll(directions(loop, starts + (1.0 - 1e-9)), 1, axis=0), directions(loop, starts)
    return np.asarray(np.degrees(np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1))))
