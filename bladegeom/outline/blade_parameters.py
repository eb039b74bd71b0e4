"""Parameters that many blades have: unit, meaning, and what no blade can do without; the numbers are a profile's own.

A profile says ``height: float = usual.height(28.0, 25.5, 40.0)``: as it comes, and from where to where it is sensible.
"""

from __future__ import annotations

from typing import Any

from bladegeom.outline.parameter import CommonParameter, Rule


def _heel_rule(blade: Any) -> str:
    half = blade.blade_length / 2
    return "" if 0 < blade.heel < half else f"be more than 0 mm and less than half the blade ({half:g} mm)"


def _part(name: str) -> Rule:
    """A part of the way."""
    return lambda blade: "" if 0 <= getattr(blade, name) < 1 else "be at least 0 and less than 1"


blade_length = CommonParameter(
    "mm", "handle front to tip, along x", lambda blade: "" if blade.blade_length > 0 else "be more than 0 mm"
)
height = CommonParameter(
    "mm",
    "spine line down to the edge at the heel",
    lambda blade: "" if blade.height > blade.front_height else f"be more than front_height ({blade.front_height:g} mm)",
)
front_height = CommonParameter(
    "mm",
    "height of the steel where the handle begins",
    lambda blade: "" if blade.front_height > 0 else "be more than 0 mm",
)
ricasso = CommonParameter("mm", "handle front to heel, along x: the ricasso", _heel_rule)
neck = CommonParameter("mm", "handle front to heel, along x: the neck", _heel_rule)
notch_radius = CommonParameter("mm", "inside radius of the finger notch before the heel")
neck_radius = CommonParameter("mm", "inside radius between neck and heel")
stone_notch_radius = CommonParameter("mm", "inside radius of the sharpening notch before the heel")
tip_drop = CommonParameter(
    "mm",
    "tip below the spine line",
    lambda blade: (
        "" if 0 < blade.tip_drop < blade.height else f"be more than 0 mm and less than height ({blade.height:g} mm)"
    ),
)
tip_rise = CommonParameter("mm", "tip above the spine line")
edge_rise = CommonParameter(
    "mm",
    "tip above the straight edge",
    lambda blade: "" if blade.edge_rise < blade.height else f"be less than height ({blade.height:g} mm)",
)
spine_drops_at = CommonParameter("of the length", "where the spine begins to drop", _part("spine_straight"))
spine_rises_at = CommonParameter("of the length", "where the spine begins to rise", _part("spine_straight"))
edge_straight = CommonParameter("of the edge", "where the belly begins", _part("edge_straight"))
belly = CommonParameter(
    "power",
    "fullness of the belly: the higher, the rounder near the tip",
    lambda blade: "" if blade.belly >= 1.5 else "be at least 1.5; 2 is a parabola, more is fuller",
)
nose = CommonParameter("of the height", "how far behind the tip the spine begins to fall")
tip_slope = CommonParameter(
    "deg",
    "how steeply the spine reaches the tip, from level",
    lambda blade: "" if 0 < blade.tip_slope <= 90 else "be more than 0 and at most 90",
)
cut = CommonParameter(
    "deg",
    "how steeply the spine is cut down to the tip, from level",
    lambda blade: "" if 5 < blade.cut < 90 else "be more than 5 and less than 90",
)


def _corner_round_rule(blade: Any) -> str:
    most = blade.tip_drop / 2
    return "" if 0 < blade.corner_round < most else f"be more than 0 mm and less than half of tip_drop ({most:g} mm)"


corner_round = CommonParameter("mm", "rounding where the cut leaves the spine, to each side", _corner_round_rule)
