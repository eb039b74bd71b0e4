"""A small round notch between ricasso and edge, into which the stone runs out."""

from __future__ import annotations

import math

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.outline.flow import sway
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import JOINED

_OVER = 0.5
"""A notch is deeper than its radius by this, so that the edge may be ground back a little, mm; own choice by eye."""

_REACH = (0.4, 0.4)
"""Of the ricasso's lower border, as for a sway; own choice by eye."""


def notch_to_heel(
    front_bottom: Vector, heel: Vector, *, slope_deg: float, low: float, corner: float, radius: float
) -> Curve:
    """From the handle's underside to a level lowest place, round a corner up into a notch, and down to the heel.

    Args:
        front_bottom: Where the handle's underside ends, mm.
        heel: Rear end of the edge, mm; the notch meets it upright.
        slope_deg: Of the underside there, negative where it falls towards the tip.
        low: Height of the lowest place before the notch, at most that of the heel, mm.
        corner: Outside radius between the lowest place and the notch, mm.
        radius: Inside radius of the notch, > 0 mm.

    Raises:
        ParameterError: The notch has no room between handle and heel.
    """
    if not radius > 0:
        raise ParameterError("choil_radius", f"{radius:g} mm", "be more than 0 mm")
    (x, y), deep = heel, radius + _OVER
    high = y + deep - low
    turn = math.acos(max(0.0, 1 - high / (corner + radius)))
    upright = max(0.0, high - corner - radius)
    begin = x - radius - (corner + radius) * math.sin(turn)
    # The lower border must fall to the corner without a bend that is tighter than a wheel.
    fall = front_bottom[1] - low
    least = _least_run(fall)
    if not begin - front_bottom[0] > least:
        raise ParameterError(
            "heel",
            f"{x:g} mm",
            f"be more than {x - begin + least + front_bottom[0]:.2f} mm, so that ricasso and notch have room, or the "
            f"notch be smaller than {radius:g} mm",
        )
    border = sway(front_bottom, (begin, low), start_deg=slope_deg, end_deg=0.0, reach=_REACH)
    turn_deg = math.degrees(turn)
    out = arc((begin, low + corner), corner, -90.0, turn_deg)
    top = y + deep - radius
    pieces = [border, out]
    if upright > JOINED:
        pieces.append(line(out.end, (out.end[0], top)))
    pieces.append(arc((x - radius, top), radius, 90.0 + turn_deg, -turn_deg - 90.0))
    pieces.append(line((x, top), heel))
    return join(*pieces)


_WHEEL = 6.35
"""Radius of a half-inch contact wheel, mm."""


def _least_run(fall: float) -> float:
    """Over what length a sway between two nearly level lines so far apart keeps to the wheel, mm.

    Two arcs of the wheel fall by ``fall`` over ``sqrt(4 * wheel * fall - fall**2)``; a cubic needs a quarter more.
    """
    least = min(max(fall, 0.0), 2 * _WHEEL)
    return 1.25 * math.sqrt(4 * _WHEEL * least - least**2)
