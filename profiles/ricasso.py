"""Ricasso: full steel down to the edge line behind a small sharpening notch, and a drop-pointed blade ahead of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import NotchedBlade


@dataclass(frozen=True, kw_only=True)
class Ricasso(NotchedBlade):
    """Blade half with a ricasso.

    Source:
        Of the notch, a radius of 2 to 4 mm: common practice, no source.
    """

    blade_length: float = usual.blade_length(128.0, 90.0, 200.0)
    height: float = usual.height(26.0, 24.5, 30.0)
    front_height: float = usual.front_height(23.0, 17.0, 24.0)
    heel: float = usual.ricasso(30.0, 26.0, 40.0)
    choil_radius: float = usual.stone_notch_radius(3.0, 2.0, 4.0)
    tip_drop: float = usual.tip_drop(8.0, 2.0, 16.0)
    spine_straight: float = usual.spine_drops_at(0.35, 0.1, 0.6)
    edge_straight: float = usual.edge_straight(0.4, 0.1, 0.55)
    belly: float = usual.belly(2.6, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -4.0
    spine_power: ClassVar[float] = 2.3

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
