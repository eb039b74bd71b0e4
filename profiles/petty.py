"""Petty: the small, slim kitchen knife for work in the hand and on the board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Petty(BentBlade):
    """Petty blade half."""

    blade_length: float = usual.blade_length(150.0, 100.0, 190.0)
    height: float = usual.height(29.0, 25.0, 38.0)
    front_height: float = usual.front_height(18.0, 14.0, 24.0)
    heel: float = usual.neck(14.0, 11.0, 30.0)
    choil_radius: float = usual.neck_radius(6.5, 3.0, 9.0)
    tip_drop: float = usual.tip_drop(17.0, 3.0, 22.0)
    spine_straight: float = usual.spine_drops_at(0.15, 0.0, 0.6)
    edge_straight: float = usual.edge_straight(0.2, 0.0, 0.6)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    spine_power: ClassVar[float] = 2.35
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=2.0, bevel_height=26.0, edge_thickness=0.2, rough_edge=None, sharpen_deg=13.0, drill="3/16"
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
