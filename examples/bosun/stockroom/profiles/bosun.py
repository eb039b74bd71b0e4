"""Bosun's handle: level lines that open to a butt cut on a slant; a handle of an invented shop, its sizes invented."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.curves.build import spline
from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_with_butt
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import require_numbers


@dataclass(frozen=True, kw_only=True)
class Bosun:
    """Bosun's handle half."""

    length: float = usual.length(118.0, 100.0, 135.0)
    drop: float = usual.drop(5.0, 0.0, 10.0)
    flare: float = usual.flare(7.0, 3.0, 10.0)

    def __post_init__(self) -> None:
        require_numbers(self)

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        front, x = -joint.height, 10.0 - self.length
        return close_with_butt(
            spline([(0.0, 0.0), (x, -self.drop)], start_deg=180 + joint.top_slope_deg),
            spline([(x, front - self.drop - self.flare), (0.0, front)], end_deg=joint.bottom_slope_deg),
            rear=-self.length,
        )
