"""Clip point: the back of the point is clipped off in a hollow sweep, for a fine tip on a strong blade.

::

    origin ______________________
      |         clip_at          `-._  clip_round
      | front_height                 `--..._      clip_hollow
      |__                             _.-'''  tip_drop
         `heel__________________..--''
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from bladegeom.curves.curve import split
from bladegeom.outline.blade import (
    blade_half,
    require_belly,
    require_blade,
    require_part,
    require_tip_drop,
    rounded_corner,
)
from bladegeom.outline.flow import straight_then_bend, sway
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_UNDERSIDE_DEG = -4.0
"""Slope of the underside at the handle front; own choice by eye."""

_CRISP = 1e-3
"""A clip rounded over no more than this part of it has a crisp corner; own choice."""


@dataclass(frozen=True, kw_only=True)
class ClipPoint:
    """Clip-point blade half."""

    blade_length: float = parameter(118.0, "mm", 80.0, 200.0, "handle front to tip, along x")
    height: float = parameter(29.0, "mm", 26.5, 40.0, "spine line down to the edge at the heel")
    front_height: float = parameter(23.0, "mm", 16.0, 25.0, "height of the steel where the handle begins")
    heel: float = parameter(10.0, "mm", 8.0, 25.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(6.5, "mm", 4.0, 8.0, "inside radius of the finger notch before the heel")
    tip_drop: float = parameter(7.5, "mm", 3.0, 13.0, "tip below the spine line")
    clip_at: float = parameter(0.56, "of the length", 0.45, 0.75, "where the clip begins")
    clip_hollow: float = parameter(0.026, "of the clip", 0.0, 0.05, "hollow in its middle, of its length")
    clip_round: float = parameter(0.1, "of the clip", 0.0, 0.25, "rounding of its corner; 0 leaves it crisp")
    edge_straight: float = parameter(0.4, "of the edge", 0.1, 0.6, "where the belly begins")
    belly: float = parameter(2.6, "power", 2.0, 3.2, "fullness of the belly: the higher, the rounder near the tip")

    def __post_init__(self) -> None:
        require_numbers(self)
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_tip_drop(self.tip_drop, self.height)
        require_part("clip_at", self.clip_at)
        require_part("edge_straight", self.edge_straight)
        require_belly(self.belly)
        require("clip_round", self.clip_round, "of the clip", "be less than 0.5", ok=self.clip_round < 0.5)
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
        edge = straight_then_bend(heel, self.edge_straight, tip, power=self.belly)
        corner = (self.clip_at * self.blade_length, 0.0)
        fall = math.degrees(math.atan2(-tip[1], tip[0] - corner[0]))
        # A parabola turns by 4 times its rise over its span from its chord to either end.
        turn = math.degrees(math.atan(4 * self.clip_hollow))
        clip = sway(corner, tip, start_deg=-fall - turn, end_deg=-fall + turn, reach=(1 / 3, 1 / 3))
        if self.clip_round > _CRISP:
            _, clip = split(clip, self.clip_round)
        (x, y), (dx, dy) = clip.start, clip.start_direction
        spine = rounded_corner((x - y * dx / dy, 0.0), clip).reversed()
        return blade_half(
            edge,
            spine,
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=_UNDERSIDE_DEG,
        )
