"""A cupboard of designs: plain shapes with closed forms, one of each profile, and shapes that try the code hard."""

from __future__ import annotations

from typing import Any

from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import Vector, join
from bladegeom.fasteners.pin import Pin
from bladegeom.knife.bevels.flat import FlatBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.hardware.bore import chosen_drill
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.profiles import get
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.materials import Material

BLADES = ("chef", "drop_point", "petty")
HANDLES = ("birds_head", "straight", "swelled")

SENSIBLE = {
    # stock, bevel height, edge thickness, mm: common practice, no source
    "chef": (2.5, 40.0, 0.25),
    "drop_point": (4.0, 16.0, 0.5),
    "petty": (2.0, 26.0, 0.25),
}
"""For the blade profiles as they come."""


def ground(
    outline: Outline,
    *,
    steel: str = "1084",
    thickness: float = 4.0,
    height: float = 18.0,
    edge: float = 0.5,
    plunge: float | None = None,
    lean: float = 0.0,
    **more: Any,
) -> Knife:
    """A knife of an outline; the plunge line stands at the heel unless told otherwise."""
    return Knife(
        name="specimen",
        outline=outline,
        stock=Stock(steel=steel, thickness=thickness),
        grind=Grind(
            bevel=FlatBevel(height=height, edge_thickness=edge),
            plunge=Plunge(x=outline.heel[0] if plunge is None else plunge, lean_deg=lean),
        ),
        **more,
    )


def pins(size: str | float | Drill = "1/4", *, rod: str | Material = "304") -> Pin:
    """A rod as wide as its hole, which is of that very size in tang, liners and scales."""
    drill = chosen_drill(size)
    return Pin(rod=rod, diameter=drill.diameter, tang_hole=drill, scale_hole=drill)


def bar_outline(*, blade: float = 200.0, height: float = 30.0, tang: float = 100.0, heel: float = 0.0) -> Outline:
    """A rectangle from x = -tang to x = blade and from y = -height to 0; its lower front corner is the tip."""
    front, low = (0.0, 0.0), -height
    return Outline(
        edge=line((heel, low), (blade, low)),
        spine=line((blade, low), (blade, 0.0), front),
        handle_top=line(front, (-tang, 0.0)),
        butt=line((-tang, 0.0), (-tang, low)),
        handle_underside=line((-tang, low), (-1.0, low)),
        choil=line((-1.0, low), (heel, low)),
    )


DISC_RADIUS = 40.0
DISC_CENTRE = 45.0
"""Of the disc, on the line of the spine, x in mm."""


def disc_outline() -> Outline:
    """An edge along a circle about a point of the straight spine: in front of that point a quarter of the disc."""
    edge = arc((DISC_CENTRE, 0.0), DISC_RADIUS, 200.0, 160.0)
    return Outline(
        edge=edge,
        spine=line(edge.end, (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-100.0, 0.0)),
        butt=line((-100.0, 0.0), (-100.0, -12.0)),
        handle_underside=line((-100.0, -12.0), (0.0, -12.0)),
        choil=line((0.0, -12.0), edge.start),
    )


def recurve_outline() -> Outline:
    """An edge that is hollow behind its belly, and a belly rounder than a tall bevel is high."""
    heel, tip = (9.0, -30.0), (140.0, -4.0)
    return Outline(
        edge=spline([heel, (45.0, -23.0), (95.0, -33.0), tip], start_deg=10.0, end_deg=75.0),
        spine=spline([tip, (70.0, 1.0), (0.0, 0.0)], end_deg=180.0),
        handle_top=line((0.0, 0.0), (-110.0, -3.0)),
        butt=line((-110.0, -3.0), (-112.0, -26.0)),
        handle_underside=line((-112.0, -26.0), (0.0, -22.0)),
        choil=join(line((0.0, -22.0), (2.0, -22.0)), spline([(2.0, -22.0), heel], start_deg=0.0, end_deg=-75.0)),
    )


def tang_outline(upper: list[Vector], lower: list[Vector]) -> Outline:
    """A plain blade on a tang of straight lines.

    Args:
        upper: From behind the origin to the butt's upper corner.
        lower: From the butt's lower corner; the underside ends at (0, -25).
    """
    return Outline(
        edge=line((6.0, -25.0), (120.0, -6.0)),
        spine=line((120.0, -6.0), (100.0, 0.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), *upper),
        butt=line(upper[-1], lower[0]),
        handle_underside=line(*lower, (0.0, -25.0)),
        choil=line((0.0, -25.0), (6.0, -25.0)),
    )


def plain_tang(*, length: float = 120.0) -> Outline:
    """A straight tang, 25 mm high from y = -25 to 0."""
    return tang_outline([(-length, 0.0)], [(-length, -25.0)])


def profile(blade: str, handle: str, **more: Any) -> Knife:
    """The profiles of two names as they come, on sensible stock with a sensible bevel."""
    blade_half, handle_half = get(blade)(), get(handle)()
    assert isinstance(blade_half, BladeProfile)
    assert isinstance(handle_half, HandleProfile)
    thickness, height, edge = SENSIBLE[blade]
    values = {"thickness": thickness, "height": height, "edge": edge, **more}
    return ground(join_halves(blade_half, handle_half), **values)


def drop_point(**more: Any) -> Knife:
    """A drop point on a swelled handle."""
    return profile("drop_point", "swelled", **more)


def petty(**more: Any) -> Knife:
    """A petty on a straight handle, ground nearly to the spine."""
    return profile("petty", "straight", **more)


def chef(**more: Any) -> Knife:
    """A chef's knife on a bird's-head handle."""
    return profile("chef", "birds_head", **more)


def recurve(**more: Any) -> Knife:
    """A recurve, its bevel higher than the belly's radius."""
    return ground(recurve_outline(), **{"height": 24.0, **more})
