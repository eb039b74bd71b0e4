"""What the cutting shop makes of each opening in the steel, and what is left to the maker."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bladegeom.knife.hole import Hole, Made, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.tolerances import SHOP

Way = Literal["to size", "under size", "pilot", "left"]

PILOT_LEAVES = 1.0
"""A pilot hole is cut only where so much is left on the diameter for the drill, mm; own choice."""


@dataclass(frozen=True, kw_only=True)
class CutHole:
    """One opening as the cut file has it.

    Args:
        name: Short name of the opening.
        opening: At its finished size.
        way: Cut to its size, under it, as a pilot hole, or left out for the drill.
        diameter: That is cut, mm; 0 where it is left out.
        wished: That would have been cut but is less than the process can, mm; 0 where nothing is in the way.
    """

    name: str
    opening: Opening
    way: Way
    diameter: float
    wished: float = 0.0

    @property
    def finish(self) -> Made:
        """What gives the hole its size."""
        if self.way == "to size":
            return "cut"
        return "reamed" if self.opening.made == "reamed" else "drilled"


@memo
def cut_holes(knife: Knife) -> tuple[CutHole, ...]:
    """All openings of the steel, in their order."""
    least = knife.shop.process.least_hole(knife.stock.thickness)
    return tuple(
        _cut_hole(knife, name, opening, least) for name, opening in zip(knife.hole_ids, knife.openings, strict=True)
    )


def _cut_hole(knife: Knife, name: str, opening: Opening, least: float) -> CutHole:
    way, diameter = _wanted(knife, opening)
    if way != "left" and diameter < least - SHOP:
        return CutHole(name=name, opening=opening, way="left", diameter=0.0, wished=diameter)
    return CutHole(name=name, opening=opening, way=way, diameter=diameter)


def _wanted(knife: Knife, opening: Opening) -> tuple[Way, float]:
    """How it would be cut by a process that can cut anything."""
    chosen, size, own = knife.cutting, opening.diameter, opening.made == "cut"
    if not isinstance(opening, Hole):
        return ("to size", size) if own else ("left", 0.0)
    if not own and chosen.pilot is not None:
        return ("pilot", chosen.pilot) if chosen.pilot <= size - PILOT_LEAVES else ("left", 0.0)
    if 0 < chosen.undersize < size and not (own and opening.purpose == "lightening"):
        return "under size", size - chosen.undersize
    return ("to size", size) if own else ("left", 0.0)
