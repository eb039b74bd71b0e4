"""Cut nose: a kitchen blade whose spine is cut straight down to the tip, for a fine point on a long edge."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import CutBlade
from bladegeom.outline.starting_sizes import KITCHEN, StartingSizes


@dataclass(frozen=True, kw_only=True)
class CutNose(CutBlade):
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
    cut: float = usual.cut(40.0, 35.0, 45.0)
    corner_round: float = usual.corner_round(6.0, 3.0, 10.0)
    edge_straight: float = usual.edge_straight(0.35, 0.0, 0.6)
    belly: float = usual.belly(2.3, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -2.0
    starting_sizes: ClassVar[StartingSizes] = replace(KITCHEN, bevel_height=38.0)
