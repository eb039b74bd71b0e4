"""The stack of a two-part shouldered bolt: counterbores, grip, and what contouring leaves of the heads."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.fasteners.bolt.declared import DeclaredBolt
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack_parts import Counterbore, Cut, Solid
from bladegeom.fasteners.stack_words import COUNTERBORE_DEPTH, ENGAGEMENT, FLOOR, HEAD_LEFT, Numbers, key
from bladegeom.quantities.interval import Interval, give_or_take
from bladegeom.solids.revolve import Ring

HEAD_COVER = key("head_cover", "head over the scale")
GRIP = key("grip", "grip, seat to seat")
SHOULDER_GAP = key("shoulder_gap", "between the shoulders")
STUD_ROOM = key("stud_room", "stud to tapped hole's bottom")
TAP_END = key("tap_end", "left over the tapped hole")


@dataclass(frozen=True, eq=False)
class BoltNumbers(Stack):
    """How a bolt fits the layers where it stands.

    The counterbore is sunk from the slab's flat outside before contouring, so deep that of the head as much is left as
    the bolt asks for.
    """

    hardware: DeclaredBolt

    @cached_property
    def surface(self) -> tuple[Interval, Interval]:
        """Lowest and highest of the finished face over the head, above the scale's inside face, mm."""
        return self.layers.surface(self.hardware.head_diameter)

    @cached_property
    def counterbore_depth(self) -> Interval:
        """From the slab's outside to the seat of the head, mm."""
        seat, tolerances = self.surface[0].nominal - self.hardware.head_left, self.layers.knife.shop.tolerances
        return give_or_take(tolerances.to_set(self.layers.slab.nominal - seat), tolerances.depth_stop)

    @cached_property
    def floor(self) -> Interval:
        """Scale under the head: the seat above the scale's inside face, mm."""
        return self.layers.slab - self.counterbore_depth

    @cached_property
    def head_left(self) -> Interval:
        """Of the head after contouring, where the scale is lowest over it, mm."""
        return self.surface[0] - self.floor

    @cached_property
    def head_cover(self) -> Interval:
        """By how much the head as bought reaches over the finished scale where that is highest, mm; else a pit."""
        return self.floor + self._bought(self.hardware.head_height) - self.surface[1]

    @cached_property
    def grip(self) -> Interval:
        """From seat to seat, mm."""
        return 2 * (self.layers.inside + self.floor)

    @cached_property
    def shoulder_gap(self) -> Interval:
        """Between the two shoulders, mm; below 0 they meet before the heads seat."""
        return self.grip - 2 * self._bought(self.hardware.shoulder_length)

    @cached_property
    def engagement(self) -> Interval:
        """Length of thread that holds, mm."""
        return self._bought(self.hardware.stud_length) - self.shoulder_gap

    @cached_property
    def stud_room(self) -> Interval:
        """Between the stud's end and the bottom of the tapped hole with the heads seated, mm; below 0 it bottoms."""
        tapped, stud = self._bought(self.hardware.stud_length), self._bought(self.hardware.stud_length)
        return self.shoulder_gap + tapped - stud

    @cached_property
    def tap_end(self) -> Interval:
        """Metal between the tapped hole's bottom and the ground head, mm; below 0 the hole shows."""
        return self.head_left + self._bought(self.hardware.shoulder_length) - self._bought(self.hardware.stud_length)

    @property
    def screw(self) -> None:
        """It has none that comes in lengths."""

    @property
    def numbers(self) -> Numbers:
        """All that the papers tell of it, mm."""
        return Numbers(
            {
                COUNTERBORE_DEPTH: self.counterbore_depth,
                FLOOR: self.floor,
                HEAD_LEFT: self.head_left,
                HEAD_COVER: self.head_cover,
                GRIP: self.grip,
                SHOULDER_GAP: self.shoulder_gap,
                ENGAGEMENT: self.engagement,
                STUD_ROOM: self.stud_room,
                TAP_END: self.tap_end,
            }
        )

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Through holes, and the counterbore."""
        return tuple(
            Cut(bore=bore, sunk=self._counterbore if bore.shape == "counterbore" else None)
            for bore in self.layers.bores
        )

    @property
    def _counterbore(self) -> Counterbore:
        return Counterbore(depth=self.counterbore_depth, lets_in=self.hardware.head_diameter)

    @property
    def removed(self) -> tuple[Ring, ...]:
        """From each scale."""
        shoulder, head = self.layers.hole.diameter / 2, self.layers.widest_outside / 2
        seat = (self.layers.inside + self.floor).nominal
        return (
            Ring(inner=0.0, outer=shoulder, low=None, high=None),
            Ring(inner=shoulder, outer=head, low=(seat, seat), high=None),
        )

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Its metal on each side: what the stud fills of the other half's thread, it leaves between the shoulders."""
        seat = (self.layers.inside + self.floor).nominal
        end, top = seat - self.hardware.shoulder_length, seat + self.hardware.head_height
        rings = (
            Ring(inner=0.0, outer=self.hardware.shoulder_diameter / 2, low=(end, end), high=(seat, seat)),
            Ring(inner=0.0, outer=self.hardware.head_diameter / 2, low=(seat, seat), high=(top, top)),
        )
        return tuple(Solid(name=name, material=made_of, rings=rings) for name, made_of in self.hardware.materials)

    def _bought(self, length: float) -> Interval:
        """A length of one half as it is sold."""
        return give_or_take(length, self.layers.knife.shop.tolerances.sleeve)
