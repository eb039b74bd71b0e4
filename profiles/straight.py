"""Straight handle: nearly level lines that open towards a squared butt with rounded corners."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.curves.build import spline
from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_with_butt
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import require, require_numbers


@dataclass(frozen=True, kw_only=True)
class Straight:
    """Straight handle half."""

    length: float = usual.length(115.0, 90.0, 140.0)
    drop: float = usual.drop(3.0, -2.0, 12.0)
    flare: float = usual.flare(5.0, -2.0, 10.0)
    butt_round: float = usual.butt_round(9.0, 3.0, 20.0)

    def __post_init__(self) -> None:
        require_numbers(self)
        half = self.length / 2
        require(
            "butt_round",
            self.butt_round,
            "mm",
            f"be more than 0 mm and less than half the length ({half:g} mm)",
            ok=0 < self.butt_round < half,
        )

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        front = -joint.height
        x, top, bottom = self.butt_round - self.length, -self.drop, -self.drop - self.flare + front
        return close_with_butt(
            spline([(0.0, 0.0), (x, top)], start_deg=180 + joint.top_slope_deg),
            spline([(x, bottom), (0.0, front)], end_deg=joint.bottom_slope_deg),
            rear=-self.length,
        )
