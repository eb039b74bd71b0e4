"""Broken back: a level spine that breaks at a corner and runs straight down to a strong tip."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import CutBlade


@dataclass(frozen=True, kw_only=True)
class BrokenBack(CutBlade):
    """Broken-back blade half."""

    blade_length: float = usual.blade_length(125.0, 90.0, 180.0)
    height: float = usual.height(28.0, 25.5, 34.0)
    front_height: float = usual.front_height(22.5, 16.0, 24.0)
    heel: float = usual.ricasso(9.5, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_drop: float = usual.tip_drop(20.0, 15.0, 23.0)
    cut: float = usual.cut(22.0, 16.0, 30.0)
    corner_round: float = usual.corner_round(5.0, 2.0, 7.4)
    edge_straight: float = usual.edge_straight(0.5, 0.2, 0.7)
    belly: float = usual.belly(2.3, 2.0, 3.0)
