"""Spear point: spine and belly run to a tip on the blade's middle line, like the head of a spear."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.outline.blade import BladeLines
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require_numbers


@dataclass(frozen=True, kw_only=True)
class SpearPoint:
    """Spear-point blade half."""

    blade_length: float = parameter(112.0, "mm", 75.0, 180.0, "handle front to tip, along x")
    height: float = parameter(27.0, "mm", 25.5, 38.0, "spine line down to the edge at the heel")
    front_height: float = parameter(22.0, "mm", 16.0, 23.5, "height of the steel where the handle begins")
    heel: float = parameter(9.5, "mm", 8.0, 25.0, "handle front to heel, along x: the ricasso")
    choil_radius: float = parameter(6.5, "mm", 4.0, 8.0, "inside radius of the finger notch before the heel")
    tip_drop: float = parameter(13.0, "mm", 8.0, 20.0, "tip below the spine line")
    spine_straight: float = parameter(0.48, "of the length", 0.3, 0.65, "where the spine begins to drop")
    edge_straight: float = parameter(0.4, "of the edge", 0.2, 0.6, "where the belly begins")
    belly: float = parameter(2.3, "power", 2.0, 3.0, "fullness of the belly: the higher, the rounder near the tip")

    def __post_init__(self) -> None:
        require_numbers(self)
        self._lines()

    def joint(self) -> Joint:
        """Height and directions at which the handle takes over."""
        return self._lines().joint()

    def blade(self) -> BladeCurves:
        """Edge, spine and choil."""
        return self._lines().blade()

    def _lines(self) -> BladeLines:
        return BladeLines(**vars(self), spine_power=2.2, underside_slope_deg=-4.0)
