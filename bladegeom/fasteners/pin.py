"""Plain rods through scales and tang, glued or peened."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Literal, Self

from bladegeom.fasteners.rod import Rod, bores_of, chosen_of
from bladegeom.fasteners.stack_parts import ChosenHole, Wall
from bladegeom.knife.hardware.bore import GLUED, PEENED, Bore, HoleSize, Play, require_room
from bladegeom.knife.hole import Purpose
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.materials import AnyMaterial, Material, material
from bladegeom.quantities.units import show_length


@declared("pin", example='Pin(rod="304", diameter=inch("3/16"))')
class Pin(Rod):
    """A plain rod through scales and tang.

    Args:
        rod: A name from the table of materials, or a Material of the shop's own.
        diameter: More than 0 mm.
        peened: Whether its ends are hammered wide; else it is glued.
        tang_hole: Drill for the tang by name or diameter; None takes one with room for the glue, or for the swelling.
        scale_hole: Drill for the scales and liners; None takes one for a slip fit.

    Raises:
        UnknownNameError: No such material or drill.
        ParameterError: A hole that the rod does not go through.

    >>> pin = Pin(rod="C26000", diameter=6.35)
    >>> pin.kind, pin.diameter
    ('glued pin', 6.35)
    """

    rod: AnyMaterial
    diameter: Length
    peened: bool = False
    tang_hole: HoleSize = None
    scale_hole: HoleSize = None

    def __post_init__(self) -> None:
        require_room(self, "pin", tang_hole=self.diameter, scale_hole=self.diameter)

    @property
    def kind(self) -> str:
        """Its name on the papers."""
        return "peened pin" if self.peened else "glued pin"

    @property
    def purpose(self) -> Purpose:
        """Of its hole in the tang."""
        return "fastener"

    @property
    def materials(self) -> tuple[tuple[str, Material], ...]:
        """What it is made of."""
        return (("pin", material(self.rod)),)

    @property
    def tang_play(self) -> Play:
        """How much wider than the rod the tang's hole should be, mm."""
        return (PEENED[0] * self.diameter, PEENED[1] * self.diameter) if self.peened else GLUED

    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        """Through holes in tang, liner and scale."""
        return bores_of(self.diameter, self.tang_hole, self.tang_play, self.scale_hole, index)

    @property
    def width(self) -> float:
        """Outside diameter, mm."""
        return self.diameter

    @property
    def is_peened(self) -> bool:
        """Whether its ends are hammered wide."""
        return self.peened

    @property
    def stock_words(self) -> str:
        """What is bought."""
        return f"Rod of {material(self.rod).name}, {show_length(self.diameter)} in diameter"

    @property
    def without_scales(self) -> Literal["note"]:
        """It holds nothing then."""
        return "note"

    @property
    def passage(self) -> None:
        """It is solid."""

    @property
    def walls(self) -> tuple[Wall, ...]:
        """None: it is solid."""
        return ()

    @property
    def chosen_holes(self) -> tuple[ChosenHole, ...]:
        """Both of them, where they are declared."""
        return chosen_of(self.width, self.tang_hole, self.tang_play, self.scale_hole)

    def of_metal(self, metal: str) -> Self:
        """The same of another metal."""
        return dataclasses.replace(self, rod=metal)
