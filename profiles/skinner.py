"""Skinner: a trailing point, whose spine sweeps up to a tip over a deep round belly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BentBlade
from bladegeom.outline.starting_sizes import StartingSizes


@dataclass(frozen=True, kw_only=True)
class Skinner(BentBlade):
    """Skinner blade half."""

    blade_length: float = usual.blade_length(108.0, 75.0, 150.0)
    height: float = usual.height(30.0, 27.0, 40.0)
    front_height: float = usual.front_height(22.5, 16.0, 24.5)
    heel: float = usual.ricasso(10.0, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_rise: float = usual.tip_rise(6.0, 1.0, 12.0)
    spine_straight: float = usual.spine_rises_at(0.25, 0.0, 0.5)
    edge_straight: float = usual.edge_straight(0.22, 0.0, 0.4)
    belly: float = usual.belly(2.4, 2.0, 3.0)

    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=3.2, bevel_height=22.0, edge_thickness=0.35, rough_edge=0.7, sharpen_deg=17.0
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.tip_rise
