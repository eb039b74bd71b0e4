"""Placing holes along the tang's mid line, under the rules. What is placed here passes the check."""

from __future__ import annotations

import dataclasses

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.fasteners.hardware import Hardware
from bladegeom.knife.fastener import AnyHardware, Fastener
from bladegeom.knife.hole import Hole, Made
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import MID_STEP
from bladegeom.placing.ground import lightening_sizes
from bladegeom.placing.width_limits import beside, border_limits, no_room, width_limits
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.field_rules import Count, Distance, Length
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm


def add_fasteners(
    knife: Knife,
    hardware: Hardware,
    *,
    count: int,
    front: float = 16.0,
    rear: float = 20.0,
    made: Made = "drilled",
) -> Knife:
    """The same hardware several times, at even spacing along the tang's mid line.

    A place that breaks a rule gives way to the nearest one on the mid line that does not.

    Args:
        knife: To which they are added.
        hardware: What stands at each place.
        count: How many, > 0.
        front: Centre of the first behind the handle front at the tang's mid height, along x, mm.
        rear: Centre of the last ahead of the butt, along x, mm.
        made: How the holes in the tang are made.

    Raises:
        PlacingError: Some hole has no legal place; the message says what stops it.

    >>> import dataclasses
    >>> from bladegeom import Pin
    >>> bare = dataclasses.replace(knife, holes=(), fasteners=())
    >>> pinned = add_fasteners(bare, Pin(rod="C26000", diameter=6.35), count=2)
    >>> [(round(fastener.x, 1), round(fastener.y, 1)) for fastener in pinned.fasteners]
    [(-16.0, -10.6), (-98.0, -16.1)]
    """
    checked("fasteners: knife", knife, Knife)
    checked("fasteners: hardware", hardware, AnyHardware)
    checked("fasteners: count", count, Count)
    checked("fasteners: front", front, Length)
    checked("fasteners: rear", rear, Distance)
    diameter = hardware.bores(knife.shop.drills)[0].diameter
    least = knife.shop.process.least_hole(knife.stock.thickness) if made == "cut" else 0.0
    if diameter < least - SHOP:
        raise PlacingError(
            f"fastener holes of {show_length(diameter)} are less than {knife.shop.process.name} can cut, "
            f"{show_length(least)}; drill them instead (made='drilled')",
            value=diameter,
            limit=least,
        )
    first, butt = knife.handle_front_middle[0] - front, knife.outline.bounds[0]
    last = butt + rear if count > 1 else first
    xy = _mid_line(knife)
    # No two stand at one place.
    if last > first or first - MID_STEP <= butt or count > len(xy):
        raise PlacingError(
            f"no room for {count} fasteners between {front:g} mm behind the handle front at mid height and {rear:g} mm "
            f"ahead of the butt, on a tang of {show_mm(-butt)} mm",
            value=count,
        )
    alone = border_limits(knife, xy)
    for number, wanted in enumerate(np.linspace(first, last, int(count))):
        found = beside(knife, alone, xy, knife.openings)
        legal = np.flatnonzero(found.room >= diameter / 2)
        if not len(legal):
            what = f"no legal place on the tang for fastener {number + 1} of {show_length(diameter)}"
            raise no_room(knife, found, xy, diameter).error(what, diameter)
        x, y = xy[legal[np.abs(xy[legal, 0] - wanted).argmin()]].tolist()
        fastener = Fastener(x=x, y=y, hardware=hardware, made=made)
        knife = dataclasses.replace(knife, fasteners=(*knife.fasteners, fastener))
    return knife


def add_lightening_row(knife: Knife, *, largest: float | None = None, made: Made = "cut") -> Knife:
    """A graded row of lightening holes along the tang's mid line, between what is there already.

    Of all rows whose holes stand on the mid line at half-millimetre places and keep their distance along x, the one
    that takes out the most steel. Sizes are from the shop's drill index, and none below what the process can cut.

    Args:
        knife: To which they are added; fasteners first, lightening last.
        largest: No hole wider than this, mm.
        made: When they are made.

    Raises:
        PlacingError: The drill index has no usable size, or the smallest finds no place on the mid line.

    >>> import dataclasses
    >>> bare = dataclasses.replace(knife, holes=())
    >>> [round(hole.diameter, 2) for hole in add_lightening_row(bare).holes]
    [7.14, 11.11, 12.3, 11.51, 10.32, 8.33]
    """
    radii = np.array(lightening_sizes(knife, largest=largest, made=made)) / 2
    xy = _mid_line(knife)
    found = width_limits(knife, xy) if len(xy) else None
    if found is None or not (found.room >= radii[0]).any():
        least = 2 * float(radii[0])
        what = f"no legal place on the mid line for a lightening hole of {show_length(least)}"
        if found is None:
            raise PlacingError(f"{what}: the tang is too short", value=least)
        raise no_room(knife, found, xy, least).error(what, least)
    places, which = np.nonzero(found.room[:, None] >= radii)
    chosen = _best_row(xy[places, 0], radii[which], knife.rules.least_web(knife.stock.thickness))
    holes = (
        Hole(x=x, y=y, diameter=2 * r, purpose="lightening", made=made)
        for (x, y), r in zip(xy[places[chosen]].tolist(), radii[which[chosen]].tolist(), strict=True)
    )
    return dataclasses.replace(knife, holes=(*knife.holes, *holes))


def _mid_line(knife: Knife) -> FloatArray:
    """Places half way between the tang's borders wherever there is steel, shape (n, 2), mm."""
    xy = knife.outline.mid_line[:, :2]
    return xy[np.isfinite(xy).all(axis=1)]


def _best_row(x: FloatArray, radius: FloatArray, web: float) -> list[int]:
    """Indices of the holes that together take out the most area, no two nearer along x than the web allows.

    Weighted interval scheduling: a hole takes the stretch x +/- (radius + web / 2), and stretches may not overlap.
    """
    reach = radius + web / 2
    order = np.lexsort((radius, x + reach))
    ends, starts = (x + reach)[order], (x - reach)[order]
    # How many stretches end before each begins; the reserve keeps rounding from letting two overlap.
    before = np.searchsorted(ends, starts - 1e-9, side="right").tolist()
    best, take = [0.0], []
    for gain, j in zip((radius**2)[order].tolist(), before, strict=True):
        with_it, without = gain + best[j], best[-1]
        take.append(with_it > without + 1e-12)
        best.append(max(with_it, without))
    chosen, i = [], len(take)
    while i:
        if take[i - 1]:
            chosen.append(int(order[i - 1]))
            i = before[i - 1]
        else:
            i -= 1
    return chosen[::-1]
