r"""Hook butt: the butt is cut on a slant, and the underside sweeps down to its lower corner and keeps the hand.

::

         ______________________________________ origin
        /              crown                   |
       /                                       |
      /                          ___relief_____|
     |    __throat______.--------
      \_-'           palm
      hook
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_square, taken_off, to_length
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers
from bladegeom.outline.through import through

_CROWN_AT, _THROAT_AT, _PALM_AT, _RELIEF_AT = 0.42, 0.77, 0.5, 0.16
"""Their places as parts of the length behind the handle front; own choice by eye."""

_FALL, _SWEEP = 1.8, 2.2
"""Slopes at the butt's upper and lower corner, times those of the chords from crown and throat; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class HookButt:
    """Hook-butt handle half."""

    # Up to the crown; throat to palm, to relief, to the front.
    inflections: ClassVar[Mapping[str, int]] = {"handle_top": 1, "handle_underside": 3}

    length: float = usual.length_to_rear(118.0, 98.0, 145.0)
    hook: float = parameter(6.5, "mm", 5.0, 8.0, "corner of the hook, before it is rounded, below the throat")
    slant: float = parameter(12.0, "deg", 4.0, 18.0, "cut of the butt from upright, its upper end ahead")
    butt_round: float = usual.butt_corners(9.0, 8.0, 10.0)
    throat: float = parameter(1.2, "mm", 0.5, 2.5, "throat ahead of the hook above the lowest place of the palm")
    swell: float = parameter(2.5, "mm", 1.0, 4.5, "underside of the palm below that of the handle front")
    relief: float = usual.relief(1.2, 0.8, 2.5)
    crown: float = usual.crown(1.0, 0.0, 2.5)
    drop: float = parameter(4.0, "mm", 1.0, 7.0, "upper corner of the butt, before it is rounded, below the spine line")

    def __post_init__(self) -> None:
        require_numbers(self)
        most = self.length * (1 - _THROAT_AT)
        must = f"be more than 0 mm and end behind the throat (less than {most:g} mm)"
        require("butt_round", self.butt_round, "mm", must, ok=0 < self.butt_round < most)
        require("hook", self.hook, "mm", "be more than 0 mm", ok=self.hook > 0)
        require("slant", self.slant, "deg", "be less than 45", ok=self.slant < 45)

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        must = f"be less than the steel is high at the handle front ({joint.height:g} mm)"
        require("relief", self.relief, "mm", must, ok=self.relief < joint.height)
        front = -joint.height
        steep = math.degrees(math.atan2(_SWEEP * self.hook, (1 - _THROAT_AT) * self.length))
        reach = self.length + taken_off(270.0 - self.slant, 360.0 + steep, reach=self.butt_round)
        palm, crown_x, throat_x = front - self.swell, -_CROWN_AT * reach, -_THROAT_AT * reach
        low = palm + self.throat - self.hook
        most = (-self.drop - low) / math.cos(math.radians(self.slant)) / 2
        must = f"be less than {most:.2f} mm, half of the butt's height, or the drop be less"
        require("butt_round", self.butt_round, "mm", must, ok=self.butt_round < most)
        upper_x = -reach + (-self.drop - low) * math.tan(math.radians(self.slant))
        fall = math.degrees(math.atan2(_FALL * (self.crown + self.drop), crown_x - upper_x))
        sweep = math.degrees(math.atan2(_SWEEP * self.hook, throat_x + reach))
        top = [
            (0.0, 0.0, 180.0 + joint.top_slope_deg),
            (crown_x, self.crown, 180.0),
            (upper_x, -self.drop, 180.0 + fall),
        ]
        underside = [
            (-reach, low, sweep),
            (throat_x, palm + self.throat, 0.0),
            (-_PALM_AT * reach, palm, 0.0),
            (-_RELIEF_AT * reach, front + self.relief, 0.0),
            (0.0, front, joint.bottom_slope_deg),
        ]
        return to_length(close_square(through(top), through(underside), reach=self.butt_round), self.length)
