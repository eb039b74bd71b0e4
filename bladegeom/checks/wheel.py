"""Hollow bevels against the shop's contact wheels."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.knife.bevels.round import HollowBevel
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length


def check_wheel(knife: Knife) -> Iterator[Finding]:
    """A hollow needs its wheel."""
    wheels = knife.shop.contact_wheels
    for face in knife.grind.faces:
        if not isinstance(face, HollowBevel) or any(abs(face.wheel_diameter - own) < SHOP for own in wheels):
            continue
        nearest = min(wheels, key=lambda own: abs(own - face.wheel_diameter))
        yield Finding(
            code="no-such-wheel",
            severity="warning",
            part="blade",
            message=(
                f"the hollow is declared on a wheel of {show_length(face.wheel_diameter)}, which the shop does not "
                f"have; the nearest is {show_length(nearest)}"
            ),
            measured=face.wheel_diameter,
            limit=nearest,
            source="the shop's contact wheels",
            x=knife.outline.heel[0],
            y=knife.outline.heel[1],
        )
