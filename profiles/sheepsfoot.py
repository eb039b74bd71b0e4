"""Sheepsfoot: a straight edge, and a spine that falls to it in one round; it slices and does not stab."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.outline.blade import blade_half, falling_nose, require_blade, require_edge_rise, require_part
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_UNDERSIDE_DEG = -4.0
"""Slope of the underside at the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Sheepsfoot:
    """Sheepsfoot blade half."""

    blade_length: float = parameter(80.0, "mm", 65.0, 130.0, "handle front to tip, along x")
    height: float = parameter(26.0, "mm", 24.0, 32.0, "spine line down to the edge at the heel")
    front_height: float = parameter(21.0, "mm", 16.0, 22.5, "height of the steel where the handle begins")
    heel: float = parameter(9.5, "mm", 8.0, 20.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(6.5, "mm", 4.0, 8.0, "inside radius of the finger notch before the heel")
    nose: float = parameter(1.4, "of the height", 1.15, 1.8, "how far behind the tip the spine begins to fall")
    tip_slope: float = parameter(60.0, "deg", 52.0, 75.0, "how steeply the spine reaches the tip, from level")
    edge_rise: float = parameter(1.2, "mm", 0.0, 3.0, "tip above the straight edge")
    edge_straight: float = parameter(0.45, "of the edge", 0.0, 0.7, "where the belly begins")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_part("edge_straight", self.edge_straight)
        require_edge_rise(self.edge_rise, self.height)
        require("tip_slope", self.tip_slope, "deg", "be more than 0 and at most 90", ok=0 < self.tip_slope <= 90)
        self.blade()

    def joint(self) -> Joint:
        """Height and directions at which the handle takes over."""
        return Joint(height=self.front_height, bottom_slope_deg=_UNDERSIDE_DEG)

    def blade(self) -> BladeCurves:
        """Edge, spine and choil."""
        return self._curves

    @cached_property
    def _curves(self) -> BladeCurves:
        heel, tip = (self.heel, -self.height), (self.blade_length, self.edge_rise - self.height)
        edge = straight_then_bend(heel, self.edge_straight, tip, power=2.0)
        spine = falling_nose(tip, height=self.height, nose=self.nose, tip_deg=self.tip_slope).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
