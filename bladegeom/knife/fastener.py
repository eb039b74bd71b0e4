"""Hardware in its place on a knife."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.knife.hardware.bolt import ShoulderedBolt
from bladegeom.knife.hardware.pin import Pin, Tube
from bladegeom.knife.hardware.standoff import StandoffScrews
from bladegeom.knife.hole import Made, require_made
from bladegeom.knife.require import require_finite, told
from bladegeom.quantities.errors import ParameterError

AnyHardware = Pin | Tube | ShoulderedBolt | StandoffScrews
"""All kinds of hardware."""


@dataclass(frozen=True, kw_only=True)
class Fastener:
    """A piece of hardware square to the tang.

    Args:
        x: Centre, mm.
        y: Centre, mm.
        hardware: What stands there.
        made: How its hole in the tang is made: cut with the outline, drilled, or drilled and reamed.
    """

    x: float
    y: float
    hardware: AnyHardware
    made: Made = "drilled"

    def __post_init__(self) -> None:
        require_finite("fastener", x=self.x, y=self.y)
        require_made(self.made)
        require_hardware(self.hardware)


def require_hardware(hardware: object) -> None:
    """Refuse what is no hardware.

    Raises:
        ParameterError: It is something else.
    """
    if not isinstance(hardware, AnyHardware):
        raise ParameterError(
            "fastener: hardware", told(hardware), 'be written like Pin(rod="304", diameter=inch("3/16"))'
        )
