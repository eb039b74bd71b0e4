"""Hardware in its place on a knife."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import Field, dataclass
from typing import Any, ClassVar, Protocol, runtime_checkable

from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.hole import Made, Purpose, require_made
from bladegeom.knife.require import require_finite, told
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Drill, Material


@runtime_checkable
class DeclaredHardware(Protocol):
    """What a knife itself asks of the hardware that it holds.

    All else that hardware must answer stands in :class:`bladegeom.fasteners.hardware.Hardware`, from which every kind
    is made: that room knows the knife, and the knife does not know it.
    """

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]
    """It is a frozen dataclass: revisions are told by what is declared."""

    @property
    def kind(self) -> str:
        """Its name on the papers."""

    @property
    def purpose(self) -> Purpose:
        """Of its hole in the tang."""

    @property
    def materials(self) -> tuple[tuple[str, Material], ...]:
        """Its parts by name, and what each is made of."""

    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        """What is drilled for it, the tang's hole first; with the drills of an index where they will do."""

    def __hash__(self) -> int:
        """Pieces alike are told of once."""


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
    # A class has what its values have, and is none of them.
    if isinstance(hardware, type) or not isinstance(hardware, DeclaredHardware):
        raise ParameterError(
            "fastener: hardware", told(hardware), 'be written like Pin(rod="304", diameter=inch("3/16"))'
        )
