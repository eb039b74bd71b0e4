"""Walls of what is bought: a sleeve or a shoulder round its thread, a tube round its bore."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.fasteners.layer_stack import Site
from bladegeom.knife.fastener import AnyHardware
from bladegeom.knife.finding import Finding
from bladegeom.knife.hardware.bolt import ShoulderedBolt
from bladegeom.knife.hardware.pin import Tube
from bladegeom.knife.hardware.standoff import StandoffScrews
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length


def check_stack_walls(knife: Knife) -> Iterator[Finding]:
    """All walls that are too thin; once for all fasteners alike."""
    least, told = knife.handle_rules.wall, set()
    for i, one in enumerate(knife.fasteners):
        if one.hardware in told:
            continue
        told.add(one.hardware)
        for field, outer, words, inner, other in _walls(one.hardware):
            wall = (outer - inner) / 2
            if wall < least - SHOP:
                yield Finding(
                    code="thin-wall",
                    severity="warning",
                    part=knife.hole_ids[i],
                    message=(
                        f"{Site(knife, i).place}: wall {show_length(wall)} {words} < {show_length(least)}; make its "
                        f"{field} at least {show_length(inner + 2 * least)}, or {other}"
                    ),
                    measured=wall,
                    limit=least,
                    source=knife.handle_rules.source("wall"),
                    x=one.x,
                    y=one.y,
                )


def _walls(one: AnyHardware) -> Iterator[tuple[str, float, str, float, str]]:
    """The field of the outer diameter, that, where the wall is, the inner diameter, and the other way out."""
    match one:
        case Tube():
            yield "outside", one.outside, "of the tube", one.inside, "its bore narrower"
        case StandoffScrews():
            words = f"of the sleeve round its {one.screw.name} thread"
            yield "diameter", one.diameter, words, one.screw.major, "take a thinner thread"
        case ShoulderedBolt():
            words = f"of the shoulder round its {one.screw.name} thread"
            yield "shoulder_diameter", one.shoulder_diameter, words, one.screw.major, "take a thinner thread"
