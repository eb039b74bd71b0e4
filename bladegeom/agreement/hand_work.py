"""How exactly work by hand meets what is told: for the customer, so that nobody expects what no hand can give.

Source of the limits: common practice, no source. A limit that the order sets goes before them, and says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.agreement.page_parts import PageRow
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.customer_units import customer_length, customer_mass
from bladegeom.quantities.materials import SWELLS
from bladegeom.solids.part import G_PER_MM3

LENGTHS_WITHIN: Final = 1.5
"""Lengths and heights of blade and handle, mm."""

THICKNESS_WITHIN: Final = 0.2
"""Of the blade, mm: bars come so, and grinding and polishing take as much."""

HANDLE_WITHIN: Final = 1.0
"""Thickness and girth of the handle, mm: it is shaped by hand and eye."""

BALANCE_WITHIN: Final = 3.0
"""Balance point, mm."""

SHAPING: Final = 0.03
"""Of the mass, beside the spread of the materials' densities."""


def hand_rows(knife: Knife) -> Iterator[PageRow]:
    """A line for each kind of size, and what natural materials do."""
    yield PageRow(what="Lengths and heights", value=f"within {customer_length(LENGTHS_WITHIN)}")
    yield PageRow(what="Thickness of the blade", value=f"within {customer_length(THICKNESS_WITHIN)}")
    if knife.scales is not None:
        yield PageRow(what="Thickness and girth of the handle", value=f"within {customer_length(HANDLE_WITHIN)}")
    if not unweighed(knife):
        low, high = mass_range(knife)
        yield PageRow(
            what="Weight",
            value=f"{customer_mass(low).removesuffix(' g')} to {customer_mass(high)}",
            how="materials differ from piece to piece",
        )
        yield PageRow(what="Balance point", value=f"within {customer_length(BALANCE_WITHIN)}")
    yield PageRow(what="Surfaces", value="finished by hand", how="fine scratches and small differences are part of it")
    if knife.scales is not None and knife.scales.material.kind in SWELLS:
        yield PageRow(
            what="Natural materials",
            value="no two pieces are alike",
            how="colour and grain differ from any picture, darken with use, and move a little with the weather",
        )


def mass_range(knife: Knife) -> tuple[float, float]:
    """Least and greatest mass of the finished knife, g: by the spread of the densities, and of shaping by hand."""
    ends = [
        sum(
            part.volume.amount * density * G_PER_MM3
            for part, density in zip(weigh(knife).parts, densities, strict=True)
        )
        for densities in (
            [part.material.low for part in weigh(knife).parts],
            [part.material.high for part in weigh(knife).parts],
        )
    ]
    return ends[0] * (1 - SHAPING), ends[1] * (1 + SHAPING)
