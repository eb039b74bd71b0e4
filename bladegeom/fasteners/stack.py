"""The stack at each fastener: how deep to drill, what is left, and what the hardware weighs.

Every number is nominal with its worst case beside it: the sum of all tolerances that have a part in it, each once.
"""

from __future__ import annotations

from bladegeom.fasteners.layer_stack import Site
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_rod import RodStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.knife.fastener import AnyHardware
from bladegeom.knife.hardware.bolt import ShoulderedBolt
from bladegeom.knife.hardware.pin import Pin, Tube
from bladegeom.knife.hardware.standoff import StandoffScrews
from bladegeom.knife.knife import Knife

Stack = RodStack | BoltStack | StandoffStack
"""One fastener's stack. All have ``site``, ``screw``, ``numbers``, ``cuts``, ``removed`` and ``solids``."""


def stacks(knife: Knife) -> tuple[Stack, ...]:
    """Of every fastener of a knife, in the order declared."""
    return tuple(stack_at(knife, i) for i in range(len(knife.fasteners)))


def stack_at(knife: Knife, index: int, tried: AnyHardware | None = None) -> Stack:
    """Of one fastener of a knife; of other hardware in its place if that is tried there."""
    site = Site(knife, index, tried)
    match site.hardware:
        case Pin() | Tube() as rod:
            return RodStack(site, rod)
        case ShoulderedBolt() as bolt:
            return BoltStack(site, bolt)
        case StandoffScrews() as standoff:
            return StandoffStack(site, standoff)
