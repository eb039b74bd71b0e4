"""Chopper: a heavy blade that deepens towards the front and drops to a broad tip, with its weight ahead of the hand."""

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

_FALL, _RISE = 1.5, 1.9
"""Slopes of the edge at the heel and at the tip, times those of the chords to its deepest place; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Chopper:
    """Chopper blade half."""

    blade_length: float = parameter(235.0, "mm", 170.0, 290.0, "handle front to tip, along x")
    height: float = parameter(38.0, "mm", 32.0, 46.0, "spine line down to the edge at the heel")
    depth: float = parameter(13.0, "mm", 6.0, 18.0, "deepest place of the edge below the heel")
    front_height: float = parameter(25.0, "mm", 18.0, 28.0, "height of the steel where the handle begins")
    heel: float = parameter(15.0, "mm", 11.0, 30.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(8.0, "mm", 4.0, 9.0, "inside radius of the finger notch before the heel")
    tip_drop: float = parameter(16.0, "mm", 8.0, 26.0, "tip below the spine line")
    spine_straight: float = parameter(0.3, "of the length", 0.1, 0.6, "where the spine begins to drop")
    deep_at: float = parameter(0.68, "of the edge", 0.6, 0.76, "where the edge is deepest")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_tip_drop(self.tip_drop, self.height)
        require_part("spine_straight", self.spine_straight)
        require_part("deep_at", self.deep_at)
        require("depth", self.depth, "mm", "be > 0 mm", ok=self.depth > 0)
        require("deep_at", self.deep_at, "of the edge", "be more than 0.3", ok=self.deep_at > 0.3)
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
        deep = (self.heel + self.deep_at * (tip[0] - self.heel), -self.height - self.depth)
        fall = math.degrees(math.atan2(_FALL * self.depth, deep[0] - heel[0]))
        rise = math.degrees(math.atan2(_RISE * (tip[1] - deep[1]), tip[0] - deep[0]))
        edge = through([(*heel, -fall), (*deep, 0.0), (*tip, rise)])
        spine = straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=2.1).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
