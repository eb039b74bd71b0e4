r"""Guard lip: the steel comes down before the edge in a round lip below it, which keeps the finger off the edge.

::

     origin __________________________
      |                               ``--..    tip_drop
      | front_height                        `-._ tip
      |__        choil_radius            _.-'
         `.    .-.________________..--''
           `--'   heel
            lip
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import NotchedBlade
from bladegeom.outline.parameter import parameter


@dataclass(frozen=True, kw_only=True)
class GuardLip(NotchedBlade):
    """Blade half with a guard lip.

    Source:
        Of the lip, 2 to 5 mm below the edge, and of the notch: common practice, no source.
    """

    blade_length: float = usual.blade_length(105.0, 75.0, 150.0)
    height: float = usual.height(24.0, 22.5, 27.0)
    front_height: float = usual.front_height(22.0, 18.0, 22.4)
    heel: float = usual.neck(32.0, 30.0, 40.0)
    choil_radius: float = usual.stone_notch_radius(3.0, 2.0, 4.0)
    lip: float = parameter(
        3.0,
        "mm",
        2.0,
        5.0,
        "lowest place of the lip below the edge at the heel",
        rule=lambda blade: "" if blade.lip > 0 else "be more than 0 mm",
    )
    tip_drop: float = usual.tip_drop(6.0, 1.0, 12.0)
    spine_straight: float = usual.spine_drops_at(0.4, 0.1, 0.6)
    edge_straight: float = usual.edge_straight(0.4, 0.1, 0.55)
    belly: float = usual.belly(2.5, 2.0, 3.0)

    underside_slope_deg: ClassVar[float] = -6.0
    spine_power: ClassVar[float] = 2.2
    ricasso_corner: ClassVar[float] = 5.0

    @property
    def _low(self) -> float:
        return -self.height - self.lip

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop
