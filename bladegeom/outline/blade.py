"""What the blade profiles share: edges, spines and points, and a choil between handle and heel."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.outline.corner import down_to_heel
from bladegeom.outline.flow import bow, straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import require
from bladegeom.quantities.tolerances import JOINED

_HEEL_RAKE_DEG = 4.0
"""The rear border of a deep heel leans forward by this; own choice by eye."""

_NOSE_FULLNESS = (0.56, 0.57)
"""Of a falling nose at the level and at the tip: a little fuller than an ellipse; own choice by eye."""


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
        require_blade(
            blade_length=self.blade_length, height=self.height, front_height=self.front_height, heel=self.heel
        )
        require_tip_drop(self.tip_drop, self.height)
        require_part("spine_straight", self.spine_straight)
        require_part("edge_straight", self.edge_straight)
        require_belly(self.belly)

    def joint(self) -> Joint:
        """A level spine; the underside falls a little towards the choil."""
        return Joint(height=self.front_height, bottom_slope_deg=self.underside_slope_deg)

    def blade(self) -> BladeCurves:
        """Edge, spine and choil."""
        heel, tip = (self.heel, -self.height), (self.blade_length, -self.tip_drop)
        return blade_half(
            straight_then_bend(heel, self.edge_straight, tip, power=self.belly),
            straight_then_bend((0.0, 0.0), self.spine_straight, tip, power=self.spine_power).reversed(),
            front_height=self.front_height,
            choil_radius=self.choil_radius,
            underside_slope_deg=self.underside_slope_deg,
        )


def require_blade(*, blade_length: float, height: float, front_height: float, heel: float) -> None:
    """Refuse what no blade can have: the sizes that every family shares.

    Raises:
        ParameterError: Names the first that is wrong.
    """
    half = blade_length / 2
    require("blade_length", blade_length, "mm", "be > 0 mm", ok=blade_length > 0)
    require("front_height", front_height, "mm", "be > 0 mm", ok=front_height > 0)
    require("height", height, "mm", f"be more than front_height ({front_height:g} mm)", ok=height > front_height)
    require("heel", heel, "mm", f"be > 0 mm and less than half the blade ({half:g} mm)", ok=0 < heel < half)


def require_part(name: str, part: float) -> None:
    """Refuse a part of the way that is none.

    Raises:
        ParameterError: It is below 0, or 1 and more.
    """
    require(name, part, "of the way", "be at least 0 and less than 1", ok=0 <= part < 1)


def require_tip_drop(tip_drop: float, height: float) -> None:
    """Refuse a tip that does not lie between spine line and edge.

    Raises:
        ParameterError: It lies on the spine line or above, or at the heel's level or below.
    """
    must = f"be > 0 mm and less than height ({height:g} mm)"
    require("tip_drop", tip_drop, "mm", must, ok=0 < tip_drop < height)


def require_edge_rise(edge_rise: float, height: float) -> None:
    """Refuse an edge that rises to the spine line or above.

    Raises:
        ParameterError: It does.
    """
    require("edge_rise", edge_rise, "mm", f"be less than height ({height:g} mm)", ok=edge_rise < height)


def require_belly(belly: float) -> None:
    """Refuse a fullness that no belly has.

    Raises:
        ParameterError: It is below 1.5.
    """
    require("belly", belly, "", "be at least 1.5; 2 is a parabola, more is fuller", ok=belly >= 1.5)


def blade_half(
    edge: Curve, spine: Curve, *, front_height: float, choil_radius: float, underside_slope_deg: float
) -> BladeCurves:
    """A blade half out of its edge and its spine, with the choil that they leave.

    Args:
        edge: Heel to tip.
        spine: Tip to the origin.
        front_height: Of the steel at the handle front, mm.
        choil_radius: Inside radius between handle and heel, mm.
        underside_slope_deg: Slope of the underside at the handle front.

    Raises:
        ParameterError: The choil does not fit between handle and heel.
    """
    choil = down_to_heel(
        (0.0, -front_height), edge.start, slope_deg=underside_slope_deg, rake_deg=_HEEL_RAKE_DEG, radius=choil_radius
    )
    return BladeCurves(edge, spine, choil)


def falling_nose(tip: Vector, *, height: float, nose: float, tip_deg: float) -> Curve:
    """Spine that runs level from the origin and falls in one round to a low tip; from the origin to the tip.

    Args:
        tip: Below the level of the origin, mm.
        height: Of the blade, mm.
        nose: The round begins so many heights behind the tip.
        tip_deg: How steeply it reaches the tip, from level, above 0 to 90.

    Raises:
        ParameterError: The nose is longer than the blade, or too short for a round of that steepness.
    """
    x, y = tip
    corner = x + y / math.tan(math.radians(tip_deg))
    least, most = (x - corner) / height, x / height
    must = f"be more than {least:.3f}, for the tip is reached at {tip_deg:g} degrees, and less than {most:.3f}"
    require("nose", nose, "of the height", must, ok=least < nose < most)
    begin = (x - nose * height, 0.0)
    return join(line((0.0, 0.0), begin), bow(begin, (corner, 0.0), tip, fullness=_NOSE_FULLNESS))


def rounded_corner(corner: Vector, following: Curve) -> Curve:
    """A level line from the origin to a corner out of which a curve goes on, the corner rounded.

    Args:
        corner: Where the level meets the curve's first direction, mm.
        following: The curve; the rounding begins as far before the corner as it ends behind it, where the curve starts.
    """
    reach = math.dist(corner, following.start)
    if reach <= JOINED:
        return join(line((0.0, 0.0), corner), following)
    begin = (corner[0] - reach, 0.0)
    return join(line((0.0, 0.0), begin), bow(begin, corner, following.start, fullness=(0.6, 0.6)), following)
