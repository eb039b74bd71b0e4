"""Stick tang: square shoulders against a guard, and a narrow tapered tang that is hidden in a handle block.

The joint's whole height is that of the shoulders, so a guard or the block covers it; the spine's and the underside's
directions end there. Scales do not go on it: a knife refuses them. The block is not part of the design.

::

                          _| origin
      ___________________( |  shoulder, shoulder_radius
     (   end_height        |  height of the blade's steel there
      -------------------( |
          length          `|
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.build import arc, direction, line
from bladegeom.curves.curve import Curve, join
from bladegeom.outline.corner import close_with_butt
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers


@dataclass(frozen=True, kw_only=True)
class StickTang:
    """Stick-tang handle half."""

    hidden: ClassVar[bool] = True

    length: float = parameter(105.0, "mm", 60.0, 140.0, "shoulders to the end of the tang, along x")
    shoulder: float = parameter(0.19, "of the height", 0.17, 0.26, "each shoulder's height, of the steel at the front")
    shoulder_radius: float = parameter(1.6, "mm", 1.5, 2.2, "inside radius between shoulder and tang")
    end_height: float = parameter(
        0.6, "of the root", 0.4, 0.95, "height of the tang at its end, of that at the shoulders"
    )

    def __post_init__(self) -> None:
        require_numbers(self)
        require(
            "shoulder", self.shoulder, "of the height", "be more than 0 and less than 0.5", ok=0 < self.shoulder < 0.5
        )
        require(
            "end_height", self.end_height, "of the root", "be more than 0 and at most 1", ok=0 < self.end_height <= 1
        )

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside; the lower line mirrors the upper one."""
        shoulder = self.shoulder * joint.height
        root = joint.height - 2 * shoulder
        end = self.end_height * root
        x = end / 2 - self.length
        require("length", self.length, "mm", f"be more than the end's height ({end:g} mm)", ok=self.length > end)
        lean = math.degrees(math.atan2((root - end) / 2, -x))
        # A rounding that turns by an angle begins so far from its corner: the radius times the tangent of half of it.
        per_mm = math.tan(math.radians(90 - lean) / 2)
        must = f"be more than 0 mm and less than {shoulder / per_mm:.2f} mm, or the shoulder be higher"
        fits = 0 < self.shoulder_radius * per_mm < shoulder
        require("shoulder_radius", self.shoulder_radius, "mm", must, ok=fits)
        reach = self.shoulder_radius * per_mm
        dx, dy = direction(180 + lean)
        corner = (-self.shoulder_radius, reach - shoulder)
        top = join(
            line((0.0, 0.0), (0.0, corner[1])),
            arc(corner, self.shoulder_radius, 0.0, lean - 90),
            line((reach * dx, reach * dy - shoulder), (x, -shoulder - (root - end) / 2)),
        )
        underside = _mirrored(top, joint.height)
        return close_with_butt(top, underside, rear=-self.length)


def _mirrored(curve: Curve, height: float) -> Curve:
    """The same about the middle of the tang, travelled the other way."""
    return curve.transformed(((1.0, 0.0, 0.0), (0.0, -1.0, -height))).reversed()
