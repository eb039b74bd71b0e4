"""Hollow faces against the shop's contact wheels."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.bevels.face import Face, Wheel
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length


@rule(
    Code("no-such-wheel", ("warning",), "a hollow lies on a wheel that the shop does not have"),
    Code("hollow-on-no-wheel", ("warning",), "no single wheel leaves a hollow"),
)
def check_wheel(knife: Knife) -> Iterator[Finding]:
    """A hollow needs its wheel."""
    sheet = GrindSheet(knife)
    for face in knife.grind.faces:
        wheel = face.wheel(sheet.section(face))
        if wheel is None:
            continue
        if wheel.strays > SHOP:
            yield _no_circle(knife, face, wheel)
        elif not any(wheel.least - SHOP < own < wheel.greatest + SHOP for own in knife.shop.contact_wheels):
            yield _no_such_wheel(knife, wheel)


def _no_such_wheel(knife: Knife, wheel: Wheel) -> Finding:
    nearest = _nearest(knife, wheel)
    where = "is declared on" if wheel.is_declared else "lies, by its heights, on"
    return Finding(
        code="no-such-wheel",
        severity="warning",
        part="blade",
        message=(
            f"the hollow {where} a wheel of {show_length(wheel.diameter)}, which the shop does not "
            f"have; the nearest is {show_length(nearest)}"
        ),
        measured=wheel.diameter,
        limit=nearest,
        source="the shop's contact wheels",
        x=knife.outline.heel[0],
        y=knife.outline.heel[1],
    )


def _no_circle(knife: Knife, face: Face, wheel: Wheel) -> Finding:
    """A hollow of the maker's own law that no wheel leaves."""
    return Finding(
        code="hollow-on-no-wheel",
        severity="warning",
        part="blade",
        message=(
            f"the {face.kind} face is hollow and strays {show_length(wheel.strays)} from the circle that comes "
            f"nearest, of a wheel of {show_length(wheel.diameter)}: no single wheel leaves it; the shop's nearest is "
            f"{show_length(_nearest(knife, wheel))}; grind it in steps, or declare it on a wheel (HollowBevel)"
        ),
        measured=wheel.strays,
        limit=SHOP,
        source="geometry of the declared bevel; what a shop can measure",
        x=knife.outline.heel[0],
        y=knife.outline.heel[1],
    )


def _nearest(knife: Knife, wheel: Wheel) -> float:
    return min(knife.shop.contact_wheels, key=lambda own: abs(own - wheel.diameter))
