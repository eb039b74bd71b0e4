"""Walls of what is bought: a sleeve or a shoulder round its thread, a tube round its bore."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.fasteners.stack import stacks
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length


@rule(
    Code("thin-wall", ("warning",), "a wall of what is bought is too thin"),
)
def check_stack_walls(knife: Knife) -> Iterator[Finding]:
    """All walls that are too thin; once for all fasteners alike."""
    least, told = knife.handle_rules.wall, set()
    for stack in stacks(knife):
        hardware, layers = stack.hardware, stack.layers
        if hardware in told:
            continue
        told.add(hardware)
        for at in hardware.walls:
            wall = (at.outer - at.inner) / 2
            if wall < least - SHOP:
                yield Finding(
                    code="thin-wall",
                    severity="warning",
                    part=layers.name,
                    message=(
                        f"{layers.place}: the wall {at.words} is {show_length(wall)}, less than {show_length(least)}; "
                        f"make its {at.field} at least {show_length(at.inner + 2 * least)}, or {at.other}"
                    ),
                    measured=wall,
                    limit=least,
                    source=knife.handle_rules.source("wall"),
                    x=layers.fastener.x,
                    y=layers.fastener.y,
                )
