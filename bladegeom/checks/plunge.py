"""The plunge line against edge and scales."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.holes.clearance import along_x, behind_front
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm, show_place

_PRACTICE = "common practice, no source"

UNGROUND_HEEL = 0.5
"""Edge between heel and plunge line that may stay unground, mm; own choice."""

PLUNGE_TO_FRONT = 2.0
"""Least distance of the plunge line from the scales, mm; common practice, no source (2 to 6)."""

MOST_RADIUS = 0.25
"""A plunge radius larger than this part of the blade ahead of the plunge line is taken for a slip; own choice."""


@rule(
    Code("plunge-ahead-of-heel", ("warning",), "the plunge line leaves edge behind it unground"),
    Code("plunge-under-scales", ("error",), "the plunge line runs under the scales"),
    Code("plunge-near-scales", ("warning",), "the plunge line comes close to the handle front"),
    Code("plunge-radius-large", ("warning",), "the hollow along the plunge line takes much of the bevel"),
    follows=("bevel",),
)
def check_plunge(knife: Knife) -> Iterator[Finding]:
    """All findings about the plunge line of a knife."""
    yield from _plunge_at_heel(knife)
    yield from _plunge_at_front(knife)
    yield from _wide_hollow(knife)


def _plunge_at_heel(knife: Knife) -> Iterator[Finding]:
    (x, y), heel = knife.plunge_line.start, knife.outline.heel[0]
    if x - heel > UNGROUND_HEEL:
        yield Finding(
            code="plunge-ahead-of-heel",
            severity="warning",
            part="blade",
            message=(
                f"the plunge line meets the edge {show_length(x - heel)} ahead of the heel: that much of the edge "
                f"stays as thick as the bar; move the plunge line to x {show_mm(heel)} mm or the heel forward"
            ),
            measured=x - heel,
            limit=UNGROUND_HEEL,
            source=_PRACTICE,
            x=x,
            y=y,
        )


def _plunge_at_front(knife: Knife) -> Iterator[Finding]:
    ends = np.array([knife.plunge_line.start, knife.plunge_line.end])
    ahead = -behind_front(knife, ends)
    i = int(ahead.argmin())
    if ahead[i] >= PLUNGE_TO_FRONT - SHOP:
        return
    under = ahead[i] < 0
    x, y = ends[i]
    wanted = along_x(knife, PLUNGE_TO_FRONT - float(ahead[i]))
    yield Finding(
        code="plunge-under-scales" if under else "plunge-near-scales",
        severity="error" if under else "warning",
        part="blade",
        message=(
            f"the plunge line {'runs under the scales' if under else 'comes close to the handle front'} at "
            f"{show_place(x, y)}; move it {show_length(wanted)} towards the tip"
        ),
        measured=float(ahead[i]),
        limit=PLUNGE_TO_FRONT,
        source=_PRACTICE,
        x=float(x),
        y=float(y),
    )


def _wide_hollow(knife: Knife) -> Iterator[Finding]:
    """A radius so large that the hollow along the plunge line takes the place of the bevel."""
    (x, y), radius = knife.plunge_line.start, knife.grind.plunge.radius
    blade = knife.outline.tip[0] - x
    most = MOST_RADIUS * blade
    if radius <= most:
        return
    yield Finding(
        code="plunge-radius-large",
        severity="warning",
        part="blade",
        message=(
            f"the plunge radius of {show_length(radius)} is more than a quarter of the blade ahead of the plunge line, "
            f"{show_length(blade)}: its hollow leaves much of the bevel thick; stay below {show_length(most)}, "
            "the rim of a belt or wheel leaves a few mm"
        ),
        measured=radius,
        limit=most,
        source=_PRACTICE,
        x=x,
        y=y,
    )
