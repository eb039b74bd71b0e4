"""Wharncliffe: a straight edge, and a spine that slopes down to it in one long slow curve to a fine tip."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.parameter import parameter


@dataclass(frozen=True, kw_only=True)
class Wharncliffe(BladeHalf):
    """Wharncliffe blade half."""

    blade_length: float = usual.blade_length(85.0, 55.0, 130.0)
    height: float = usual.height(25.0, 22.0, 34.0)
    front_height: float = usual.front_height(20.0, 15.0, 21.0)
    heel: float = usual.ricasso(9.5, 8.0, 20.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    spine_straight: float = usual.spine_drops_at(0.15, 0.08, 0.4)
    spine_curve: float = parameter(
        1.9,
        "power",
        1.7,
        2.6,
        "the higher, the later the spine falls",
        rule=lambda blade: "" if blade.spine_curve >= 1.5 else "be at least 1.5; 2 is a parabola",
    )
    edge_rise: float = usual.edge_rise(0.6, 0.0, 2.5)
    edge_straight: float = usual.edge_straight(0.4, 0.0, 0.7)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.edge_rise - self.height

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=2.0)

    def _spine(self) -> Curve:
        return straight_then_bend((0.0, 0.0), self.spine_straight, self._tip, power=self.spine_curve)
