"""The stack of a pin or a tube, ground flush with both scales."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from bladegeom.fasteners.layer_stack import Site
from bladegeom.fasteners.stack_parts import Cut, Solid
from bladegeom.knife.hardware.pin import Pin, Tube
from bladegeom.quantities.interval import Interval
from bladegeom.solids.revolve import Ring

OVER_GLUED = 2.5
"""Added to the stack when a glued rod is cut to length, both ends together, mm.

Source: common practice, no source: 2 to 3 mm.
"""

OVER_PEENED = 0.5
"""Added at each end of a rod that is peened, in its diameters.

Source: from memory of riveting practice, unconfirmed.
"""


@dataclass(frozen=True, eq=False)
class RodStack:
    """A rod or tube in its place.

    Args:
        site: The layers there.
        rod: A pin, or a tube.
    """

    site: Site
    rod: Pin | Tube

    @property
    def diameter(self) -> float:
        """Outside, mm."""
        return self.rod.diameter if isinstance(self.rod, Pin) else self.rod.outside

    @cached_property
    def surface(self) -> tuple[Interval, Interval]:
        """Lowest and highest of the finished face over the rod, above the scale's inside face, mm."""
        return self.site.surface(self.diameter)

    @cached_property
    def flush(self) -> Interval:
        """Length of the finished rod: from face to face where the scales are highest over it, mm."""
        return 2 * (self.site.inside + self.surface[1])

    @cached_property
    def cut_length(self) -> Interval:
        """To which the rod is sawn, mm: glued in flat slabs and ground with them, or peened on the finished scales."""
        if isinstance(self.rod, Pin) and self.rod.peened:
            return self.flush + 2 * OVER_PEENED * self.diameter
        return 2 * (self.site.inside + self.site.slab) + OVER_GLUED

    @property
    def screw(self) -> None:
        """It has none that comes in lengths."""

    @property
    def numbers(self) -> Mapping[str, Interval]:
        """All that the papers tell of it, mm."""
        return {"length": self.flush, "cut_length": self.cut_length}

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Through holes in all layers."""
        return tuple(Cut(bore=bore) for bore in self.site.bores)

    @property
    def removed(self) -> tuple[Ring, ...]:
        """From each scale."""
        return (Ring(inner=0.0, outer=self.site.hole.diameter / 2, low=None, high=None),)

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Its metal on each side."""
        bore = self.rod.inside / 2 if isinstance(self.rod, Tube) else 0.0
        ring = Ring(inner=bore, outer=self.diameter / 2, low=(0.0, 0.0), high=None)
        return tuple(Solid(name=name, material=made_of, rings=(ring,)) for name, made_of in self.rod.materials)
