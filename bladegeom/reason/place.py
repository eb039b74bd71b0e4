"""Placing holes along the tang's mid line, under the rules. What is placed here passes the check."""

from __future__ import annotations

import dataclasses

import numpy as np
import shapely

from bladegeom.body.fastener import AnyHardware, Fastener, require_hardware
from bladegeom.body.hole import Hole, Made, Opening, axis_points
from bladegeom.body.knife import Knife
from bladegeom.body.require import require_not_negative, require_positive
from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.errors import ParameterError, PlacingError
from bladegeom.quantities.tolerances import CHORD, SHOP
from bladegeom.quantities.units import show_length
from bladegeom.reason.clearance import behind_front
from bladegeom.shape.outline import MID_STEP

_RESERVE = 2 * CHORD
"""Kept in hand against the polygon's own tolerance, so that the exact check agrees."""


def add_fasteners(
    knife: Knife,
    hardware: AnyHardware,
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
    """
    require_hardware(hardware)
    if not _is_count(count):
        raise ParameterError("fasteners: count", repr(count), "be a whole number, at least 1")
    require_positive("fasteners", front=front)
    require_not_negative("fasteners", rear=rear)
    diameter = hardware.bores(knife.shop.drills)[0].diameter
    least = knife.shop.process.least_hole(knife.stock.thickness) if made == "cut" else 0.0
    if diameter < least - SHOP:
        raise PlacingError(
            f"fastener holes of {show_length(diameter)} are less than {knife.shop.process.name} can cut, "
            f"{show_length(least)}; drill them instead (made='drilled')"
        )
    first, butt = knife.handle_front_middle[0] - front, knife.outline.bounds[0]
    last = butt + rear if count > 1 else first
    if last > first or first - MID_STEP <= butt:
        raise PlacingError(
            f"no room for {count} fasteners between {front:g} mm behind the handle front and {rear:g} mm ahead of "
            f"the butt, on a tang of {-butt:.1f} mm"
        )
    line = _MidLine(knife)
    for number, wanted in enumerate(np.linspace(first, last, int(count))):
        legal = np.flatnonzero(line.room(knife.openings) >= diameter / 2)
        if not len(legal):
            raise PlacingError(_no_room(line, knife.openings, diameter, number))
        i = legal[np.abs(line.xy[legal, 0] - wanted).argmin()]
        x, y = line.xy[i].tolist()
        one = Fastener(x=x, y=y, hardware=hardware, made=made)
        knife = dataclasses.replace(knife, fasteners=(*knife.fasteners, one))
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
        PlacingError: The drill index has no usable size.
    """
    if largest is not None:
        require_positive("lightening row", largest=largest)
    thickness = knife.stock.thickness
    least = knife.shop.process.least_hole(thickness) if made == "cut" else 0.0
    sizes = sorted({d.diameter for d in knife.shop.sizes_for_lightening if least <= d.diameter <= (largest or np.inf)})
    if not sizes:
        raise PlacingError(
            f"the drill index has no size from {show_length(least)} up"
            + (f" to {show_length(largest)}" if largest else "")
            + " for lightening holes"
        )
    line = _MidLine(knife)
    room = line.room(knife.openings)
    radii = np.array(sizes) / 2
    places, which = np.nonzero(room[:, None] >= radii[None, :])
    chosen = _best_row(line.xy[places, 0], radii[which], knife.rules.least_web(thickness))
    holes = tuple(line.hole(places[i], 2 * radii[which[i]], made) for i in chosen)
    return dataclasses.replace(knife, holes=knife.holes + holes)


def _is_count(count: object) -> bool:
    """Whether something is a whole number of at least 1."""
    return not isinstance(count, bool) and isinstance(count, int | float) and count >= 1 and count % 1 == 0


class _MidLine:
    """Places half way between the upper and the lower border of the tang, and the room round each."""

    def __init__(self, knife: Knife) -> None:
        self.knife = knife
        self.xy = knife.outline.mid_line[:, :2]
        rules, thickness = knife.rules, knife.stock.thickness
        border = knife.outline.mid_line[:, 2] - _RESERVE
        factor = rules.edge_distance_per_diameter
        self.to_border = border - rules.least_rim(thickness)
        self.by_diameter = border / (2 * factor) if factor > 0 else np.full(len(border), np.inf)
        self.to_front = behind_front(knife, self.xy) - rules.clear_strip

    def room(self, others: tuple[Opening, ...]) -> FloatArray:
        """Largest legal radius at each place, shape (n,); negative where none is."""
        room = np.minimum(np.minimum(self.to_border, self.by_diameter), self.to_front)
        return np.minimum(room, self.to_others(others))

    def to_others(self, others: tuple[Opening, ...]) -> FloatArray:
        """Largest radius that keeps the web to other holes, shape (n,)."""
        if not others:
            return np.full(len(self.xy), np.inf)
        axes = np.asarray(shapely.linestrings(axis_points(others)))
        radius = np.array([o.diameter for o in others]) / 2
        apart = shapely.distance(np.asarray(shapely.points(self.xy))[:, None], axes[None, :]) - radius
        web = self.knife.rules.least_web(self.knife.stock.thickness)
        return np.asarray(apart.min(axis=1) - web - 1e-9)

    def hole(self, i: int, diameter: float, made: Made) -> Hole:
        """The lightening hole at a place."""
        x, y = self.xy[i].tolist()
        return Hole(x=x, y=y, diameter=float(diameter), purpose="lightening", made=made)


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


def _no_room(line: _MidLine, others: tuple[Opening, ...], diameter: float, placed: int) -> str:
    """What stops a fastener: the rule without which there would be most room."""
    limits = {
        "the web to the other holes": line.to_others(others),
        "the clear strip behind the handle front": line.to_front,
        "the rim to the outline": line.to_border,
        "the edge distance": line.by_diameter,
    }
    without = {
        name: float(np.nanmax(np.min([limit for other, limit in limits.items() if other != name], axis=0)))
        for name in limits
    }
    stopper = max(without, key=lambda name: without[name])
    room = line.room(others)
    best = int(np.nanargmax(room))
    widest = max(2 * float(room[best]), 0.0)
    return (
        f"no legal place on the tang for fastener {placed + 1} of {show_length(diameter)}: {stopper} leaves room for "
        f"{show_length(widest)} at most, near x {line.xy[best, 0]:.1f} mm"
    )
