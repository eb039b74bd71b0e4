"""Where a fastener stands: how thick each layer is at its own place, and how far that may stray."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from bladegeom.knife.fastener import DeclaredHardware, Fastener
from bladegeom.knife.hardware.bore import Bore
from bladegeom.knife.knife import Knife
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.quantities.interval import Interval, give_or_take
from bladegeom.quantities.units import show_place


@dataclass(frozen=True, eq=False)
class LayerStack:
    """The layers at a fastener's axis, one side of the tang, heights and thicknesses in mm.

    Args:
        knife: The design.
        index: Of the fastener in it.
        tried: Other hardware in its stead; None is what the knife has.
    """

    knife: Knife
    index: int
    tried: DeclaredHardware | None = None

    @property
    def fastener(self) -> Fastener:
        """That stands there."""
        return self.knife.fasteners[self.index]

    @property
    def hardware(self) -> DeclaredHardware:
        """What stands there."""
        return self.tried or self.fastener.hardware

    @cached_property
    def bores(self) -> tuple[Bore, ...]:
        """That it needs."""
        return self.tried.bores(self.knife.shop.drills) if self.tried else self.knife.bores[self.index]

    def trying(self, hardware: DeclaredHardware) -> LayerStack:
        """The same place with other hardware; what is known of its layers is kept."""
        there = copy.copy(self)
        object.__setattr__(there, "tried", hardware)
        vars(there).pop("bores", None)
        return there

    @property
    def hole(self) -> Bore:
        """The hole right through the scale."""
        return next(bore for bore in self.bores if (bore.layer, bore.shape) == ("scale", "through hole"))

    @property
    def widest(self) -> float:
        """Diameter of the widest bore in the scale, mm."""
        return max(bore.diameter for bore in self.bores if bore.layer == "scale")

    @property
    def widest_outside(self) -> float:
        """Diameter of the widest bore that comes out at the scale's outside, mm."""
        return max(bore.diameter for bore in self.bores if bore.layer == "scale" and bore.shape != "pocket")

    @property
    def name(self) -> str:
        """Its short name."""
        return self.knife.hole_ids[self.index]

    @property
    def place(self) -> str:
        """What stands where, to begin a message with: "glued pin F1 at (-20.0, -12.5)"."""
        fastener = self.fastener
        return f"{fastener.hardware.kind} {self.name} at {show_place(fastener.x, fastener.y)}"

    @cached_property
    def face(self) -> ScaleFace | LaidSheet:
        """What the hardware is ground flush with: the scale, or the bare tang."""
        return self.knife.scale_face or LaidSheet(stock=self.knife.stock, lift=0.0, thickness=0.0)

    @cached_property
    def tang(self) -> Interval:
        """Half the finished tang's thickness."""
        (half,) = self.knife.stock.half_thickness(np.array([self.fastener.x]))
        return give_or_take(float(half), self.knife.shop.tolerances.tang / 2)

    @cached_property
    def liner(self) -> Interval:
        """All liners of one side together."""
        scales = self.knife.scales
        if scales is None:
            return give_or_take(0.0, 0.0)
        return give_or_take(scales.liner, self.knife.shop.tolerances.liner * len(scales.liners))

    @cached_property
    def inside(self) -> Interval:
        """Height of the scale's inside face over the middle plane."""
        return self.tang + self.liner

    @cached_property
    def glued_liner(self) -> Interval:
        """What of the liners is glued to the scale before it is drilled: all or nothing."""
        glued = self.knife.scales is not None and self.knife.scales.glued_liners
        return self.liner if glued else give_or_take(0.0, 0.0)

    @property
    def open_face(self) -> Interval:
        """Height over the middle plane of the face from which a pocket is sunk: the scale's, or a glued liner's."""
        return self.tang if self.glued_liner.nominal else self.inside

    @cached_property
    def slab(self) -> Interval:
        """Thickness of the scale's slab when it is drilled."""
        scales = self.knife.scales
        if scales is None:
            return give_or_take(0.0, 0.0)
        return give_or_take(scales.slab_thickness, self.knife.shop.tolerances.slab)

    def surface(self, diameter: float) -> tuple[Interval, Interval]:
        """Lowest and highest of the finished face over a disc about the axis, above the scale's inside face."""
        face = self.knife.scale_face
        if face is None:
            return give_or_take(0.0, 0.0), give_or_take(0.0, 0.0)
        low, high = _over_disc(face, self.fastener.x, self.fastener.y, diameter / 2)
        (base,) = face.inside(np.array([self.fastener.x]))
        by = self.knife.shop.tolerances.contour
        return give_or_take(low - float(base), by), give_or_take(high - float(base), by)


@lru_cache(maxsize=64)
def _over_disc(face: ScaleFace, x: float, y: float, radius: float) -> tuple[float, float]:
    """As of the face; remembered, because ways out of a finding are tried by the hundred at one place."""
    return face.over_disc(x, y, radius)
