"""Chef's knife: a deep heel for the knuckles, a long edge that rocks, a spine that falls to a fine tip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Chef(BentBlade):
    """Chef's blade half."""

    blade_length: float = usual.blade_length(225.0, 160.0, 300.0)
    height: float = usual.height(47.0, 38.0, 58.0)
    front_height: float = usual.front_height(21.0, 15.0, 30.0)
    heel: float = usual.neck(20.0, 16.0, 40.0)
    choil_radius: float = usual.neck_radius(12.0, 4.0, 13.0)
    tip_drop: float = usual.tip_drop(29.0, 5.0, 36.0)
    spine_straight: float = usual.spine_drops_at(0.15, 0.0, 0.6)
    edge_straight: float = usual.edge_straight(0.2, 0.0, 0.6)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    spine_power: ClassVar[float] = 2.35
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=2.5,
        bevel_height=40.0,
        edge_thickness=0.25,
        rough_edge=0.6,
        sharpen_deg=13.0,
        fasteners=3,
        drill="3/16",
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
