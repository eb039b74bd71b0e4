"""What stops each lightening hole from being one drill wider, and the whole pattern from having one more hole."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Hole, Made, Opening
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.mass.weigh import weigh
from bladegeom.placing.ground import Tang, lightening_sizes, tang_of
from bladegeom.placing.net_width import WidthLeft, taken
from bladegeom.placing.width_limits import RULES, apart, border_limits, rule_words
from bladegeom.quantities.declared import checked
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.units import show_length, show_mass, show_place

_SAME = 1e-9

_ALONG = 0.5
"""Places along a slot's axis at which it is measured, mm."""


@dataclass(frozen=True, kw_only=True)
class Stop:
    """One rule that stops a hole from being one drill wider.

    Args:
        rule: In trade words.
        missing: By how much, mm: of steel or distance, or of the tang's height; None where no drill follows.
        other: Id of the hole that it would come too near to; empty for other rules.
    """

    rule: str
    missing: float | None = None
    other: str = ""

    @property
    def words(self) -> str:
        """To stand in a sentence."""
        rule = f"the web to {self.other}" if self.other else self.rule
        return rule if self.missing is None else f"{rule} ({show_length(self.missing)} missing)"


@dataclass(frozen=True, kw_only=True)
class HoleLimits:
    """A lightening hole and what stops it.

    Args:
        name: Its id.
        diameter: Or width of a slot, mm.
        wider: Next size that could be used, mm; None where there is none.
        stops: Every rule that the next size would break; none where it would fit.
    """

    name: str
    diameter: float
    wider: float | None
    stops: tuple[Stop, ...]

    @property
    def words(self) -> str:
        """One line."""
        if self.wider is None:
            return f"{self.name}, {show_length(self.diameter)}: {self.stops[0].words}"
        if not self.stops:
            return f"{self.name}, {show_length(self.diameter)}: {show_length(self.wider)} would fit too"
        stops = "; ".join(stop.words for stop in self.stops)
        return f"{self.name}, {show_length(self.diameter)}: not {show_length(self.wider)} because of {stops}"


@dataclass(frozen=True, kw_only=True)
class OneMore:
    """What one more hole would do, or why there is no place for it.

    Args:
        fits: Whether there is a place.
        mass: That the widest legal one takes out, g; 0 without a place.
        balance_shift: That it moves the balance, + towards the tip, mm; 0 without a place.
        words: One sentence.
    """

    fits: bool
    mass: float
    balance_shift: float
    words: str


@dataclass(frozen=True, kw_only=True)
class LighteningLimits:
    """What stops a pattern of lightening holes.

    Args:
        holes: Each with its limits, front to rear.
        more: What stops one more.

    >>> len(lightening_limits(knife).words)
    7
    """

    holes: tuple[HoleLimits, ...]
    more: OneMore

    @property
    def words(self) -> tuple[str, ...]:
        """A line for each hole and one for the pattern."""
        return (*(hole.words for hole in self.holes), self.more.words)


def lightening_limits(knife: Knife, *, largest: float | None = None) -> LighteningLimits:
    """Why the lightening holes of a knife are no wider, and why there are no more.

    Args:
        knife: With its holes.
        largest: No hole was to be wider than this, mm.

    Raises:
        PlacingError: No size of the drill index can be used.

    >>> lightening_limits(knife).words[0]
    'L1, 8.334 mm (21/64 in): not 8.731 mm (11/32 in) because of the web to F1 (0.13 mm (0.005 in) missing)'
    """
    checked("lightening limits: knife", knife, Knife)
    checked("lightening limits: largest", largest, Length | None)
    light = [i for i, opening in enumerate(knife.openings) if opening.purpose == "lightening"]
    light.sort(key=lambda i: (-knife.openings[i].x, knife.openings[i].y))
    made = knife.openings[light[0]].made if light else "cut"
    return LighteningLimits(
        holes=tuple(_hole_limits(knife, i, largest) for i in light), more=one_more(knife, largest=largest, made=made)
    )


