"""Swelled handle: a place for the first finger, a swell that fills the palm, and a butt that drops a little."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.build import spline
from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_with_butt
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers

_CROWN_AT, _SWELL_AT, _RELIEF_AT = 0.45, 0.54, 0.17
"""Their places as parts of the length behind the handle front; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Swelled:
    """Swelled handle half; crown and swell stand out from straight lines drawn from the handle front to the butt."""

    # Up to the crown; round the palm.
    inflections: ClassVar[Mapping[str, int]] = {"handle_top": 1, "handle_underside": 2}

    length: float = usual.length(118.0, 95.0, 145.0)
    swell: float = parameter(3.0, "mm", 1.0, 5.0, "underside of the palm below the line from handle front to butt")
    relief: float = usual.relief(1.0, 0.0, 2.0)
    crown: float = parameter(3.0, "mm", 0.0, 5.0, "top of the palm above the line from handle front to butt")
    drop: float = usual.drop(4.0, -2.0, 15.0)
    flare: float = usual.flare(2.0, -3.0, 8.0)
    butt_round: float = usual.butt_round(15.0, 3.0, 20.0)

    def __post_init__(self) -> None:
        require_numbers(self)
        most = self.length * (1 - _SWELL_AT)
        require(
            "butt_round",
            self.butt_round,
            "mm",
            f"be more than 0 mm and end behind the palm swell (less than {most:g} mm)",
            ok=0 < self.butt_round < most,
        )

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        front = -joint.height
        require(
            "relief",
            self.relief,
            "mm",
            f"be less than the steel is high at the handle front ({joint.height:g} mm)",
            ok=self.relief < joint.height,
        )
        x, top, bottom = self.butt_round - self.length, -self.drop, -self.drop - self.flare + front
        crown_x, swell_x, relief_x = (-at * self.length for at in (_CROWN_AT, _SWELL_AT, _RELIEF_AT))
        crown_y = crown_x / x * top + self.crown
        swell_y = front + swell_x / x * (bottom - front) - self.swell
        return close_with_butt(
            spline([(0.0, 0.0), (crown_x, crown_y), (x, top)], start_deg=180 + joint.top_slope_deg),
            spline(
                [(x, bottom), (swell_x, swell_y), (relief_x, front + self.relief), (0.0, front)],
                end_deg=joint.bottom_slope_deg,
            ),
            rear=-self.length,
        )
