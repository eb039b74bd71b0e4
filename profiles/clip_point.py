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
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Curve, Vector, split
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf, rounded_corner
from bladegeom.outline.flow import straight_then_bend, sway
from bladegeom.outline.parameter import parameter

_CRISP = 1e-3
"""A clip rounded over no more than this part of it has a crisp corner; own choice."""


@dataclass(frozen=True, kw_only=True)
class ClipPoint(BladeHalf):
    """Clip-point blade half."""

    # Out of the rounded corner into the hollow clip.
    inflections: ClassVar[Mapping[str, int]] = {"spine": 1}
    # The crisp clip.
    corners: ClassVar[Mapping[str, int]] = {"spine": 1}

    blade_length: float = usual.blade_length(118.0, 80.0, 200.0)
    height: float = usual.height(29.0, 26.5, 40.0)
    front_height: float = usual.front_height(23.0, 16.0, 25.0)
    heel: float = usual.ricasso(10.0, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_drop: float = usual.tip_drop(7.5, 3.0, 13.0)
    clip_at: float = parameter(
        0.56,
        "of the length",
        0.45,
        0.75,
        "where the clip begins",
        rule=lambda blade: "" if 0 <= blade.clip_at < 1 else "be at least 0 and less than 1",
    )
    clip_hollow: float = parameter(0.026, "of the clip", 0.0, 0.05, "hollow in its middle, of its length")
    clip_round: float = parameter(
        0.1,
        "of the clip",
        0.0,
        0.25,
        "rounding of its corner; 0 leaves it crisp",
        rule=lambda blade: "" if blade.clip_round < 0.5 else "be less than 0.5",
    )
    edge_straight: float = usual.edge_straight(0.4, 0.1, 0.6)
    belly: float = usual.belly(2.6, 2.0, 3.2)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=self.belly)

    def _spine(self) -> Curve:
        tip, corner = self._tip, (self.clip_at * self.blade_length, 0.0)
        fall = math.degrees(math.atan2(-tip[1], tip[0] - corner[0]))
        # A parabola turns by 4 times its rise over its span from its chord to either end.
        turn = math.degrees(math.atan(4 * self.clip_hollow))
        clip = sway(corner, tip, start_deg=-fall - turn, end_deg=-fall + turn, reach=(1 / 3, 1 / 3))
        if self.clip_round > _CRISP:
            _, clip = split(clip, self.clip_round)
        (x, y), (dx, dy) = clip.start, clip.start_direction
        return rounded_corner((x - y * dx / dy, 0.0), clip)
