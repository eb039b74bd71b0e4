"""The corners that profiles share: round the butt or square it, and from the handle down to the heel."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.build import arc, direction, line
from bladegeom.curves.curve import Curve, Vector, join, points, split
from bladegeom.outline.flow import bow
from bladegeom.outline.halves import HandleCurves
from bladegeom.quantities.errors import CurveError, ParameterError
from bladegeom.quantities.tolerances import JOINED

_BUTT_FULLNESS = (0.72, 0.78)
"""Of the rounding at the long lines and at the rear: squarer than an ellipse; own choice by eye."""

_CUTS = 24
"""A line is cut where a chord between so many places on each of its pieces says."""


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
            "which must be more than 0: give it more flare or less butt_round",
            at=(rear, (upper + lower) / 2),
            value=upper - lower,
            limit=0.0,
        )
    middle = (rear, (upper + lower) / 2)
    round_top = bow(top.end, (rear, upper), middle, fullness=_BUTT_FULLNESS)
    round_bottom = bow(middle, (rear, lower), underside.start, fullness=_BUTT_FULLNESS[::-1])
    return HandleCurves(top, join(round_top, round_bottom), underside)


def close_square(top: Curve, underside: Curve, *, reach: float) -> HandleCurves:
    """A butt cut straight across, its two corners rounded.

    Args:
        top: Origin to the butt's upper corner.
        underside: From its lower corner to the handle front.
        reach: From each corner to where its rounding begins and ends, > 0 mm; less than half the butt's height.

    Raises:
        CurveError: The roundings do not fit on the butt.
    """
    upper, lower = top.end, underside.start
    height = math.dist(upper, lower)
    if not (0 < 2 * reach < height and upper[1] > lower[1]):
        raise CurveError(
            f"the butt is {height:.2f} mm high, and its corners are rounded over {reach:.2f} mm each: "
            "give it more height or less butt_round",
            value=reach,
            limit=height,
        )
    top_cut, under_cut = _shortened(top, reach), _shortened(underside.reversed(), reach).reversed()
    step = reach / height
    high = (upper[0] + step * (lower[0] - upper[0]), upper[1] + step * (lower[1] - upper[1]))
    low = (lower[0] + upper[0] - high[0], lower[1] + upper[1] - high[1])
    butt = join(
        _corner(top_cut.end, top_cut.end_direction, high, (lower[0] - upper[0], lower[1] - upper[1])),
        line(high, low),
        _corner(low, (lower[0] - upper[0], lower[1] - upper[1]), under_cut.start, under_cut.start_direction),
    )
    return HandleCurves(top_cut, butt, under_cut)


def taken_off(into_deg: float, out_deg: float, *, reach: float) -> float:
    """How far a corner between two lines moves ahead when a circle rounds it, mm along x.

    Args:
        into_deg: Direction of travel into the corner, at most 270: down and to the rear.
        out_deg: Out of it, at least 270.
        reach: From the corner to where the circle begins and ends, mm.
    """
    radius = reach / math.tan(math.radians(out_deg - into_deg) / 2)
    (back, _), (aside, _) = direction(into_deg), direction(into_deg + 90)
    return radius * aside - reach * back - radius


def to_length(curves: HandleCurves, length: float) -> HandleCurves:
    """A handle stretched along x by the little that its rounded butt lacks or has too much.

    Args:
        curves: The handle; its rear lies within a tenth of a millimetre or so of the length.
        length: Handle front to the rear of the butt, along x, mm.
    """
    stretch = ((-length / bounding_box(curves.butt.pieces)[0], 0.0, 0.0), (0.0, 1.0, 0.0))
    return HandleCurves(*(curve.transformed(stretch) for curve in curves))


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
            f"be more than 0 mm and at most {max(largest, 0.0):.2f} mm, or the heel lie farther ahead than "
            f"{heel[0]:g} mm",
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


def _shortened(curve: Curve, by: float) -> Curve:
    """A curve without its last so many mm, as the crow flies."""
    (x, y), places = curve.end, np.linspace(0.0, len(curve), 1 + _CUTS * len(curve))
    away = np.hypot(*(points(curve, places) - np.array([x, y])).T)
    i = int(np.flatnonzero(away >= by)[-1]) if away[0] > by else -1
    if i < 0:
        raise CurveError(
            f"a rounding of {by:.2f} mm is longer than the line that it ends: give less butt_round", value=by
        )
    share = (away[i] - by) / (away[i] - away[i + 1])
    return split(curve, float(places[i] + share * (places[i + 1] - places[i])))[0]


def _corner(start: Vector, way: Vector, end: Vector, leaving: Vector) -> Curve:
    """About a circle between two points whose directions meet as far ahead of the one as behind the other."""
    size = math.hypot(*way)
    turn, along = (way[0] * leaving[1] - way[1] * leaving[0]) / size, (way[0] * leaving[0] + way[1] * leaving[1]) / size
    ahead = ((end[0] - start[0]) * leaving[1] - (end[1] - start[1]) * leaving[0]) / turn / size
    angle = math.atan2(turn, along)
    # The arms of a circle's cubic as parts of the way to the corner.
    full = 4 / 3 * math.tan(angle / 4) / math.tan(angle / 2)
    return bow(start, (start[0] + ahead * way[0], start[1] + ahead * way[1]), end, fullness=(full, full))


def _at(x: float, point: Vector, way: Vector) -> float:
    """Height at x of the line through a point."""
    return point[1] + (x - point[0]) * way[1] / way[0] if way[0] else math.nan
