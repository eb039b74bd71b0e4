"""Boning and filleting knife: long, narrow and whippy, with a spine that sweeps up a little to a fine tip."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.outline.blade import blade_half, require_belly, require_blade, require_part
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require_numbers

_UNDERSIDE_DEG = -2.0
"""Slope of the underside at the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Boning:
    """Boning blade half."""

    blade_length: float = parameter(165.0, "mm", 120.0, 230.0, "handle front to tip, along x")
    height: float = parameter(22.0, "mm", 20.0, 27.0, "spine line down to the edge at the heel")
    front_height: float = parameter(17.5, "mm", 14.0, 18.5, "height of the steel where the handle begins")
    heel: float = parameter(9.5, "mm", 8.0, 18.0, "handle front to heel, along x: the neck")
    choil_radius: float = parameter(6.5, "mm", 3.5, 7.5, "inside radius between neck and heel")
    tip_rise: float = parameter(4.0, "mm", 0.5, 10.0, "tip above the spine line")
    spine_straight: float = parameter(0.3, "of the length", 0.0, 0.6, "where the spine begins to rise")
    edge_straight: float = parameter(0.4, "of the edge", 0.1, 0.6, "where the belly begins")
    belly: float = parameter(2.2, "power", 2.0, 3.0, "fullness of the belly: the higher, the rounder near the tip")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_part("spine_straight", self.spine_straight)
        require_part("edge_straight", self.edge_straight)
        require_belly(self.belly)
        self.blade()

    def joint(self) -> Joint:
        """Height and directions at which the handle takes over."""
        return Joint(height=self.front_height, bottom_slope_deg=_UNDERSIDE_DEG)

    def blade(self) -> BladeCurves:
        """Edge, spine and choil."""
        return self._curves

    @cached_property
    def _curves(self) -> BladeCurves:
        heel, tip = (self.heel, -self.height), (self.blade_length, self.tip_rise)
        edge = straight_then_bend(heel, self.edge_straight, tip, power=self.belly)
        spine = straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=2.0).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
