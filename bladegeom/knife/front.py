"""The handle front: a straight line, or an arc, from the spine down to the underside."""

from __future__ import annotations

import math

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

_MOST_BOW = 0.25
"""Of the front's height: more would no longer look like a front; own choice."""


def front_curve(foot: Vector, bow: float) -> Curve:
    """From the origin to a foot below it.

    Args:
        foot: Lower end, mm.
        bow: Height of the arc over the straight line, + towards the tip, mm.

    Raises:
        ParameterError: A bow of more than a quarter of the front's height, or one that nobody could see.
    """
    if bow == 0:
        return line((0.0, 0.0), foot)
    size = math.hypot(*foot)
    most = _MOST_BOW * size
    if abs(bow) < SHOP:
        raise ParameterError("knife: front_bow", f"{bow:g} mm", f"be 0 for a straight front, or {SHOP:g} mm and more")
    if abs(bow) > most:
        raise ParameterError("knife: front_bow", show_length(bow), f"be at most {show_length(most)} either way")
    radius = (size**2 / 4 + bow**2) / (2 * abs(bow))
    half = math.degrees(math.asin(size / 2 / radius))
    down = math.degrees(math.atan2(foot[1], foot[0]))
    # Going down the front, the tip lies to the left: an arc that bulges there turns right.
    side = math.copysign(1.0, bow)
    start = down + side * (90.0 + half)
    centre = (-radius * math.cos(math.radians(start)), -radius * math.sin(math.radians(start)))
    pieces = arc(centre, radius, start, -side * 2 * half).pieces.copy()
    pieces[0, 0], pieces[-1, 3] = (0.0, 0.0), foot
    return Curve(pieces)
