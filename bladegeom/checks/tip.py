"""The tip against the angle that it is sharpened at."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from bladegeom.grinding.thickness import thickness
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_angle, show_length, show_mm

BEHIND_TIP = 5.0
"""Where the tip is judged, mm behind it: nearer, every blade is all facet; own choice."""

_STEP = 0.05
"""Thicknesses that are proposed are whole numbers of this, mm."""

_INSIDE = 1e-6
"""So far below the spine the steel is asked for its thickness, mm."""


_FAR = 1e4
"""Beyond every knife, mm."""


@rule(
    Code("tip-thick", ("warning",), "the blade stays so thick up to its tip that sharpening takes all of it there"),
)
def check_tip(knife: Knife) -> Iterator[Finding]:
    """A blade that does not thin towards its tip: there the facet of the edge would run up to the spine."""
    x = knife.outline.tip[0] - BEHIND_TIP
    if x <= knife.plunge_line.end[0]:
        return
    upright = shapely.LineString([(x, -_FAR), (x, _FAR)])
    _, _, _, spine = shapely.intersection(knife.outline.polygon, upright).bounds
    at = np.array([x]), np.array([spine - _INSIDE])
    left = float(thickness(knife, "finished", *at)[0])
    from_edge = float(knife.side("finished", "right").edge.distances(*at)[0])
    faces = (1 if knife.grind.only else 2) * from_edge
    most = faces * math.tan(math.radians(knife.grind.sharpen_deg))
    if left <= most + SHOP:
        return
    blunter = math.ceil(math.degrees(math.atan(left / faces)))
    yield Finding(
        code="tip-thick",
        severity="warning",
        part="blade",
        message=(
            f"{show_length(BEHIND_TIP)} behind the tip the blade is {show_length(left)} thick at the spine; above "
            f"{show_length(most)} a facet of {show_angle(knife.grind.sharpen_deg)} degrees runs up to the spine, and "
            f"the point is a stub: {_thinner(knife, x, left, most)}sharpen it at {blunter} degrees or more, or leave "
            "it so where the tip is meant for prying"
        ),
        measured=left,
        limit=most,
        source="common practice, no source; the angle is the design's own",
        x=x,
        y=spine,
    )


def _thinner(knife: Knife, x: float, left: float, most: float) -> str:
    """Where the spine keeps the bar's thickness: the taper that thins it, from its last station behind on, and a bevel.

    Without one it starts at the plunge line.
    """
    if left < 2 * knife.stock.half_thickness(np.array([x]))[0] - SHOP:
        return ""
    tip = knife.outline.tip[0]
    back = max([knife.plunge_line.end[0], *(station for station, _ in knife.stock.taper if station < x)])
    bar = 2 * float(knife.stock.half_thickness(np.array([back]))[0])
    share = (tip - x) / (tip - back)
    wanted = math.floor((most - share * bar) / (1 - share) / _STEP) * _STEP
    taper = (
        f"taper the bar from {show_length(bar)} at x {show_mm(back)} mm to {show_length(wanted)} at the tip, x "
        f"{show_mm(tip)} mm, "
    )
    bevel = "grind a bevel of constant height or angle, which runs out before the tip, "
    return taper + bevel if wanted > knife.grind.edge_thickness else bevel
