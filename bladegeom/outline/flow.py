"""Lines that run straight and then bend away ever more, as a maker's eye draws a belly or a dropping spine."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.build import direction
from bladegeom.curves.curve import Curve, Vector, curvature
from bladegeom.outline.ramp import ramped
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import JOINED


def straight_then_bend(start: Vector, bend_at: float, end: Vector, *, power: float) -> Curve:
    """A level line that from ``bend_at`` on departs from itself as about the ``power`` of the way gone.

    The bend is one cubic, so that it has no bump: the square or the cube of the way exactly for the powers 2 and 3,
    the mean of both that ends in the power's direction for those between. Where a level comes before it, it begins
    over a ramp of its curvature, see ``ramped``.

    Args:
        start: First point, mm.
        bend_at: Fraction of the way along the level at which the bend begins, from 0 to less than 1.
        end: Last point, mm; level with the start, or not.
        power: At least 1.5; the higher, the later and rounder the bend.

    Raises:
        CurveError: Outside these limits.
    """
    if not 0 <= bend_at < 1:
        raise CurveError(
            f"a line can begin to bend at 0 to less than 1 of its way, not at {bend_at:g}", value=bend_at, limit=1.0
        )
    if not power >= 1.5:
        raise CurveError(f"a line bends with a power of at least 1.5, not {power:g}", value=power, limit=1.5)
    (x, y), x_end = start, end[0]
    level = bend_at * (x_end - x)
    begin = x + level if abs(level) > JOINED else x
    bend = bow(
        (begin, y),
        (x_end - (x_end - begin) / power, y),
        end,
        fullness=(power / (3 * (power - 1)), min(power / 3, 1.0)),
    )
    return ramped(start, bend)


def bow(start: Vector, corner: Vector, end: Vector, *, fullness: tuple[float, float]) -> Curve:
    """One cubic that leaves its start towards a corner, and reaches its end from there; it never turns back.

    Args:
        start: First point, mm.
        corner: Where the directions at both ends meet, mm.
        end: Last point, mm.
        fullness: How far either control point lies from its end towards the corner, 0 to 1. An ellipse has 0.552
            twice; more fills the corner.
    """
    p, c, q = np.array(start), np.array(corner), np.array(end)
    return Curve(np.array([[p, p + fullness[0] * (c - p), q + fullness[1] * (c - q), q]]))


def bow_into(start: Vector, corner: Vector, following: Curve, *, fullness: float) -> Curve:
    """A bow that reaches the start of another curve with the curvature with which that one begins.

    Args:
        start: First point, mm.
        corner: Where the directions at both ends meet, mm: behind the start of the curve that follows.
        following: The curve to run into.
        fullness: Of the end, 0 to 1; that of the start follows, and is at least 0.2.

    Raises:
        CurveError: The directions at both ends meet in no corner.
    """
    end, (dx, dy) = following.start, following.start_direction
    (bend,) = np.abs(curvature(following, 0.0))
    # A cubic's curvature at its end is 2/3 of the other control point's distance from the tangent, over leg squared.
    aside = 1.5 * float(bend) * (fullness * math.dist(corner, end)) ** 2
    across = abs(dx * (corner[1] - start[1]) - dy * (corner[0] - start[0]))
    if not across > 0:
        raise CurveError(
            f"no bow from x {start[0]:.2f}, y {start[1]:.2f} mm: its two directions meet in no corner", at=start
        )
    return bow(start, corner, end, fullness=(max(0.2, 1 - aside / across), fullness))


def sway(start: Vector, end: Vector, *, start_deg: float, end_deg: float, reach: tuple[float, float]) -> Curve:
    """One cubic between two points with given directions of travel, which need not meet in a corner.

    Args:
        start: First point, mm.
        end: Last point, mm.
        start_deg: Direction of travel at the start, from +x counter-clockwise.
        end_deg: The same at the end.
        reach: How far from its end either control point lies, as a part of the whole way, > 0: the farther, the longer
            that direction holds.
    """
    p, q, way = np.array(start), np.array(end), math.dist(start, end)
    d, e = np.array(direction(start_deg)), np.array(direction(end_deg))
    return Curve(np.array([[p, p + reach[0] * way * d, q - reach[1] * way * e, q]]))


def sway_from(before: Curve, end: Vector, *, end_deg: float, reach: float) -> Curve:
    """A sway that leaves the end of another curve with that curve's direction and curvature.

    Args:
        before: The curve to run on from; it must bend at its end.
        end: Last point, mm.
        end_deg: Direction of travel there, from +x counter-clockwise.
        reach: As for :func:`sway`, at the end; at the start it follows, and is at most 0.6.

    Raises:
        CurveError: The curve before is straight where it ends.
    """
    start, (dx, dy) = before.end, before.end_direction
    way = math.dist(start, end)
    ex, ey = direction(end_deg)
    back_x, back_y = end[0] - reach * way * ex - start[0], end[1] - reach * way * ey - start[1]
    (bend,) = np.abs(curvature(before, float(len(before))))
    if not bend > 0:
        raise CurveError(
            f"nothing to sway from: the curve before is straight at x {start[0]:.2f}, y {start[1]:.2f} mm", at=start
        )
    leg = math.sqrt(abs(dx * back_y - dy * back_x) / (1.5 * float(bend)))
    start_deg = math.degrees(math.atan2(dy, dx))
    return sway(start, end, start_deg=start_deg, end_deg=end_deg, reach=(min(leg / way, 0.6), reach))
