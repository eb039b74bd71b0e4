"""Wharncliffe: a straight edge, and a spine that slopes down to it in one long slow curve to a fine tip."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.outline.blade import blade_half, require_blade, require_edge_rise, require_part
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_UNDERSIDE_DEG = -4.0
"""Slope of the underside at the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Wharncliffe:
    """Wharncliffe blade half."""

    blade_length: float = parameter(85.0, "mm", 55.0, 130.0, "handle front to tip, along x")
    height: float = parameter(25.0, "mm", 22.0, 34.0, "spine line down to the edge at the heel")
    front_height: float = parameter(20.0, "mm", 15.0, 21.0, "height of the steel where the handle begins")
    heel: float = parameter(9.5, "mm", 8.0, 20.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(6.5, "mm", 4.0, 8.0, "inside radius of the finger notch before the heel")
    spine_straight: float = parameter(0.15, "of the length", 0.08, 0.4, "where the spine begins to drop")
    spine_curve: float = parameter(1.9, "power", 1.7, 2.6, "the higher, the later the spine falls")
    edge_rise: float = parameter(0.6, "mm", 0.0, 2.5, "tip above the straight edge")
    edge_straight: float = parameter(0.4, "of the edge", 0.0, 0.7, "where the belly begins")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_part("spine_straight", self.spine_straight)
        require_part("edge_straight", self.edge_straight)
        require_edge_rise(self.edge_rise, self.height)
        require("spine_curve", self.spine_curve, "", "be at least 1.5; 2 is a parabola", ok=self.spine_curve >= 1.5)
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
        spine = straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=self.spine_curve).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
