"""Rods and tubes that go right through and are ground flush."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.knife.hardware.bore import GLUED, PEENED, SLIP, Bore, HoleSize, Play, hole_for, settle_holes
from bladegeom.knife.hole import Purpose
from bladegeom.knife.require import require_kind, require_positive
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Drill, Material, material
from bladegeom.quantities.units import show_length


@dataclass(frozen=True, kw_only=True)
class Pin:
    """A plain rod through scales and tang.

    Args:
        rod: A name from the table of materials, or a Material of the shop's own.
        diameter: > 0 mm.
        peened: Whether its ends are hammered wide; else it is glued.
        tang_hole: Drill for the tang by name or diameter; None takes one with room for the glue, or for the swelling.
        scale_hole: Drill for the scales and liners; None takes one for a slip fit.

    Raises:
        UnknownNameError: No such material or drill.
        ParameterError: A hole that the rod does not go through.
    """

    rod: str | Material
    diameter: float
    peened: bool = False
    tang_hole: HoleSize = None
    scale_hole: HoleSize = None

    def __post_init__(self) -> None:
        require_positive("pin", diameter=self.diameter)
        require_kind("pin", bool, "peened=True", peened=self.peened)
        object.__setattr__(self, "rod", material(self.rod))
        settle_holes(self, "pin", tang_hole=self.diameter, scale_hole=self.diameter)

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
        return through(self.diameter, self.tang_hole, self.tang_play, self.scale_hole, index)


@dataclass(frozen=True, kw_only=True)
class Tube:
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
    """

    metal: str | Material
    outside: float
    inside: float
    tang_hole: HoleSize = None
    scale_hole: HoleSize = None

    def __post_init__(self) -> None:
        require_positive("tube", outside=self.outside, inside=self.inside)
        if self.inside >= self.outside:
            raise ParameterError(
                "tube: inside", show_length(self.inside), f"be less than the outside, {show_length(self.outside)}"
            )
        object.__setattr__(self, "metal", material(self.metal))
        settle_holes(self, "tube", tang_hole=self.outside, scale_hole=self.outside)

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
        return through(self.outside, self.tang_hole, self.tang_play, self.scale_hole, index)


def through(
    diameter: float,
    tang: HoleSize,
    tang_play: Play,
    scale: HoleSize,
    index: Sequence[Drill],
) -> tuple[Bore, ...]:
    """Through holes in all layers; liners are drilled with their scale."""
    in_tang = hole_for(tang, diameter, tang_play, index)
    in_scale = hole_for(scale, diameter, SLIP, index)
    return (
        Bore(layer="tang", shape="through hole", diameter=in_tang.diameter, drill=in_tang),
        Bore(layer="liner", shape="through hole", diameter=in_scale.diameter, drill=in_scale),
        Bore(layer="scale", shape="through hole", diameter=in_scale.diameter, drill=in_scale),
    )
