"""The stack of a standoff with two countersunk screws: pockets, countersinks, floors, and where the tips end."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack_parts import Countersink, Cut, Pocket, Solid
from bladegeom.fasteners.stack_words import COUNTERSINK_DEPTH, ENGAGEMENT, FLOOR, POCKET_DEPTH, Numbers, key
from bladegeom.fasteners.standoff.declared import DeclaredStandoff
from bladegeom.knife.hardware.bore import Bore
from bladegeom.quantities.heads import countersink_depth
from bladegeom.quantities.interval import Interval, give_or_take
from bladegeom.quantities.sold_lengths import SoldLength
from bladegeom.quantities.units import length, show_length
from bladegeom.solids.revolve import Ring

POCKET_STOP = key("pocket_stop", "pocket from the glued liner")
SEAT_DEPTH = key("seat_depth", "counterbore from the slab")
RECESS = key("recess", "head below the scale")
POCKET_COVER = key("pocket_cover", "scale over the pocket")
TIP_GAP = key("tip_gap", "between the tips")
END_PLAY = key("end_play", "sleeve to pocket floor")

_NO_COUNTERBORE = 0.005
"""A head that sits no deeper under the slab's face needs none, mm: half of what is shown on the card."""


@dataclass(frozen=True, eq=False)
class StandoffNumbers(Stack):
    """How a standoff and its screws fit the layers where they stand.

    Pockets are sunk from the inside of the scales, flat-bottomed. Countersinks are sunk from the slab's flat outside
    before contouring: a counterbore that lets the head in, and the cone at its floor. The depth stop is set anew on
    each slab's own face, so that the slab's error moves what is left under the head and not the depth; and once more
    on the counterbore's floor for the cone.
    """

    hardware: DeclaredStandoff

    @cached_property
    def surface(self) -> tuple[Interval, Interval]:
        """Lowest and highest of the finished face over the head, above the scale's inside face, mm."""
        return self.layers.surface(self.hardware.screw_head.sharp_diameter)

    @cached_property
    def sleeve_half(self) -> Interval:
        """Half the sleeve's length, mm."""
        return give_or_take(self.hardware.length / 2, self.layers.knife.shop.tolerances.sleeve / 2)

    @cached_property
    def pocket_stop(self) -> Interval:
        """That the depth stop is set to for the pocket, mm; 0 where sleeve and play end within tang and liners.

        From the face that lies open: the scale's own, or that of a liner which is glued on it.
        """
        tolerances, end = self.layers.knife.shop.tolerances, self.sleeve_half.nominal + self.hardware.pocket_play / 2
        if end <= self.layers.inside.nominal:
            return give_or_take(0.0, 0.0)
        return give_or_take(tolerances.to_set(end - self.layers.open_face.nominal), tolerances.depth_stop)

    @cached_property
    def pocket_depth(self) -> Interval:
        """From the scale's inside face, mm; 0 where there is no pocket."""
        if not self.pocket_stop.nominal:
            return self.pocket_stop
        deep = self.pocket_stop - self.layers.glued_liner
        return Interval(max(deep.low, 0.0), deep.nominal, deep.high)

    @cached_property
    def _pocket_floor(self) -> Interval:
        """Above the middle plane, mm; a glued liner's own error does not stand in it."""
        if self.pocket_stop.nominal and self.layers.glued_liner.nominal:
            return self.layers.open_face + self.pocket_stop
        return self.layers.inside + self.pocket_depth

    @cached_property
    def end_play(self) -> Interval:
        """Room between one end of the sleeve and its pocket's floor, mm; below 0 the scales do not close.

        Told of a sleeve in the middle: one that has slid leaves twice as much on one side and none on the other.
        """
        return self._pocket_floor - self.sleeve_half

    @cached_property
    def seat_depth(self) -> Interval:
        """From the slab's outside to the counterbore's floor, level with the top of the widest head, mm."""
        tolerances = self.layers.knife.shop.tolerances
        deep = self.layers.slab.nominal - self.surface[0].nominal + self.hardware.recess
        if deep <= _NO_COUNTERBORE:
            return give_or_take(deep, 0.0)
        return give_or_take(tolerances.to_set(deep), tolerances.depth_stop)

    @cached_property
    def cone(self) -> float:
        """From the head's top to where the countersink meets the screw's hole, mm."""
        return countersink_depth(self.hardware.screw_head, self._hole)

    @cached_property
    def countersink_depth(self) -> Interval:
        """From the slab's outside to where the countersink meets the screw's hole, mm."""
        return self.seat_depth + give_or_take(self.cone, self.layers.knife.shop.tolerances.depth_stop)

    @cached_property
    def cone_end(self) -> Interval:
        """Where the countersink meets the screw's hole, above the scale's inside face, mm."""
        return self.layers.slab - self.countersink_depth

    @cached_property
    def head_top(self) -> Interval:
        """Top of the head above the scale's inside face, mm: a smaller head of the standard sits deeper."""
        return self.cone_end + self.cone - Interval(0.0, 0.0, self.layers.knife.shop.tolerances.head)

    @cached_property
    def recess(self) -> Interval:
        """Of the head below the finished scale where that is lowest over it, mm; below 0 it stands proud."""
        return self.surface[0] - self.head_top

    @cached_property
    def floor(self) -> Interval:
        """Scale between the pocket and the countersink's narrow end, mm."""
        return self.cone_end - self.pocket_depth

    @cached_property
    def pocket_cover(self) -> Interval:
        """Scale over the pocket where the finished face is lowest over it, mm: a sleeve may be wider than the head."""
        return self.layers.surface(self.pocket)[0] - self.pocket_depth

    def tip_gap(self, screw: float) -> Interval:
        """Between the tips of two screws of a length, mm; below 0 they clash."""
        return 2 * self._tip(screw)

    def engagement(self, screw: float) -> Interval:
        """Length of thread that a screw of a length has in the sleeve, mm.

        The sleeve floats between the floors of its pockets, and the screw that is driven first draws it up: this is
        told of the other screw, when the sleeve has slid away from it as far as its play lets it. The tang stands in
        the far pocket's floor and in the near tip by half of its thickness each, so that its error counts once.
        """
        return 2 * self.sleeve_half - self._pocket_floor - self._tip(screw)

    @cached_property
    def screw(self) -> SoldLength:
        """As asked for; else the longest whose tips keep apart in the worst case, or the shortest if none does."""
        asked = self.hardware.screw_length
        if asked is not None:
            size = length(asked)
            known = next((sold for sold in self.hardware.lengths if abs(sold.length - size) < 1e-6), None)
            return known or SoldLength(name=show_length(size), length=size, source="asked for", confidence="high")
        least, lengths = self.layers.knife.handle_rules.tip_gap, self.hardware.lengths
        return next((sold for sold in reversed(lengths) if self.tip_gap(sold.length).low >= least), lengths[0])

    @property
    def numbers(self) -> Numbers:
        """All that the papers tell of it, mm."""
        glued = {POCKET_STOP: self.pocket_stop} if self.layers.glued_liner.nominal else {}
        return Numbers(
            {
                **glued,
                POCKET_DEPTH: self.pocket_depth,
                SEAT_DEPTH: self.seat_depth,
                COUNTERSINK_DEPTH: self.countersink_depth,
                RECESS: self.recess,
                FLOOR: self.floor,
                POCKET_COVER: self.pocket_cover,
                ENGAGEMENT: self.engagement(self.screw.length),
                TIP_GAP: self.tip_gap(self.screw.length),
                END_PLAY: self.end_play,
            }
        )

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Through holes, the pocket if there is one, the countersink."""
        return tuple(
            self._cut(bore) for bore in self.layers.bores if bore.shape != "pocket" or self.pocket_depth.nominal > 0
        )

    def _cut(self, bore: Bore) -> Cut:
        match bore.shape:
            case "pocket":
                return Cut(
                    bore=bore,
                    sunk=Pocket(depth=self.pocket_stop, lets_in=self.hardware.diameter, floor=self.floor),
                )
            case "countersink":
                return Cut(bore=bore, sunk=self._countersink)
            case _:
                return Cut(bore=bore)

    @property
    def _countersink(self) -> Countersink:
        head = self.hardware.screw_head
        return Countersink(
            depth=self.countersink_depth,
            straight=self.seat_depth,
            lets_in=head.sharp_diameter,
            measured=head.head_diameter or head.sharp_diameter,
        )

    @property
    def removed(self) -> tuple[Ring, ...]:
        """From each scale."""
        hole, head = self._hole / 2, self.hardware.screw_head.sharp_diameter / 2
        pocket, over = self.pocket / 2, self.layers.widest_outside / 2
        inside = self.layers.inside.nominal
        top, floor = inside + self.head_top.nominal, inside + self.pocket_depth.nominal
        rings = (
            Ring(inner=0.0, outer=hole, low=None, high=None),
            Ring(inner=hole, outer=head, low=(top - self.cone, top), high=None),
            Ring(inner=head, outer=over, low=(top, top), high=None),
        )
        if not self.pocket_depth.nominal:
            return rings
        return (*rings, Ring(inner=hole, outer=pocket, low=None, high=(floor, floor)))

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Its metal on each side; threads count at the diameter that halves the area between crest and root."""
        thread, half = self.hardware.screw, self.hardware.length / 2
        core = math.sqrt((thread.major**2 + thread.minor**2) / 8)
        head = self.hardware.screw_head.sharp_diameter / 2
        top = (self.layers.inside + self.head_top).nominal
        tip = top - self.screw.length
        taper = math.tan(math.radians(self.hardware.screw_head.angle_deg / 2))
        (sleeve_name, sleeve), (screw_name, screws) = self.hardware.materials
        sleeve_ring = Ring(inner=core, outer=self.hardware.diameter / 2, low=(0.0, 0.0), high=(half, half))
        screw_rings = (
            Ring(inner=0.0, outer=core, low=(tip, tip), high=(top, top)),
            Ring(inner=core, outer=head, low=(top - (head - core) / taper, top), high=(top, top)),
        )
        return (
            Solid(name=sleeve_name, material=sleeve, rings=(sleeve_ring,)),
            Solid(name=screw_name, material=screws, rings=screw_rings),
        )

    @property
    def _hole(self) -> float:
        """Diameter of the screw's hole in the scale, mm."""
        return self.layers.hole.diameter

    @property
    def pocket(self) -> float:
        """Diameter of the pocket in the scale, mm."""
        return next(bore.diameter for bore in self.layers.bores if bore.shape == "pocket")

    def _tip(self, screw: float) -> Interval:
        """Height of a screw's tip over the middle plane, mm."""
        return self._head_top_over_middle - give_or_take(screw, self.layers.knife.shop.tolerances.screw)

    @cached_property
    def _head_top_over_middle(self) -> Interval:
        return self.layers.inside + self.head_top
