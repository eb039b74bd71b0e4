"""Flat kitchen knife: a long flat edge for push cuts, and a spine that comes down to a low tip in a wide round."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.outline.blade import (
    blade_half,
    falling_nose,
    require_belly,
    require_blade,
    require_edge_rise,
    require_part,
)
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_UNDERSIDE_DEG = -2.0
"""Slope of the underside at the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class FlatKitchen:
    """Flat kitchen blade half."""

    blade_length: float = parameter(172.0, "mm", 130.0, 220.0, "handle front to tip, along x")
    height: float = parameter(46.0, "mm", 38.0, 54.0, "spine line down to the edge at the heel")
    front_height: float = parameter(21.0, "mm", 15.0, 26.0, "height of the steel where the handle begins")
    heel: float = parameter(19.0, "mm", 16.0, 36.0, "handle front to heel, along x: the neck")
    choil_radius: float = parameter(12.0, "mm", 4.0, 13.0, "inside radius between neck and heel")
    nose: float = parameter(1.7, "of the height", 1.35, 2.1, "how far behind the tip the spine begins to fall")
    tip_slope: float = parameter(50.0, "deg", 44.0, 62.0, "how steeply the spine reaches the tip, from level")
    edge_rise: float = parameter(9.0, "mm", 4.0, 13.0, "tip above the straight edge")
    edge_straight: float = parameter(0.3, "of the edge", 0.0, 0.6, "where the belly begins")
    belly: float = parameter(2.3, "power", 2.0, 3.0, "fullness of the belly: the higher, the rounder near the tip")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_part("edge_straight", self.edge_straight)
        require_edge_rise(self.edge_rise, self.height)
        require("tip_slope", self.tip_slope, "deg", "be more than 0 and at most 90", ok=0 < self.tip_slope <= 90)
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
        heel, tip = (self.heel, -self.height), (self.blade_length, self.edge_rise - self.height)
        edge = straight_then_bend(heel, self.edge_straight, tip, power=self.belly)
        spine = falling_nose(tip, height=self.height, nose=self.nose, tip_deg=self.tip_slope).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
