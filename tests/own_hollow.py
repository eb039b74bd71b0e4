"""A bevel of a maker's own in one file: hollow by a depth under its chord, declared by nothing but its heights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom import ByHeights, SamplePoints
from bladegeom.curves.curve import FloatArray


@dataclass(frozen=True, kw_only=True)
class OwnHollow(ByHeights):
    """A parabola that dips below the straight way from edge to grind line."""

    depth: float
    height: float
    edge_thickness: float
    kind: ClassVar[str] = "own hollow"

    def surface(self, at: SamplePoints) -> FloatArray:
        """The chord, less the parabola."""
        low, share = at.edge_height(self.edge_thickness), at.from_edge / self.height
        return low + (at.stock - low) * share - 4 * self.depth * share * (1 - share)
