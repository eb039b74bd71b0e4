"""Cleaver: a tall blade of even height with a square front, to lift what it has cut."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.curves.build import direction, line
from bladegeom.outline.blade import blade_half, require_blade, require_edge_rise, require_part, rounded_corner
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_UNDERSIDE_DEG = -2.0
"""Slope of the underside at the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Cleaver:
    """Cleaver blade half."""

    blade_length: float = parameter(178.0, "mm", 140.0, 220.0, "handle front to tip, along x")
    height: float = parameter(84.0, "mm", 65.0, 105.0, "spine line down to the edge at the heel")
    front_height: float = parameter(25.0, "mm", 18.0, 30.0, "height of the steel where the handle begins")
    heel: float = parameter(24.0, "mm", 18.0, 36.0, "handle front to heel, along x: the neck")
    choil_radius: float = parameter(13.0, "mm", 6.0, 13.5, "inside radius between neck and heel")
    edge_rise: float = parameter(5.0, "mm", 1.0, 10.0, "tip above the straight edge")
    edge_straight: float = parameter(0.15, "of the edge", 0.0, 0.5, "where the belly begins")
    nose_lean: float = parameter(5.0, "deg", 0.0, 14.0, "front border from upright, its upper end behind")
    nose_round: float = parameter(14.0, "mm", 5.0, 25.0, "rounding of the upper front corner, to each side")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_part("edge_straight", self.edge_straight)
        require_edge_rise(self.edge_rise, self.height)
        require("nose_lean", self.nose_lean, "deg", "be less than 45", ok=self.nose_lean < 45)
        most = min(self.height - self.edge_rise, self.blade_length) / 2
        require("nose_round", self.nose_round, "mm", f"be less than {most:g} mm", ok=self.nose_round < most)
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
        dx, dy = direction(self.nose_lean - 90)
        corner = (tip[0] + tip[1] * dx / -dy, 0.0)
        front = line((corner[0] + self.nose_round * dx, self.nose_round * dy), tip)
        spine = rounded_corner(corner, front).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
