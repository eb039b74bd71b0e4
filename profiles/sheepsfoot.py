"""Sheepsfoot: a straight edge, and a spine that falls to it in one round; it slices and does not stab."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf, falling_nose
from bladegeom.outline.flow import straight_then_bend


@dataclass(frozen=True, kw_only=True)
class Sheepsfoot(BladeHalf):
    """Sheepsfoot blade half."""

    blade_length: float = usual.blade_length(80.0, 65.0, 130.0)
    height: float = usual.height(26.0, 24.0, 32.0)
    front_height: float = usual.front_height(21.0, 16.0, 22.5)
    heel: float = usual.ricasso(9.5, 8.0, 20.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    nose: float = usual.nose(1.4, 1.15, 1.8)
    tip_slope: float = usual.tip_slope(60.0, 52.0, 75.0)
    edge_rise: float = usual.edge_rise(1.2, 0.0, 3.0)
    edge_straight: float = usual.edge_straight(0.45, 0.0, 0.7)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.edge_rise - self.height

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=2.0)

    def _spine(self) -> Curve:
        return falling_nose(self._tip, height=self.height, nose=self.nose, tip_deg=self.tip_slope)
