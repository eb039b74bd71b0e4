r"""Tapered handle: straight lines that draw together towards the blade, and a butt cut straight across.

::

     ________________________________ origin
    /                                |
    |  butt_height                   |  height of the blade's steel there
    \  butt_lean                 ____|
     \_______________________----
      butt_round
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bladegeom.curves.build import direction, line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_square, taken_off, to_length
from bladegeom.outline.flow import bow
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_BEND = 0.5
"""The lines bend over this part of their length behind the handle front; own choice by eye."""

_PARABOLA = 2 / 3
"""Fullness of a bow that is a parabola."""


@dataclass(frozen=True, kw_only=True)
class Taper:
    """Tapered handle half."""

    length: float = usual.length_to_rear(118.0, 95.0, 145.0)
    butt_height: float = parameter(27.0, "mm", 22.0, 32.0, "height of the butt where it is cut")
    drop: float = usual.drop(1.5, -1.0, 8.0)
    butt_lean: float = parameter(4.0, "deg", -4.0, 14.0, "cut of the butt from upright, its upper end behind")
    butt_round: float = usual.butt_corners(5.0, 2.0, 9.0)

    def __post_init__(self) -> None:
        require_numbers(self)
        require("length", self.length, "mm", "be more than 0 mm", ok=self.length > 0)
        require("butt_height", self.butt_height, "mm", "be more than 0 mm", ok=self.butt_height > 0)
        require("butt_lean", self.butt_lean, "deg", "be from -45 to 45", ok=abs(self.butt_lean) <= 45)
        most = min(self.butt_height, self.length) / 2
        require(
            "butt_round",
            self.butt_round,
            "mm",
            f"be more than 0 and less than {most:g} mm",
            ok=0 < self.butt_round < most,
        )

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        front, ahead = -joint.height, self.butt_height * math.tan(math.radians(self.butt_lean))
        lean = abs(self.butt_lean)
        reach = self.length + taken_off(180.0, 270.0 + lean, reach=self.butt_round)
        upper = (-reach + max(-ahead, 0.0), -self.drop)
        lower = (upper[0] + ahead, upper[1] - self.butt_height)
        curves = close_square(
            _bent(upper, (0.0, 0.0), 180.0 + joint.top_slope_deg).reversed(),
            _bent(lower, (0.0, front), 180.0 + joint.bottom_slope_deg),
            reach=self.butt_round,
        )
        return to_length(curves, self.length)


def _bent(rear: Vector, front: Vector, back_deg: float) -> Curve:
    """A straight line from the rear that bends where it comes near the front, and reaches it in the joint's direction.

    Args:
        rear: Where it starts, mm.
        front: Where it ends, mm.
        back_deg: Direction from the front backwards.
    """
    dx, dy = direction(back_deg)
    half = _BEND / 2 * rear[0] / dx
    corner = (front[0] + half * dx, front[1] + half * dy)
    share = half / math.dist(rear, corner)
    begin = (corner[0] + share * (rear[0] - corner[0]), corner[1] + share * (rear[1] - corner[1]))
    return join(line(rear, begin), bow(begin, corner, front, fullness=(_PARABOLA, _PARABOLA)))
