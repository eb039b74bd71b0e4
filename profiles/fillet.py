"""Narrow fillet: a long slim blade of little more height than its handle, to bend along the bone and under the skin."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Fillet(BentBlade):
    """Narrow fillet's blade half.

    Source:
        Of the sizes: common practice, no source.
    """

    blade_length: float = usual.blade_length(190.0, 150.0, 240.0)
    height: float = usual.height(19.0, 18.0, 21.0)
    front_height: float = usual.front_height(16.0, 13.5, 16.5)
    heel: float = usual.neck(9.0, 8.0, 16.0)
    choil_radius: float = usual.neck_radius(6.5, 3.5, 7.5)
    tip_drop: float = usual.tip_drop(3.0, 0.5, 7.0)
    spine_straight: float = usual.spine_drops_at(0.5, 0.2, 0.7)
    edge_straight: float = usual.edge_straight(0.5, 0.2, 0.7)
    belly: float = usual.belly(2.4, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    spine_power: ClassVar[float] = 2.2
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=1.6, bevel_height=16.0, edge_thickness=0.2, rough_edge=None, sharpen_deg=14.0, drill="1/8"
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
