"""Two-part bolts whose heads are sunk in the scales and ground flush with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.knife.hardware.bore import GLUED, HEAD, Bore, HoleSize, hole_for, settle_holes, settle_thread
from bladegeom.knife.hardware.tapped import require_tapped, tapped_metal
from bladegeom.knife.hole import Purpose
from bladegeom.knife.require import require_positive
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Drill, Material, material
from bladegeom.quantities.threads import Thread, thread
from bladegeom.quantities.units import show_length


@dataclass(frozen=True, kw_only=True)
class ShoulderedBolt:
    """Two halves, each a head on a shoulder; a threaded stud of the one screws into the other.

    The heads stand on the floors of counterbores and are ground flush with the finished scale.

    Args:
        metal: A name from the table of materials, or a Material of the shop's own.
        thread: Of the stud, by name.
        head_diameter: mm.
        head_height: From the shoulder to the top as bought, mm.
        shoulder_diameter: Less than the head's, more than the thread's, mm.
        shoulder_length: Of each half: the heads come no nearer than the two shoulders together, mm.
        stud_length: Of the thread beyond its shoulder; the other half is tapped as deep, mm.
        head_left: Wanted of each head after contouring, where the scale is lowest over it, mm.
        tapped: "hard" or "soft": how much thread holds; None goes by the metal.
        tang_hole: Drill for the shoulder in the tang, by name or diameter; None takes one with room for glue.
        scale_hole: The same in liners and scales.
        head_hole: Drill whose size the counterbore has; None takes the thinnest that lets the head in.

    Raises:
        UnknownNameError: No such material, thread or drill.
        ParameterError: Diameters that do not fit into each other, or a head thinner than what is to be left of it.
    """

    metal: str | Material
    thread: str | Thread
    head_diameter: float
    head_height: float
    shoulder_diameter: float
    shoulder_length: float
    stud_length: float
    head_left: float = 1.2
    tapped: str | None = None
    tang_hole: HoleSize = None
    scale_hole: HoleSize = None
    head_hole: HoleSize = None

    def __post_init__(self) -> None:
        names = ("head_diameter", "head_height", "shoulder_diameter", "shoulder_length", "stud_length", "head_left")
        require_positive("shouldered bolt", **{name: getattr(self, name) for name in names})
        object.__setattr__(self, "metal", material(self.metal))
        settle_thread(self, "shouldered bolt")
        require_tapped("shouldered bolt", self.tapped)
        shoulder, head = self.shoulder_diameter, self.head_diameter
        settle_holes(self, "shouldered bolt", tang_hole=shoulder, scale_hole=shoulder, head_hole=head)
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
