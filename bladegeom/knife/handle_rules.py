"""What a handle's stack is held to, and how exactly a shop works. Defaults name their source."""

from __future__ import annotations

import math
from typing import Annotated

from bladegeom.knife.limits import PRACTICE, limit, source_of
from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Between, Distance, InUnit, NotNegative
from bladegeom.quantities.screw_holes import engagement_rule
from bladegeom.quantities.threads import Thread
from bladegeom.quantities.usual import heeds_the_usual

_FINEST = 1e-6
"""A depth stop of finer divisions has none, mm."""


@heeds_the_usual
@declared("handle rules", example="HandleRules(floor=1.5)")
class HandleRules:
    """Least distances in scales and hardware. A shop that changes a limit should give the set a name of its own.

    Args:
        name: Of the set; findings quote it for the limits that differ from the defaults.
        floor: Of a scale, under a head or between a countersink and a pocket, mm.
        tip_gap: Between the tips of the two screws in a standoff, mm.
        head_left: Of a bolt's head after contouring, mm.
        edge_diameters: Centre of a fastener to where the scale's border falls off steeply, in diameters of its hole
            through the scale; a head, however wide, must lie whole on this side of there.
        steep_deg: Slope that counts as the border's rounding; at 0 the whole dome would count, at 90 nothing.
        web: Of a scale between the widest bores of two neighbours, and between a bore and the scale's border, mm.
        wall: Of a sleeve, a bolt's shoulder round its thread, or a tube, mm.
        tap_end: Of a bolt's half beyond its tapped hole, after contouring, mm.
        engagement_hard: Thread that a screw must have in steel or hard brass, in its diameters.
        engagement_soft: The same in aluminium and other soft metal.
        engagement_turns: And at least so many turns in any metal.

    >>> HandleRules(name="our shop", floor=1.5).floor
    1.5
    """

    name: str = "bladegeom defaults"
    floor: Distance = limit(1.0, PRACTICE)
    tip_gap: Distance = limit(0.5, "own choice: so much room takes up what sticks out of a screw's last turn")
    head_left: Distance = limit(0.8, f"{PRACTICE}: 0.8 to 1.0 mm")
    edge_diameters: NotNegative = limit(1.5, f"{PRACTICE}: 1.5 to 2 diameters from the scale's edge after rounding")
    steep_deg: Annotated[float, Between(5.0, 85.0), InUnit("degrees")] = limit(45.0, "own choice by eye")
    web: Distance = limit(1.0, "own choice: as much as the floor under a head")
    wall: Distance = limit(0.5, "own choice: less is torn or dented by hand tools")
    tap_end: Distance = limit(0.5, "own choice: so that the tap drill's point does not show")
    engagement_hard: NotNegative = limit(engagement_rule("hard").diameters, engagement_rule("hard").source)
    engagement_soft: NotNegative = limit(engagement_rule("soft").diameters, engagement_rule("soft").source)
    engagement_turns: NotNegative = limit(engagement_rule("hard").least_threads, engagement_rule("hard").source)

    def engagement(self, held: Thread, metal: str) -> float:
        """Least length of a thread in a tapped hole, mm.

        Args:
            held: The thread.
            metal: One of ``TAPPED_METALS``.
        """
        return max(self._diameters(metal) * held.major, self.engagement_turns * held.pitch)

    def engagement_source(self, held: Thread, metal: str) -> str:
        """Where that comes from."""
        by_turns = self.engagement_turns * held.pitch > self._diameters(metal) * held.major
        return self.source("engagement_turns" if by_turns else f"engagement_{metal}")

    def _diameters(self, metal: str) -> float:
        return self.engagement_hard if metal == "hard" else self.engagement_soft

    def source(self, name: str) -> str:
        """Where a limit comes from."""
        return source_of(self, name)


@heeds_the_usual
@declared("tolerances", example="Tolerances(slab=0.05)")
class Tolerances:
    """How far what a shop makes and buys may stray, mm; to either side unless it says otherwise.

    Args:
        name: Of the set.
        tang: Thickness of the finished tang.
        liner: Thickness of each liner.
        slab: Thickness of a scale's slab when it is drilled.
        depth_stop: Each setting of a depth: a pocket, a counterbore, the cone of a countersink below it.
        depth_division: Least division of a depth stop: depths are told in whole ones, so that what nobody can set
            apart is one step of the drill card; 0 tells them as they come out.
        sleeve: Length of a standoff; of a bolt's shoulder, stud, tapped hole and head, each.
        screw: Length of a screw.
        head: How much deeper than the standard's widest head its smallest one sits in the same countersink.
        contour: Height of a scale's finished face, shaped by hand.

    >>> Tolerances(name="our shop", slab=0.05).slab
    0.05
    """

    name: str = "bladegeom defaults"
    tang: Distance = limit(0.05, PRACTICE)
    liner: Distance = limit(0.03, PRACTICE)
    slab: Distance = limit(0.10, PRACTICE)
    depth_stop: Distance = limit(0.10, PRACTICE)
    depth_division: Distance = limit(0.05, "own choice: nobody sets a depth stop finer")
    sleeve: Distance = limit(0.10, PRACTICE)
    screw: Distance = limit(0.50, "from memory of ISO 4759-1 grade A, js15 for 30 to 50 mm, and less for shorter ones")
    head: Distance = limit(
        0.33,
        "low confidence: a reprint of ASME B18.6.3, #6 heads 0.021 to 0.036 in above a gauge of 0.220 in; others alike",
    )
    contour: Distance = limit(0.20, PRACTICE)

    def to_set(self, depth: float) -> float:
        """The next depth that a stop can be set to, the deeper one: heads do not stand proud and scales close, mm."""
        if self.depth_division < _FINEST:
            return depth
        return round(math.ceil(depth / self.depth_division - 1e-6) * self.depth_division, 6)

    def no_deeper(self, depth: float) -> float:
        """The deepest that a stop can be set to without going below a depth, mm."""
        if self.depth_division < _FINEST:
            return depth
        return round(math.floor(depth / self.depth_division + 1e-6) * self.depth_division, 6)

    @property
    def told_apart(self) -> float:
        """Depths and lengths that differ by less are one step and one section, mm; never finer than what is shown."""
        return max(self.depth_division, 0.01)

    def source(self, name: str) -> str:
        """Where a tolerance comes from."""
        return source_of(self, name)
