"""How a mock-up is to be printed."""

from __future__ import annotations

from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Becomes, Between, Distance, InUnit, Length
from bladegeom.quantities.materials import Material, material
from bladegeom.quantities.print_beds import AnyBed, PrintBed, print_bed


def _plastic(name: str | Material) -> Material:
    """A material; who names none that there is, is told plastics."""
    return material(name, "polymer")


def _metal(name: str | Material) -> Material:
    """A material; who names none that there is, is told steels and metals."""
    return material(name, "steel", "metal")


@declared("printing", example='Printing(bed="250 x 210")')
class Printing:
    """How a mock-up is printed: all are defaults to change, common practice without a source.

    Args:
        least: Thickness that edge and tip have at least, and walls about what is hollow: three lines of a usual nozzle.
        bed: What is printed on: "small", "medium", "large", or its sides, such as "250 x 210".
        plastic: A name of the table, such as "PLA" or "PETG", or a Material.
        fill: Share of what lies between walls, floors and roofs that is plastic; 1 is solid.
        wall: Of plastic alone all round: two or three lines of a usual nozzle.
        dowel_diameter: Of dowels, printed with it or cut from a rod.
        dowel_depth: Of each dowel's hole.
        play: By how much a hole is wider than what goes into it.
        ballast: What the flat bar is of that balances it: a metal of the table.

    >>> Printing(bed="250 x 210").print_bed.width, Printing().made_of.density_g_cm3
    (250.0, 1.24)
    """

    least: Annotated[float, Between(0.4, 6.0), InUnit("mm")] = 1.2
    bed: AnyBed = "medium"
    plastic: Annotated[str | Material, Becomes(_plastic)] = "PLA"
    fill: Annotated[float, Between(0.05, 1.0)] = 1.0
    wall: Annotated[float, Between(0.2, 6.0), InUnit("mm")] = 1.2
    dowel_diameter: Length = 4.0
    dowel_depth: Length = 5.0
    play: Distance = 0.2
    ballast: Annotated[str | Material, Becomes(_metal)] = "W1"

    @property
    def print_bed(self) -> PrintBed:
        """The bed."""
        return print_bed(self.bed)

    @property
    def made_of(self) -> Material:
        """The plastic."""
        return material(self.plastic)

    @property
    def weight_of(self) -> Material:
        """What the ballast is of."""
        return material(self.ballast)
