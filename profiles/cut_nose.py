"""Cut nose: a kitchen blade whose spine runs on and is cut straight down to the tip, for a fine point on a long edge."""

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


def _corner_round_rule(blade: Any) -> str:
    most = blade.tip_drop / 2
    return "" if blade.corner_round < most else f"be less than {most:g} mm, half of tip_drop"


@dataclass(frozen=True, kw_only=True)
class CutNose(BladeHalf):
    """Blade half with a cut nose.

    Source:
        Of the cut, 35 to 45 degrees: common practice, no source.
    """

    blade_length: float = usual.blade_length(215.0, 165.0, 270.0)
    height: float = usual.height(46.0, 38.0, 52.0)
    front_height: float = usual.front_height(21.0, 15.0, 26.0)
    heel: float = usual.neck(20.0, 16.0, 36.0)
    choil_radius: float = usual.neck_radius(12.0, 4.0, 13.0)
    tip_drop: float = usual.tip_drop(33.0, 26.0, 36.0)
    nose_cut: float = parameter(
        40.0,
        "deg",
        35.0,
        45.0,
        "how steeply the nose is cut down to the tip, from level",
        rule=lambda blade: "" if 5 < blade.nose_cut < 90 else "be more than 5 and less than 90",
    )
    corner_round: float = parameter(
        4.0, "mm", 2.0, 8.0, "rounding where the cut leaves the spine, to each side", rule=_corner_round_rule
    )
    edge_straight: float = usual.edge_straight(0.35, 0.0, 0.6)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=2.2,
        bevel_height=38.0,
        edge_thickness=0.2,
        rough_edge=0.5,
        sharpen_deg=13.0,
        fasteners=3,
        drill="3/16",
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=self.belly)

    def _spine(self) -> Curve:
        x, y = self._tip
        dx, dy = direction(-self.nose_cut)
        corner = (x - y * dx / dy, 0.0)
        cut = line((corner[0] + self.corner_round * dx, self.corner_round * dy), (x, y))
        return rounded_corner(corner, cut)
