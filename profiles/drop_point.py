"""Drop point: a spine that runs straight and then drops to a tip below it, over a full belly.

::

    origin ____________________
      |       spine_straight   ``--..          tip_drop
      | front_height                 ``--.. _ tip
      |__                           _.-'
         `heel________________..--''            height: spine line down to the edge at the heel
      choil_radius     edge_straight, belly
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade


@dataclass(frozen=True, kw_only=True)
class DropPoint(BentBlade):
    """Drop-point blade half."""

    blade_length: float = usual.blade_length(110.0, 70.0, 180.0)
    height: float = usual.height(28.0, 25.5, 40.0)
    front_height: float = usual.front_height(22.5, 16.0, 24.0)
    heel: float = usual.ricasso(9.5, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_drop: float = usual.tip_drop(10.0, 2.0, 20.0)
    spine_straight: float = usual.spine_drops_at(0.25, 0.0, 0.6)
    edge_straight: float = usual.edge_straight(0.35, 0.1, 0.55)
    belly: float = usual.belly(2.6, 2.0, 3.0)

    spine_power: ClassVar[float] = 2.3

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
