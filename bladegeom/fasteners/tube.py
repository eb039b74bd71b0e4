"""Tubes for a lanyard, glued in and ground flush with both scales."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Self

from bladegeom.fasteners.rod import Rod, bores_of, chosen_of
from bladegeom.fasteners.stack_parts import ChosenHole, Wall
from bladegeom.knife.hardware.bore import GLUED, Bore, HoleSize, Play, require_room
from bladegeom.knife.hole import Purpose
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.materials import AnyMaterial, Material, material
from bladegeom.quantities.units import show_length


@declared("tube", example='Tube(metal="C26000", outside=6.0, inside=4.0)')
class Tube(Rod):
    """A tube for a lanyard, glued in and ground flush.

    Args:
        metal: A name from the table of materials, or a Material of the shop's own.
        outside: Diameter, mm.
        inside: Diameter of the bore that the cord goes through, > 0 mm and less than the outside.
        tang_hole: As of a pin.
        scale_hole: As of a pin.

    Raises:
        UnknownNameError: No such material or drill.
        ParameterError: A tube without a wall, or a hole that it does not go through.

    >>> Tube(metal="304", outside=6.35, inside=4.8).inside
    4.8
    """

    metal: AnyMaterial
    outside: Length
    inside: Length
    tang_hole: HoleSize = None
    scale_hole: HoleSize = None

    def __post_init__(self) -> None:
        if self.inside >= self.outside:
            raise ParameterError(
                "tube: inside", show_length(self.inside), f"be less than the outside, {show_length(self.outside)}"
            )
        require_room(self, "tube", tang_hole=self.outside, scale_hole=self.outside)

    @property
    def kind(self) -> str:
        """Its name on the papers."""
        return "lanyard tube"

    @property
    def purpose(self) -> Purpose:
        """Of its hole in the tang."""
        return "lanyard"

    @property
    def materials(self) -> tuple[tuple[str, Material], ...]:
        """What it is made of."""
        return (("lanyard tube", material(self.metal)),)

    @property
    def tang_play(self) -> Play:
        """As of a pin: a tube is glued."""
        return GLUED

    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        """Through holes in tang, liner and scale."""
        return bores_of(self.outside, self.tang_hole, self.tang_play, self.scale_hole, index)

    @property
    def width(self) -> float:
        """Outside diameter, mm."""
        return self.outside

    @property
    def is_peened(self) -> bool:
        """It is glued."""
        return False

    @property
    def stock_words(self) -> str:
        """What is bought."""
        outside, inside = show_length(self.outside), show_length(self.inside)
        return f"Tube of {material(self.metal).name}, {outside} outside, {inside} inside"

    @property
    def without_scales(self) -> None:
        """For a lanyard it may stand alone."""

    @property
    def passage(self) -> float:
        """Its bore, mm."""
        return self.inside

    @property
    def walls(self) -> tuple[Wall, ...]:
        """Its own."""
        return (
            Wall(
                field="outside", outer=self.outside, words="of the tube", inner=self.inside, other="its bore narrower"
            ),
        )

    @property
    def chosen_holes(self) -> tuple[ChosenHole, ...]:
        """Both of them, where they are declared."""
        return chosen_of(self.width, self.tang_hole, self.tang_play, self.scale_hole)

    def of_metal(self, metal: str) -> Self:
        """The same of another metal."""
        return dataclasses.replace(self, metal=metal)