def one_more(
    knife: Knife, *, largest: float | None, made: Made, rear: float = -math.inf, front: float = math.inf
) -> OneMore:
    """The widest lightening hole that still finds a place between two x in mm, or what stops the smallest.

    Raises:
        PlacingError: No size of the drill index can be used.
    """
    usable = np.array(lightening_sizes(knife, largest=largest, made=made))
    tang = tang_of(knife, rear=rear, front=front)
    room = tang.limits.room
    place = int(room.argmax()) if len(room) else -1
    size = int(np.searchsorted(usable / 2, room[place], side="right")) - 1 if len(room) else -1
    if size < 0:
        text = f"One more hole of the smallest drill, {show_length(float(usable[0]))}, finds no place"
        return OneMore(fits=False, mass=0.0, balance_shift=0.0, words=f"{text}: {_tightest(knife, tang, place)}.")
    x, y = tang.xy[place].tolist()
    hole = Hole(x=x, y=y, diameter=float(usable[size]), purpose="lightening", made=made)
    before, after = weigh(knife), weigh(dataclasses.replace(knife, holes=(*knife.holes, hole)))
    mass, shift = before.total.amount - after.total.amount, after.balance_from_front - before.balance_from_front
    text = (
        f"One more hole of {show_length(hole.diameter)} would fit at {show_place(hole.x, hole.y)}: it takes out "
        f"{show_mass(mass)} and moves the balance {show_length(abs(shift))} towards the "
        f"{'tip' if shift > 0 else 'butt'}{without_words(unweighed(knife))}."
    )
    return OneMore(fits=True, mass=mass, balance_shift=shift, words=text)


def _tightest(knife: Knife, tang: Tang, place: int) -> str:
    """The rule that binds at the roomiest place of all."""
    if place < 0:
        return "no steel of the tang lies there"
    allowed = {rule: float(getattr(tang.limits, rule)[place]) for rule in RULES}
    rule = min(RULES, key=lambda name: allowed[name])
    x, y = tang.xy[place].tolist()
    widest = max(2 * allowed[rule], 0.0)
    return (
        f"even at {show_place(x, y)}, where there is most room, {RULES[rule]} leaves {show_length(widest)} at most; "
        f"the rule asks for {rule_words(knife, rule, widest)}"
    )


def _hole_limits(knife: Knife, i: int, largest: float | None) -> HoleLimits:
    hole, name = knife.openings[i], knife.hole_ids[i]
    usable = lightening_sizes(knife, largest=None, made=hole.made)
    wider = next((size for size in usable if size > hole.diameter + _SAME), None)
    if wider is None:
        stop = Stop(rule="it is the widest drill of the index")
        return HoleLimits(name=name, diameter=hole.diameter, wider=None, stops=(stop,))
    stops = list(_stops(knife, i, wider))
    if largest is not None and wider > largest:
        stops.append(Stop(rule="the largest that is allowed", missing=wider - largest))
    return HoleLimits(name=name, diameter=hole.diameter, wider=wider, stops=tuple(stops))


def _stops(knife: Knife, i: int, wider: float) -> Iterator[Stop]:
    """The rules that a hole would break with another diameter where it stands."""
    hole, rules = knife.openings[i], knife.rules
    places = _axis_places(hole)
    alone = border_limits(knife, places)
    radius = wider / 2
    for rule, missing in (
        ("rim", radius - alone.rim.min()),
        ("edge", rules.edge_distance(wider) - alone.border.min()),
        ("strip", radius - alone.strip.min()),
    ):
        if missing > _SAME:
            yield Stop(rule=RULES[rule], missing=float(missing))
    others = [j for j in range(len(knife.openings)) if j != i]
    web = rules.least_web(knife.stock.thickness)
    if others:
        near = apart(places, [knife.openings[j] for j in others]).min(axis=0)
        for j, distance in zip(others, near.tolist(), strict=True):
            if radius + web - distance > _SAME:
                yield Stop(rule=RULES["web"], missing=radius + web - distance, other=knife.hole_ids[j])
    width = WidthLeft.of(knife, [knife.openings[j] for j in others])
    lost = taken(width.x, [dataclasses.replace(hole, diameter=wider)])
    missing = float(np.where(lost > 0, lost - width.left, -np.inf).max())
    if missing > _SAME:
        yield Stop(rule=RULES["width"], missing=missing)


def _axis_places(hole: Opening) -> FloatArray:
    """The centre, or places along a slot's axis, shape (n, 2), mm."""
    start, end = hole.axis
    count = int(np.ceil(np.hypot(*(end - start)) / _ALONG)) + 1
    return np.asarray(start + np.linspace(0.0, 1.0, count)[:, None] * (end - start))
