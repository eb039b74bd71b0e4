"""Recurve: the edge is hollow behind a full belly, so that it draws into what it cuts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from bladegeom.outline.blade import blade_half, require_blade, require_part, require_tip_drop
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers
from bladegeom.outline.through import through

_UNDERSIDE_DEG = -4.0
"""Slope of the underside at the handle front; own choice by eye."""

_RISE, _SWEEP = 1.9, 2.0
"""Slopes of the edge at the heel and at the tip, times those of the chords to the next place; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Recurve:
    """Recurve blade half."""

    blade_length: float = parameter(128.0, "mm", 105.0, 200.0, "handle front to tip, along x")
    height: float = parameter(30.0, "mm", 27.0, 37.0, "spine line down to the edge at the heel")
    front_height: float = parameter(23.0, "mm", 16.0, 25.0, "height of the steel where the handle begins")
    heel: float = parameter(10.0, "mm", 8.0, 25.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(6.5, "mm", 4.0, 8.0, "inside radius of the finger notch before the heel")
    tip_drop: float = parameter(8.0, "mm", 1.0, 16.0, "tip below the spine line")
    spine_straight: float = parameter(0.35, "of the length", 0.1, 0.6, "where the spine begins to drop")
    hollow: float = parameter(3.0, "mm", 1.5, 5.0, "edge above the heel in the hollow")
    belly_depth: float = parameter(1.5, "mm", 0.0, 4.0, "deepest place of the belly below the heel")
    hollow_at: float = parameter(0.26, "of the edge", 0.2, 0.32, "where the edge is highest")
    belly_at: float = parameter(0.66, "of the edge", 0.6, 0.7, "where the belly is deepest")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_tip_drop(self.tip_drop, self.height)
        require_part("spine_straight", self.spine_straight)
        require(
            "hollow", self.hollow, "mm", f"be > 0 mm and less than {self.height:g} mm", ok=0 < self.hollow < self.height
        )
        require("belly_at", self.belly_at, "of the edge", "be less than 1", ok=self.belly_at < 1)
        ahead = f"be more than 0 and less than belly_at ({self.belly_at:g})"
        require("hollow_at", self.hollow_at, "of the edge", ahead, ok=0 < self.hollow_at < self.belly_at)
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
        reach = tip[0] - heel[0]
        hollow = (heel[0] + self.hollow_at * reach, heel[1] + self.hollow)
        belly = (heel[0] + self.belly_at * reach, heel[1] - self.belly_depth)
        rise = math.degrees(math.atan2(_RISE * self.hollow, hollow[0] - heel[0]))
        sweep = math.degrees(math.atan2(_SWEEP * (tip[1] - belly[1]), tip[0] - belly[0]))
        edge = through([(*heel, rise), (*hollow, 0.0), (*belly, 0.0), (*tip, sweep)])
        spine = straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=2.2).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
