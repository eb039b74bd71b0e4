"""Flush northern blade: no choil and no lip, the edge runs on from the underside of the handle; for carving."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import FlushBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Flush(FlushBlade):
    """Flush northern blade half."""

    blade_length: float = usual.blade_length(92.0, 65.0, 130.0)
    front_height: float = usual.front_height(22.0, 17.0, 25.0)
    heel: float = usual.ricasso(6.0, 3.0, 12.0)
    tip_drop: float = usual.tip_drop(5.0, 1.0, 9.0)
    spine_straight: float = usual.spine_drops_at(0.5, 0.2, 0.7)
    edge_straight: float = usual.edge_straight(0.5, 0.2, 0.65)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    spine_power: ClassVar[float] = 2.2
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(thickness=3.5, bevel_height=11.0, edge_thickness=0.3)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
