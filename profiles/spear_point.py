"""Spear point: spine and belly run to a tip on the blade's middle line, like the head of a spear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade


@dataclass(frozen=True, kw_only=True)
class SpearPoint(BentBlade):
    """Spear-point blade half."""

    blade_length: float = usual.blade_length(112.0, 75.0, 180.0)
    height: float = usual.height(27.0, 25.5, 38.0)
    front_height: float = usual.front_height(22.0, 16.0, 23.5)
    heel: float = usual.ricasso(9.5, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_drop: float = usual.tip_drop(13.0, 8.0, 20.0)
    spine_straight: float = usual.spine_drops_at(0.48, 0.3, 0.65)
    edge_straight: float = usual.edge_straight(0.4, 0.2, 0.6)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    spine_power: ClassVar[float] = 2.2

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
