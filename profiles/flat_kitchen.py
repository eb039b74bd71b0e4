"""Flat kitchen knife: a long flat edge for push cuts, and a spine that comes down to a low tip in a wide round."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf, falling_nose
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.starting_sizes import KITCHEN, StartingSizes


@dataclass(frozen=True, kw_only=True)
class FlatKitchen(BladeHalf):
    """Flat kitchen blade half."""

    blade_length: float = usual.blade_length(172.0, 130.0, 220.0)
    height: float = usual.height(46.0, 38.0, 54.0)
    front_height: float = usual.front_height(21.0, 15.0, 26.0)
    heel: float = usual.neck(19.0, 16.0, 36.0)
    choil_radius: float = usual.neck_radius(12.0, 4.0, 13.0)
    nose: float = usual.nose(1.7, 1.35, 2.1)
    tip_slope: float = usual.tip_slope(50.0, 44.0, 62.0)
    edge_rise: float = usual.edge_rise(9.0, 4.0, 13.0)
    edge_straight: float = usual.edge_straight(0.3, 0.0, 0.6)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    starting_sizes: ClassVar[StartingSizes] = replace(KITCHEN, bevel_height=38.0)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.edge_rise - self.height

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=self.belly)

    def _spine(self) -> Curve:
        return falling_nose(self._tip, height=self.height, nose=self.nose, tip_deg=self.tip_slope)
