"""What a maker declares of a standoff and its screws."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from functools import cached_property
from typing import Annotated, Literal, Self

from bladegeom.fasteners.hardware import Hardware, Hold
from bladegeom.fasteners.stack_parts import ChosenHole, Wall
from bladegeom.knife.hardware.bore import CLEARANCE, GLUED, HEAD, Bore, HoleSize, ThreadName, hole_for, require_room
from bladegeom.knife.hardware.tapped import Tapped, tapped_metal
from bladegeom.knife.hole import Purpose
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Distance, Length, LengthOrText, Like, Says
from bladegeom.quantities.heads import CountersunkHead, countersunk_head
from bladegeom.quantities.materials import AnyMaterial, Material, material
from bladegeom.quantities.screw_holes import clearance_hole
from bladegeom.quantities.sold_lengths import SoldLength, screw_lengths
from bladegeom.quantities.threads import Thread, thread
from bladegeom.quantities.units import show_length


@declared("standoff")
class DeclaredStandoff(Hardware):
    """What follows from its fields alone; :class:`~bladegeom.fasteners.standoff.kind.StandoffScrews` tells of them."""

    thread: ThreadName
    diameter: Length
    length: Length
    sleeve: AnyMaterial = "304"
    screws: AnyMaterial = "304"
    head: Annotated[str | CountersunkHead, Like('"ISO 10642"')] | None = None
    fit: Annotated[str, Says("normal")] = "normal"
    recess: Distance = 0.5
    screw_length: LengthOrText | None = None
    tapped: Tapped = None
    pocket_play: Distance = 0.5
    tang_hole: HoleSize = None
    screw_hole: HoleSize = None
    head_hole: HoleSize = None

    def __post_init__(self) -> None:
        if self.diameter <= self.screw.major:
            raise ParameterError(
                "standoff: diameter",
                show_length(self.diameter),
                f"be more than its thread, {self.screw.name}: {show_length(self.screw.major)}",
            )
        # The head is looked up here, while the maker's own line is at hand.
        widest = self.screw_head.sharp_diameter
        require_room(self, "standoff", tang_hole=self.diameter, screw_hole=self.screw.major, head_hole=widest)
        if widest <= self.screw_room:
            raise ParameterError(
                "standoff: head", show_length(widest), f"be wider than the screw's hole, {show_length(self.screw_room)}"
            )

    @property
    def kind(self) -> str:
        """Its name on the papers."""
        return "standoff and screws"

    @property
    def purpose(self) -> Purpose:
        """Of its hole in the tang."""
        return "fastener"

    @property
    def screw(self) -> Thread:
        """Its thread."""
        return thread(self.thread)

    @cached_property
    def screw_room(self) -> float:
        """Diameter of the screw's hole in the scale, as asked for or by the standard, mm."""
        if isinstance(self.screw_hole, Drill):
            return self.screw_hole.diameter
        return clearance_hole(self.screw, self.fit).diameter

    @property
    def tapped_metal(self) -> str:
        """Whether the sleeve's thread holds like "hard" or like "soft" metal."""
        return tapped_metal(self.tapped, material(self.sleeve))

    @cached_property
    def screw_head(self) -> CountersunkHead:
        """Of its screws."""
        if isinstance(self.head, CountersunkHead):
            return self.head
        return countersunk_head(self.screw, self.head)

    @property
    def lengths(self) -> tuple[SoldLength, ...]:
        """In which its screws are sold."""
        return screw_lengths(self.screw.system)

    @property
    def materials(self) -> tuple[tuple[str, Material], ...]:
        """What its parts are made of."""
        return (("standoff", material(self.sleeve)), ("screws", material(self.screws)))

    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        """The sleeve's hole in tang and liner and its pocket in the scale; the screw's hole and its countersink."""
        sleeve_drill = hole_for(self.tang_hole, self.diameter, GLUED, index)
        through = hole_for(self.screw_hole, self.screw_room, CLEARANCE, index)
        widest = self.screw_head.sharp_diameter
        over = hole_for(self.head_hole, widest, HEAD, index)
        return (
            Bore(layer="tang", shape="through hole", diameter=sleeve_drill.diameter, drill=sleeve_drill),
            Bore(layer="liner", shape="through hole", diameter=sleeve_drill.diameter, drill=sleeve_drill),
            Bore(layer="scale", shape="through hole", diameter=through.diameter, drill=through),
            Bore(layer="scale", shape="pocket", diameter=sleeve_drill.diameter, drill=sleeve_drill),
            Bore(
                layer="scale",
                shape="countersink",
                diameter=over.diameter,
                drill=over,
                angle_deg=self.screw_head.angle_deg,
                cone_diameter=widest,
            ),
        )

    @property
    def hold(self) -> Hold:
        """Scales come off again."""
        return Hold.COMES_OFF

    @property
    def without_scales(self) -> Literal["error"]:
        """There is nothing for its heads to lie in."""
        return "error"

    @property
    def passage(self) -> None:
        """Screws fill it."""

    @property
    def walls(self) -> tuple[Wall, ...]:
        """Of its sleeve."""
        return (
            Wall(
                field="diameter",
                outer=self.diameter,
                words=f"of the sleeve round its {self.screw.name} thread",
                inner=self.screw.major,
                other="take a thinner thread",
            ),
        )

    @property
    def chosen_holes(self) -> tuple[ChosenHole, ...]:
        """None: heads and sleeve hold in wider holes too."""
        return ()

    def of_metal(self, metal: str) -> Self:
        """The same, sleeve and screws of another metal."""
        return dataclasses.replace(self, sleeve=metal, screws=metal)
