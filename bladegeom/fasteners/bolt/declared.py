"""What a maker declares of a two-part bolt."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Literal, Self

from bladegeom.fasteners.hardware import Hardware, Hold
from bladegeom.fasteners.stack_parts import ChosenHole, Wall
from bladegeom.knife.hardware.bore import GLUED, HEAD, Bore, HoleSize, ThreadName, hole_for, require_room
from bladegeom.knife.hardware.tapped import Tapped, tapped_metal
from bladegeom.knife.hole import Purpose
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.materials import AnyMaterial, Material, material
from bladegeom.quantities.threads import Thread, thread
from bladegeom.quantities.units import show_length


@declared("shouldered bolt")
class DeclaredBolt(Hardware):
    """What follows from its fields alone; :class:`~bladegeom.fasteners.bolt.kind.ShoulderedBolt` tells of them."""

    metal: AnyMaterial
    thread: ThreadName
    head_diameter: Length
    head_height: Length
    shoulder_diameter: Length
    shoulder_length: Length
    stud_length: Length
    head_left: Length = 1.2
    tapped: Tapped = None
    tang_hole: HoleSize = None
    scale_hole: HoleSize = None
    head_hole: HoleSize = None

    def __post_init__(self) -> None:
        shoulder, head = self.shoulder_diameter, self.head_diameter
        require_room(self, "shouldered bolt", tang_hole=shoulder, scale_hole=shoulder, head_hole=head)
        for name, inner in (("shoulder_diameter", self.screw.major), ("head_diameter", self.shoulder_diameter)):
            if getattr(self, name) <= inner:
                raise ParameterError(
                    f"shouldered bolt: {name}",
                    show_length(getattr(self, name)),
                    f"be more than what it carries, {show_length(inner)}",
                )
        if self.head_left > self.head_height:
            raise ParameterError(
                "shouldered bolt: head_left",
                show_length(self.head_left),
                f"be at most the head's height, {show_length(self.head_height)}",
            )

    @property
    def kind(self) -> str:
        """Its name on the papers."""
        return "shouldered bolt"

    @property
    def purpose(self) -> Purpose:
        """Of its hole in the tang."""
        return "fastener"

    @property
    def screw(self) -> Thread:
        """Its thread."""
        return thread(self.thread)

    @property
    def tapped_metal(self) -> str:
        """Whether its thread holds like "hard" or like "soft" metal."""
        return tapped_metal(self.tapped, material(self.metal))

    @property
    def materials(self) -> tuple[tuple[str, Material], ...]:
        """What it is made of."""
        return (("shouldered bolt", material(self.metal)),)

    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        """A hole for the shoulder in all layers, a counterbore for the head in the scale."""
        in_tang, in_scale = (
            hole_for(size, self.shoulder_diameter, GLUED, index) for size in (self.tang_hole, self.scale_hole)
        )
        over = hole_for(self.head_hole, self.head_diameter, HEAD, index)
        return (
            Bore(layer="tang", shape="through hole", diameter=in_tang.diameter, drill=in_tang),
            Bore(layer="liner", shape="through hole", diameter=in_scale.diameter, drill=in_scale),
            Bore(layer="scale", shape="through hole", diameter=in_scale.diameter, drill=in_scale),
            Bore(layer="scale", shape="counterbore", diameter=over.diameter, drill=over),
        )

    @property
    def hold(self) -> Hold:
        """Its heads clamp the scales."""
        return Hold.CLAMPS

    @property
    def without_scales(self) -> Literal["error"]:
        """There is nothing for its heads to lie in."""
        return "error"

    @property
    def passage(self) -> None:
        """It is solid."""

    @property
    def walls(self) -> tuple[Wall, ...]:
        """Of its shoulder."""
        return (
            Wall(
                field="shoulder_diameter",
                outer=self.shoulder_diameter,
                words=f"of the shoulder round its {self.screw.name} thread",
                inner=self.screw.major,
                other="take a thinner thread",
            ),
        )

    @property
    def chosen_holes(self) -> tuple[ChosenHole, ...]:
        """None: a hole wider than its shoulder is held by the heads all the same."""
        return ()

    def of_metal(self, metal: str) -> Self:
        """The same of another metal."""
        return dataclasses.replace(self, metal=metal)
