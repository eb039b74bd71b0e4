"""One part of the finished knife."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.quantities.materials import Material
from bladegeom.solids.moments import Moments

G_PER_MM3 = 1e-3
"""A density of 1 g/cm3 in g/mm3."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of the finished knife: its volume moments and what it is made of.

    >>> from bladegeom import weigh
    >>> pin = weigh(knife).parts[-1]
    >>> pin.name, pin.material.name, round(pin.mass.amount, 2)
    ('pin', 'C26000', 9.45)
    """

    name: str
    material: Material
    volume: Moments

    @cached_property
    def mass(self) -> Moments:
        """Moments of mass, g and mm."""
        return self.volume.times(self.material.density_g_cm3 * G_PER_MM3)
