"""Boning knife: long, narrow and whippy, with a spine that sweeps up a little to a fine tip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Boning(BentBlade):
    """Boning blade half."""

    blade_length: float = usual.blade_length(165.0, 120.0, 230.0)
    height: float = usual.height(22.0, 20.0, 27.0)
    front_height: float = usual.front_height(17.5, 14.0, 18.5)
    heel: float = usual.neck(9.5, 8.0, 18.0)
    choil_radius: float = usual.neck_radius(6.5, 3.5, 7.5)
    tip_rise: float = usual.tip_rise(4.0, 0.5, 10.0)
    spine_straight: float = usual.spine_rises_at(0.3, 0.0, 0.6)
    edge_straight: float = usual.edge_straight(0.4, 0.1, 0.6)
    belly: float = usual.belly(2.2, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=1.8, bevel_height=19.0, edge_thickness=0.25, rough_edge=None, sharpen_deg=14.0, drill="5/32"
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.tip_rise
