"""Slicer: a long slim blade of nearly even height, to draw through a roast in one stroke."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import KITCHEN, StartingSizes


@dataclass(frozen=True, kw_only=True)
class Slicer(BentBlade):
    """Slicer's blade half.

    Source:
        Of the lengths and heights, 230 to 300 by 30 to 38 mm: common practice, no source.
    """

    blade_length: float = usual.blade_length(265.0, 230.0, 300.0)
    height: float = usual.height(34.0, 30.0, 38.0)
    front_height: float = usual.front_height(20.0, 15.0, 22.0)
    heel: float = usual.neck(17.0, 15.0, 30.0)
    choil_radius: float = usual.neck_radius(9.0, 4.0, 10.0)
    tip_drop: float = usual.tip_drop(17.0, 6.0, 24.0)
    spine_straight: float = usual.spine_drops_at(0.35, 0.0, 0.6)
    edge_straight: float = usual.edge_straight(0.45, 0.0, 0.7)
    belly: float = usual.belly(2.6, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    spine_power: ClassVar[float] = 2.6
    starting_sizes: ClassVar[StartingSizes] = replace(KITCHEN, bevel_height=28.0)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
