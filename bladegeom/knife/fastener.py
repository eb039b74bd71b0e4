"""Hardware in its place on a knife."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.hole import Made, Purpose
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.field_rules import Coordinate, Like
from bladegeom.quantities.materials import Material


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


AnyHardware = Annotated[DeclaredHardware, Like('Pin(rod="304", diameter=inch("3/16"))')]
"""A piece of hardware of any kind."""


@declared("fastener", example="Fastener(x=-30.0, y=-12.0, hardware=...)")
class Fastener:
    """A piece of hardware square to the tang.

    Args:
        x: Centre, mm.
        y: Centre, mm.
        hardware: What stands there.
        made: How its hole in the tang is made: cut with the outline, drilled, or drilled and reamed.

    >>> from bladegeom import Pin
    >>> Fastener(x=-30.0, y=-12.0, hardware=Pin(rod="C26000", diameter=6.35)).hardware.kind
    'glued pin'
    """

    x: Coordinate
    y: Coordinate
    hardware: AnyHardware
    made: Made = "drilled"
