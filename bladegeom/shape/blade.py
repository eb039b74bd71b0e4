"""What the blade profiles share: a dropping spine, an edge with a belly, and a choil between handle and heel."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.shape.corner import down_to_heel
from bladegeom.shape.flow import straight_then_bend
from bladegeom.shape.halves import BladeCurves, Joint
from bladegeom.shape.parameter import require

_HEEL_RAKE_DEG = 4.0
"""The rear border of a deep heel leans forward by this; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class BladeLines:
    """The lines of a blade half.

    The fields mean what the profiles say of their parameters of the same names. Two are the profile's own touch:

    Args:
        spine_power: How late the spine drops, see ``straight_then_bend``.
        underside_slope_deg: Slope of the underside at the handle front, so that the handle flows into the choil.
    """

    blade_length: float
    height: float
    front_height: float
    heel: float
    choil_radius: float
    tip_drop: float
    spine_straight: float
    edge_straight: float
    belly: float
    spine_power: float
    underside_slope_deg: float

    def __post_init__(self) -> None:
        half = self.blade_length / 2
        require("blade_length", self.blade_length, "mm", "be > 0 mm", ok=self.blade_length > 0)
        require("front_height", self.front_height, "mm", "be > 0 mm", ok=self.front_height > 0)
        require(
            "height",
            self.height,
            "mm",
            f"be more than front_height ({self.front_height:g} mm)",
            ok=self.height > self.front_height,
        )
        require(
            "heel", self.heel, "mm", f"be > 0 mm and less than half the blade ({half:g} mm)", ok=0 < self.heel < half
        )
        require(
            "tip_drop",
            self.tip_drop,
            "mm",
            f"be > 0 mm and less than height ({self.height:g} mm)",
            ok=0 < self.tip_drop < self.height,
        )
        for name in ("spine_straight", "edge_straight"):
            part = getattr(self, name)
            require(name, part, "of the way", "be at least 0 and less than 1", ok=0 <= part < 1)
        require("belly", self.belly, "", "be at least 1.5; 2 is a parabola, more is fuller", ok=self.belly >= 1.5)

    def joint(self) -> Joint:
        """A level spine; the underside falls a little towards the choil."""
        return Joint(height=self.front_height, bottom_slope_deg=self.underside_slope_deg)

    def blade(self) -> BladeCurves:
        """Edge, spine and choil."""
        heel, tip = (self.heel, -self.height), (self.blade_length, -self.tip_drop)
        return BladeCurves(
            edge=straight_then_bend(heel, self.edge_straight, tip, power=self.belly),
            spine=straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=self.spine_power).reversed(),
            choil=down_to_heel(
                (0.0, -self.front_height),
                heel,
                slope_deg=self.underside_slope_deg,
                rake_deg=_HEEL_RAKE_DEG,
                radius=self.choil_radius,
            ),
        )
