"""Hardware in its place on a knife."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.hole import Made, Purpose, require_made
from bladegeom.knife.require import require_finite, told
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Drill, Material


@dataclass(frozen=True, kw_only=True)
class DeclaredHardware(ABC):
    """What a knife itself asks of the hardware that it holds.

    All else that hardware must answer stands in :class:`bladegeom.fasteners.hardware.Hardware`, from which every kind
    is made: that room knows the knife, and the knife does not know it.
    """

    @property
    @abstractmethod
    def kind(self) -> str:
        """Its name on the papers."""

    @property
    @abstractmethod
    def purpose(self) -> Purpose:
        """Of its hole in the tang."""

    @property
    @abstractmethod
    def materials(self) -> tuple[tuple[str, Material], ...]:
        """Its parts by name, and what each is made of."""

    @abstractmethod
    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        """What is drilled for it, the tang's hole first; with the drills of an index where they will do.

        There is a through hole in each of "tang", "liner" and "scale"; each side of the tang has the same.
        """


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
    hardware: DeclaredHardware
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
    if not isinstance(hardware, DeclaredHardware):
        raise ParameterError(
            "fastener: hardware", told(hardware), 'be written like Pin(rod="304", diameter=inch("3/16"))'
        )
