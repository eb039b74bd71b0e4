"""The stack at each fastener: how deep to drill, what is left, and what the hardware weighs.

Every number is nominal with its worst case beside it: the sum of all tolerances that have a part in it, each once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.fasteners.alike import grouped
from bladegeom.fasteners.hardware import Hardware, Stack
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.told import told


@memo
def stacks(knife: Knife) -> tuple[Stack, ...]:
    """Of every fastener of a knife, in the order declared."""
    return tuple(stack_at(knife, i) for i in range(len(knife.fasteners)))


def stack_at(knife: Knife, index: int) -> Stack:
    """Of one fastener of a knife.

    Raises:
        ParameterError: Its hardware answers what a knife asks and no more.
    """
    layers = LayerStack(knife, index)
    hardware = layers.fastener.hardware
    if not isinstance(hardware, Hardware):
        must = "be made from bladegeom.fasteners.hardware.Hardware, which says what every kind must answer"
        raise ParameterError("fastener: hardware", told(hardware), must)
    return hardware.at(layers)


def families(at: Sequence[Stack]) -> Iterator[tuple[type[Stack], list[Stack]]]:
    """Stacks of one class together: what comes off again, then what clamps, then what stays."""
    yield from sorted(grouped((type(stack), stack) for stack in at), key=lambda family: family[1][0].hardware.hold)


def lines_to_buy(at: Sequence[Stack]) -> tuple[str, ...]:
    """A line for everything that is bought, from the stacks of all fasteners."""
    return tuple(line for kind, family in families(at) for line in kind.to_buy(family))
