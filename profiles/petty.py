"""Petty: the small, slim kitchen knife for work in the hand and on the board."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.outline.blade import BladeLines
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.parameter import parameter, require_numbers


@dataclass(frozen=True, kw_only=True)
class Petty:
    """Petty blade half."""

    blade_length: float = parameter(150.0, "mm", 100.0, 190.0, "handle front to tip, along x")
    height: float = parameter(29.0, "mm", 25.0, 38.0, "spine line down to the edge at the heel")
    front_height: float = parameter(18.0, "mm", 14.0, 24.0, "height of the steel where the handle begins")
    heel: float = parameter(14.0, "mm", 11.0, 30.0, "handle front to heel, along x: the neck")
    choil_radius: float = parameter(6.5, "mm", 3.0, 9.0, "inside radius between neck and heel")
    tip_drop: float = parameter(17.0, "mm", 3.0, 22.0, "tip below the spine line")
    spine_straight: float = parameter(0.15, "of the length", 0.0, 0.6, "where the spine begins to drop")
    edge_straight: float = parameter(0.2, "of the edge", 0.0, 0.6, "where the belly begins")
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
        return BladeLines(**vars(self), spine_power=2.35, underside_slope_deg=-2.0)
