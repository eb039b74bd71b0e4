r"""Finger choil: a round notch for the first finger right behind the blade, with a lip before it and a lobe behind it.

::

      ______________________________________ origin
     /                 crown                |
    |                               _____   |
     \         hollow             .'     `. |
      \     ____------____      .'         `|  lip
       `--''  flare       `----'  finger_radius, finger_depth
                          lobe
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.build import arc
from bladegeom.curves.curve import join
from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_with_butt
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers
from bladegeom.outline.through import through

_CROWN_AT, _HOLLOW_AT = 0.45, 0.64
"""Their places as parts of the length behind the handle front; own choice by eye."""

_ROUND = 0.62
"""The upper part of the notch that is a circle; lip and lobe are drawn out of the rest. Own choice by eye."""

_LIP, _LOBE = 2.3, 2.6
"""Run of the curves from the notch out to lip and lobe, times that of straight lines; own choice by eye."""

_FALL = 1.8
"""Slopes at the butt's rounding, times those of the chords to the places before them; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class FingerChoil:
    """Finger-choil handle half."""

    # Up to the crown; hollow to lobe, lobe to notch, to the lip.
    inflections: ClassVar[Mapping[str, int]] = {"handle_top": 1, "handle_underside": 3}
    # Over the notch there is room for smaller fasteners only: what a starting script takes in place of a drill.
    smaller_drills: ClassVar[Mapping[str, str]] = {"1/4": "3/16", "3/16": "1/8"}

    length: float = usual.length(120.0, 100.0, 145.0)
    finger_radius: float = parameter(12.5, "mm", 11.5, 14.0, "inside radius of the notch for the first finger")
    finger_depth: float = parameter(5.0, "mm", 4.5, 6.0, "notch above the underside at the handle front")
    lobe: float = parameter(1.5, "mm", 0.5, 2.5, "lobe behind the finger below the underside at the handle front")
    hollow: float = parameter(1.5, "mm", 0.8, 3.0, "underside of the palm above the lobe")
    crown: float = usual.crown(2.0, 0.0, 4.0)
    drop: float = parameter(4.0, "mm", 1.5, 10.0, "top of the butt, where its rounding begins, below the spine line")
    flare: float = usual.flare(2.0, 0.0, 5.0)
    butt_round: float = usual.butt_round(11.0, 5.0, 15.0)

    def __post_init__(self) -> None:
        require_numbers(self)
        most = self.length * (1 - _HOLLOW_AT)
        must = f"be more than 0 mm and end behind the hollow (less than {most:g} mm)"
        require("butt_round", self.butt_round, "mm", must, ok=0 < self.butt_round < most)
        require("finger_depth", self.finger_depth, "mm", "be more than 0 mm", ok=self.finger_depth > 0)
        least = _ROUND * self.finger_depth
        must = f"be more than {least:.2f} mm, or finger_depth less"
        require("finger_radius", self.finger_radius, "mm", must, ok=self.finger_radius > least)

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        front, x = -joint.height, self.butt_round - self.length
        must = f"be less than the steel is high at the handle front ({joint.height:g} mm)"
        require("finger_depth", self.finger_depth, "mm", must, ok=self.finger_depth < joint.height)
        radius, deep = self.finger_radius, _ROUND * self.finger_depth
        turn = math.acos(1 - deep / radius)
        turn_deg, side = math.degrees(turn), radius * math.sin(turn)
        mouth = front + self.finger_depth - deep
        ahead = -_LIP * (mouth - front) / math.tan(turn)
        behind = ahead - 2 * side
        lobe_x = behind - _LOBE * (mouth - front + self.lobe) / math.tan(turn)
        hollow = (-_HOLLOW_AT * self.length, front - self.lobe + self.hollow)
        room = f"be more than {-lobe_x / _HOLLOW_AT:.1f} mm, for the lobe lies ahead of the hollow"
        require("length", self.length, "mm", room, ok=lobe_x > hollow[0])
        crown_x, lower = -_CROWN_AT * self.length, -self.drop - self.flare + front
        fall = math.degrees(math.atan2(_FALL * (self.crown + self.drop), crown_x - x))
        rise = math.degrees(math.atan2(_FALL * (hollow[1] - lower), hollow[0] - x))
        palm = [(x, lower, rise), (*hollow, 0.0), (lobe_x, front - self.lobe, 0.0), (behind, mouth, turn_deg)]
        notch = arc((ahead - side, mouth + deep - radius), radius, 90.0 + turn_deg, -2 * turn_deg)
        lip = through([(ahead, mouth, -turn_deg), (0.0, front, joint.bottom_slope_deg)])
        top = [
            (0.0, 0.0, 180.0 + joint.top_slope_deg),
            (crown_x, self.crown, 180.0),
            (x, -self.drop, 180.0 + fall),
        ]
        return close_with_butt(through(top), join(through(palm), notch, lip), rear=-self.length)
