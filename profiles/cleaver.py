"""Cleaver: a tall blade of even height with a square front, to lift what it has cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from bladegeom.curves.build import direction, line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf, rounded_corner
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.parameter import parameter
from bladegeom.outline.starting_sizes import StartingSizes


def _nose_round_rule(blade: Any) -> str:
    most = min(blade.height - blade.edge_rise, blade.blade_length) / 2
    return "" if blade.nose_round < most else f"be less than {most:g} mm"


@dataclass(frozen=True, kw_only=True)
class Cleaver(BladeHalf):
    """Cleaver blade half."""

    blade_length: float = usual.blade_length(178.0, 140.0, 220.0)
    height: float = usual.height(84.0, 65.0, 105.0)
    front_height: float = usual.front_height(25.0, 18.0, 30.0)
    heel: float = usual.neck(24.0, 18.0, 36.0)
    choil_radius: float = usual.neck_radius(13.0, 6.0, 13.5)
    edge_rise: float = usual.edge_rise(5.0, 1.0, 10.0)
    edge_straight: float = usual.edge_straight(0.15, 0.0, 0.5)
    nose_lean: float = parameter(
        5.0,
        "deg",
        0.0,
        14.0,
        "front border from upright, its upper end behind",
        rule=lambda blade: "" if blade.nose_lean < 45 else "be less than 45",
    )
    nose_round: float = parameter(
        22.0, "mm", 10.0, 30.0, "rounding of the upper front corner, to each side", rule=_nose_round_rule
    )

    underside_slope_deg: ClassVar[float] = -2.0
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(thickness=4.0, bevel_height=40.0, fasteners=3)

    @property
    def _tip(self) -> Vector:
        return self.blade_length, self.edge_rise - self.height

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=2.0)

    def _spine(self) -> Curve:
        x, y = self._tip
        dx, dy = direction(self.nose_lean - 90)
        corner = (x + y * dx / -dy, 0.0)
        front = line((corner[0] + self.nose_round * dx, self.nose_round * dy), (x, y))
        return rounded_corner(corner, front)
