"""Bird's-head handle: the back rolls over into a round head that hangs below the grip and stops the little finger."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import join, split
from bladegeom.outline.flow import bow, bow_into, sway, sway_from
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_HEAD = 0.41
"""Height of the rearmost point over the lowest, as a part of the height of the head; own choice by eye."""

_CHIN, _ROLL = 0.56, 0.74
"""Fullness of the head below and above its rearmost point (an ellipse has 0.552); own choice by eye."""

_CROWN_AT, _WAIST_AT = 0.42, 0.45
"""Their places as parts of the length behind the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class BirdsHead:
    """Bird's-head handle half."""

    # Up to the crown; into the waist and to the front.
    inflections: ClassVar[Mapping[str, int]] = {"handle_top": 1, "handle_underside": 3}

    length: float = parameter(116.0, "mm", 95.0, 145.0, "handle front to the rear of the head, along x")
    head_drop: float = parameter(10.0, "mm", 4.0, 16.0, "lowest point of the head below the underside at the front")
    head_width: float = parameter(16.0, "mm", 12.0, 20.0, "from the rear of the head to its lowest point, along x")
    waist: float = parameter(1.0, "mm", 0.0, 3.0, "underside ahead of the head above that of the handle front")
    crown: float = parameter(1.5, "mm", 0.0, 2.5, "top of the handle above the spine line")

    def __post_init__(self) -> None:
        require_numbers(self)
        most = self.length * (1 - _WAIST_AT)
        require("length", self.length, "mm", "be more than 0 mm", ok=self.length > 0)
        require(
            "head_drop",
            self.head_drop,
            "mm",
            "be more than 0 mm, for the head hangs below the grip",
            ok=self.head_drop > 0,
        )
        require(
            "head_width",
            self.head_width,
            "mm",
            f"be more than 0 mm and end behind the waist (less than {most:g} mm)",
            ok=0 < self.head_width < most,
        )

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside: five cubics that follow each other with about equal curvature."""
        rear, front = -self.length, -joint.height
        require(
            "waist",
            self.waist,
            "mm",
            f"be less than the steel is high at the handle front ({joint.height:g} mm)",
            ok=self.waist < joint.height,
        )
        low = front - self.head_drop
        high, waist = (_CROWN_AT * rear, self.crown), (_WAIST_AT * rear, front + self.waist)
        back, lowest = (rear, low + _HEAD * (self.crown - low)), (rear + self.head_width, low)
        chin = bow(back, (rear, low), lowest, fullness=(_CHIN, _CHIN))
        roll = bow_into(high, (rear, self.crown), chin, fullness=_ROLL)
        rise = sway((0.0, 0.0), high, start_deg=180 + joint.top_slope_deg, end_deg=180.0, reach=(0.5, 0.5))
        throat = sway_from(chin, waist, end_deg=0.0, reach=0.65)
        grip = sway(waist, (0.0, front), start_deg=0.0, end_deg=joint.bottom_slope_deg, reach=(0.5, 0.2))
        shoulder, nape = split(roll, 0.55)
        return HandleCurves(join(rise, shoulder), join(nape, chin), join(throat, grip))
