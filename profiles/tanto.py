"""Tanto: a straight edge, then a corner, and a second edge that rises steeply to a strong tip."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf
from bladegeom.outline.flow import straight_then_bend, sway
from bladegeom.outline.parameter import parameter


def _point_rule(blade: Any) -> str:
    most = (blade.blade_length - blade.heel) / blade.height
    return "" if 0 < blade.point < most else f"be more than 0 and less than {most:.3f}"


def _edge_rise_rule(blade: Any) -> str:
    room = blade.height - blade.tip_drop
    return "" if blade.edge_rise < room else f"be less than {room:g} mm"


@dataclass(frozen=True, kw_only=True)
class Tanto(BladeHalf):
    """Tanto blade half."""

    # The secondary point.
    corners: ClassVar[Mapping[str, int]] = {"edge": 1}

    blade_length: float = usual.blade_length(112.0, 80.0, 180.0)
    height: float = usual.height(27.0, 25.0, 36.0)
    front_height: float = usual.front_height(22.0, 16.0, 22.5)
    heel: float = usual.ricasso(9.5, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_drop: float = usual.tip_drop(3.0, 1.0, 7.0)
    spine_straight: float = usual.spine_drops_at(0.5, 0.2, 0.7)
    point: float = parameter(0.92, "of the height", 0.6, 1.2, "secondary point to tip, along x", rule=_point_rule)
    point_bow: float = parameter(1.2, "mm", 0.0, 2.5, "by how much the front edge bulges, in its middle")
    edge_rise: float = parameter(
        1.0, "mm", 0.0, 3.0, "secondary point above the edge at the heel", rule=_edge_rise_rule
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop

    def _edge(self) -> Curve:
        tip, point = self._tip, self.point * self.height
        second = (self.blade_length - point, self.edge_rise - self.height)
        rise = math.degrees(math.atan2(tip[1] - second[1], point))
        # A parabola turns by 4 times its rise over its span from its chord to either end.
        turn = math.degrees(math.atan2(4 * self.point_bow, math.dist(second, tip)))
        return join(
            straight_then_bend(self._heel, 0.3, second, power=2.0),
            sway(second, tip, start_deg=rise - turn, end_deg=rise + turn, reach=(1 / 3, 1 / 3)),
        )

    def _spine(self) -> Curve:
        return straight_then_bend((0.0, 0.0), self.spine_straight, self._tip, power=2.0)
