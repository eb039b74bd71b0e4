"""Paring knife: short and slim, for work in the hand, with a fine tip and little belly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Paring(BentBlade):
    """Paring blade half."""

    blade_length: float = usual.blade_length(85.0, 65.0, 110.0)
    height: float = usual.height(21.0, 19.5, 26.0)
    front_height: float = usual.front_height(16.0, 13.0, 18.0)
    heel: float = usual.neck(10.0, 8.0, 18.0)
    choil_radius: float = usual.neck_radius(6.5, 3.5, 7.5)
    tip_drop: float = usual.tip_drop(11.0, 3.0, 15.0)
    spine_straight: float = usual.spine_drops_at(0.2, 0.0, 0.6)
    edge_straight: float = usual.edge_straight(0.25, 0.0, 0.6)
    belly: float = usual.belly(2.2, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    spine_power: ClassVar[float] = 2.2
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=1.8, bevel_height=18.0, edge_thickness=0.2, rough_edge=None, sharpen_deg=13.0, drill="1/8"
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
