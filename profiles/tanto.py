"""Tanto: a straight edge, then a corner, and a second edge that rises steeply to a strong tip."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from bladegeom.curves.curve import join
from bladegeom.outline.blade import blade_half, require_blade, require_part, require_tip_drop
from bladegeom.outline.flow import straight_then_bend, sway
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_UNDERSIDE_DEG = -4.0
"""Slope of the underside at the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Tanto:
    """Tanto blade half."""

    blade_length: float = parameter(112.0, "mm", 80.0, 180.0, "handle front to tip, along x")
    height: float = parameter(27.0, "mm", 25.0, 36.0, "spine line down to the edge at the heel")
    front_height: float = parameter(22.0, "mm", 16.0, 22.5, "height of the steel where the handle begins")
    heel: float = parameter(9.5, "mm", 8.0, 25.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(6.5, "mm", 4.0, 8.0, "inside radius of the finger notch before the heel")
    tip_drop: float = parameter(3.0, "mm", 1.0, 7.0, "tip below the spine line")
    spine_straight: float = parameter(0.5, "of the length", 0.2, 0.7, "where the spine begins to drop")
    point: float = parameter(0.92, "of the height", 0.6, 1.2, "secondary point to tip, along x")
    point_bow: float = parameter(1.2, "mm", 0.0, 2.5, "by how much the front edge bulges, in its middle")
    edge_rise: float = parameter(1.0, "mm", 0.0, 3.0, "secondary point above the edge at the heel")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_tip_drop(self.tip_drop, self.height)
        require_part("spine_straight", self.spine_straight)
        most = (self.blade_length - self.heel) / self.height
        require("point", self.point, "of the height", f"be > 0 and less than {most:.3f}", ok=0 < self.point < most)
        room = self.height - self.tip_drop
        require("edge_rise", self.edge_rise, "mm", f"be less than {room:g} mm", ok=self.edge_rise < room)
        self.blade()

    def joint(self) -> Joint:
        """Height and directions at which the handle takes over."""
        return Joint(height=self.front_height, bottom_slope_deg=_UNDERSIDE_DEG)

    def blade(self) -> BladeCurves:
        """Edge, spine and choil."""
        return self._curves

    @cached_property
    def _curves(self) -> BladeCurves:
        heel, tip = (self.heel, -self.height), (self.blade_length, -self.tip_drop)
        point = self.point * self.height
        second = (self.blade_length - point, self.edge_rise - self.height)
        rise = math.degrees(math.atan2(tip[1] - second[1], point))
        # A parabola turns by 4 times its rise over its span from its chord to either end.
        turn = math.degrees(math.atan2(4 * self.point_bow, math.dist(second, tip)))
        edge = join(
            straight_then_bend(heel, 0.3, second, power=2.0),
            sway(second, tip, start_deg=rise - turn, end_deg=rise + turn, reach=(1 / 3, 1 / 3)),
        )
        spine = straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=2.0).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
