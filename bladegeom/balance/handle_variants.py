"""Changes of the handle that move the balance: scales, liners, metal of the hardware."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from functools import partial
from typing import Final

from bladegeom.balance.sensitivity import Variant
from bladegeom.fasteners.stack import stacks
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Scales
from bladegeom.quantities.units import show_length

SLABS: Final = (
    ("Juglans nigra", "black walnut"),
    ("Handroanthus sp.", "ipe"),
    ("NEMA C", "canvas phenolic"),
    ("G-10", "glass-epoxy"),
)
"""A light wood, a dense one, and the two laminates that span what laminates weigh; own choice from the table."""

METALS: Final = (("6061", "aluminium"), ("304", "stainless steel"), ("C36000", "brass"))
"""From light to heavy; own choice from the table."""

_FIRST_LINER = Liner(sheet="G-10", thickness=0.8)
"""Where there is none yet; own choice, a usual sheet."""


def handle_variants(knife: Knife) -> Iterator[Variant]:
    """All changes of the handle of a design."""
    if knife.scales is not None:
        yield from _slabs(knife, knife.scales)
        yield from _liners(knife, knife.scales)
    if knife.fasteners:
        yield from _metals(knife)


def _slabs(knife: Knife, scales: Scales) -> Iterator[Variant]:
    for slab, common in SLABS:
        other = dataclasses.replace(scales, slab=slab)
        yield Variant(name="scale material", change=f"{slab} ({common})", make=partial(_with, knife, other))


def _liners(knife: Knife, scales: Scales) -> Iterator[Variant]:
    more = scales.liners[-1] if scales.liners else _FIRST_LINER
    changes = (
        ("none", ()),
        (f"one more each side, {more.material.name} {show_length(more.thickness)}", (*scales.liners, more)),
    )
    for change, liners in changes:
        other = dataclasses.replace(scales, liners=liners)
        yield Variant(name="liners", change=change, make=partial(_with, knife, other), touches=("stack",))


def _with(knife: Knife, scales: Scales) -> Knife:
    return dataclasses.replace(knife, scales=scales)


def _metals(knife: Knife) -> Iterator[Variant]:
    for metal, common in METALS:
        yield Variant(
            name="hardware",
            change=f"all of {metal} ({common})",
            make=partial(_with_hardware_of, knife, metal),
            touches=("stack",),
        )


def _with_hardware_of(knife: Knife, metal: str) -> Knife:
    pairs = zip(knife.fasteners, stacks(knife), strict=True)
    fasteners = tuple(dataclasses.replace(pair, hardware=stack.hardware.of_metal(metal)) for pair, stack in pairs)
    return dataclasses.replace(knife, fasteners=fasteners)
