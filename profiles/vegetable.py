"""Vegetable knife: a straight edge that meets the whole board at once, and a tall front with a round upper corner."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf, falling_nose
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.starting_sizes import KITCHEN, StartingSizes


@dataclass(frozen=True, kw_only=True)
class Vegetable(BladeHalf):
    """Vegetable knife's blade half.

    Source:
        Of the lengths and heights, 160 to 180 by 48 to 55 mm: common practice, no source.
    """

    blade_length: float = usual.blade_length(168.0, 160.0, 180.0)
    height: float = usual.height(51.0, 48.0, 55.0)
    front_height: float = usual.front_height(21.0, 15.0, 26.0)
    heel: float = usual.neck(20.0, 17.0, 32.0)
    choil_radius: float = usual.neck_radius(12.0, 4.0, 13.0)
    nose: float = usual.nose(0.85, 0.7, 1.2)
    tip_slope: float = usual.tip_slope(80.0, 72.0, 88.0)
    edge_rise: float = usual.edge_rise(2.5, 1.0, 5.0)
    edge_straight: float = usual.edge_straight(0.55, 0.3, 0.75)

    underside_slope_deg: ClassVar[float] = -2.0
    starting_sizes: ClassVar[StartingSizes] = replace(KITCHEN, bevel_height=42.0)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.edge_rise - self.height

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=2.0)

    def _spine(self) -> Curve:
        return falling_nose(self._tip, height=self.height, nose=self.nose, tip_deg=self.tip_slope)
