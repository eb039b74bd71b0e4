"""The two corners that profiles share: round the butt, and from the handle down to the heel."""

from __future__ import annotations

import math

from bladegeom.curves.build import arc, direction, line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.quantities.errors import CurveError, ParameterError
from bladegeom.quantities.tolerances import JOINED
from bladegeom.shape.flow import bow
from bladegeom.shape.halves import HandleCurves

_BUTT_FULLNESS = (0.72, 0.78)
"""Of the rounding at the long lines and at the rear: squarer than an ellipse; own choice by eye."""


def close_with_butt(top: Curve, underside: Curve, *, rear: float) -> HandleCurves:
    """A rounded butt from the end of the top to the start of the underside, tangent to both.

    Args:
        top: Origin to where the rounding begins.
        underside: Where it ends, to the handle front.
        rear: The butt's rearmost x, mm.

    Raises:
        CurveError: Top and underside leave no height for a butt.
    """
    upper, lower = _at(rear, top.end, top.end_direction), _at(rear, underside.start, underside.start_direction)
    if not (upper > lower and top.end[0] > rear and underside.start[0] > rear):
        raise CurveError(
            f"the handle's top and underside leave a butt of {upper - lower:.2f} mm height at x {rear:.2f} mm, "
            "which must be more than 0: give it more flare or less butt_round"
        )
    middle = (rear, (upper + lower) / 2)
    round_top = bow(top.end, (rear, upper), middle, fullness=_BUTT_FULLNESS)
    round_bottom = bow(middle, (rear, lower), underside.start, fullness=_BUTT_FULLNESS[::-1])
    return HandleCurves(top, join(round_top, round_bottom), underside)


def down_to_heel(front_bottom: Vector, heel: Vector, *, slope_deg: float, rake_deg: float, radius: float) -> Curve:
    """From the handle's underside round an inside radius down to the heel.

    Straight on, then an arc, which ends at the heel, or turns into the straight rear border of a deep heel.

    Args:
        front_bottom: Where the handle's underside ends, mm.
        heel: Rear end of the edge, mm; ahead of it and below.
        slope_deg: Of the underside there, negative where it falls towards the tip.
        rake_deg: How far the rear border leans from upright, its lower end ahead.
        radius: Inside radius, > 0 mm.

    Raises:
        ParameterError: The radius is too large for the way to the heel, or the heel is not below the underside.
    """
    along, down = direction(slope_deg), direction(slope_deg - 90)
    x, y = heel[0] - front_bottom[0], heel[1] - front_bottom[1]
    ahead, below = x * along[0] + y * along[1], x * down[0] + y * down[1]
    if not below > JOINED:
        least = -heel[1] + (JOINED - below) / along[0]
        raise ParameterError(
            "height",
            f"{-heel[1]:g} mm",
            f"be more than {least:.2f} mm, for the underside falls by {-slope_deg:g} degrees on its way to the heel",
        )
    full = math.radians(90 - rake_deg + slope_deg)
    largest = (ahead - below / math.tan(full)) / math.tan(full / 2)
    if largest * (1 - math.cos(full)) > below:
        largest = (ahead**2 + below**2) / (2 * below)
    if not 0 < radius <= largest:
        raise ParameterError(
            "choil_radius",
            f"{radius:g} mm",
            f"be > 0 mm and at most {max(largest, 0.0):.2f} mm, or the heel lie farther ahead than {heel[0]:g} mm",
        )
    turn = min(full, math.acos(max(-1.0, 1 - below / radius)))
    border = max(0.0, (below - radius * (1 - math.cos(full))) / math.sin(full))
    lead = ahead - radius * math.sin(turn) - border * math.cos(full)
    begin = (front_bottom[0] + lead * along[0], front_bottom[1] + lead * along[1])
    centre = (begin[0] + radius * down[0], begin[1] + radius * down[1])
    curve = arc(centre, radius, slope_deg + 90, -math.degrees(turn))
    if lead > JOINED:
        curve = join(line(front_bottom, curve.start), curve)
    if border > JOINED:
        curve = join(curve, line(curve.end, heel))
    return curve


def _at(x: float, point: Vector, way: Vector) -> float:
    """Height at x of the line through a point."""
    return point[1] + (x - point[0]) * way[1] / way[0] if way[0] else math.nan
