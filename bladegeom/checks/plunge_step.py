"""The inside corner along the plunge line, where a blade that is ground before hardening cracks in the quench."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length


@rule(
    Code("plunge-sharp", ("warning",), "the step at the plunge line is too sharp for the quench"),
)
def check_plunge_step(knife: Knife) -> Iterator[Finding]:
    """Nothing for a blade that is hardened unground, as the step is cut into hard steel, or that is not hardened."""
    limit, radius = knife.shop.smallest_inside_radius, knife.grind.plunge.radius
    if not knife.stock.hardens or knife.grind.rough_edge is None or radius >= limit - SHOP:
        return
    x, y = knife.plunge_line.start
    what = f"has a radius of {show_length(radius)}" if radius > 0 else "ends in a sharp step"
    yield Finding(
        code="plunge-sharp",
        severity="warning",
        part="blade",
        message=(
            f"the bevel is ground before hardening and {what} at the plunge line: steel cracks there in the quench; "
            f"give the plunge line a radius of {show_length(limit)} or more, 3 to 6 mm are common, or grind after "
            "hardening"
        ),
        measured=radius,
        limit=limit,
        source=knife.shop.source("smallest_inside_radius"),
        x=x,
        y=y,
    )
