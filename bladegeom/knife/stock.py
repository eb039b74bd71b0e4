"""The bar that a blade is cut from."""

from __future__ import annotations

import dataclasses
from typing import Annotated, Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.stations import Stations, require_stations
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import FieldError
from bladegeom.quantities.field_rules import Becomes, Length
from bladegeom.quantities.materials import Material, material

_BARS: Final = ("steel", "metal")
"""Kinds of material that a blade can be cut from."""


def _bar(name: str | Material) -> Material:
    bar = material(name, *_BARS)
    if bar.kind not in _BARS:
        raise FieldError(f"be a steel or another metal, not {bar.kind}")
    return bar


BarMaterial = Annotated[str | Material, Becomes(_bar)]
"""A name from the table of materials, or a Material of the shop's own, that a blade can be cut from."""


@declared("stock", example='Stock(steel="1.4116", thickness=3.5)')
class Stock:
    """A flat bar, and the taper that is ground on it.

    Args:
        steel: A name from the table of materials, or a Material of the shop's own.
        thickness: Of the bar, > 0 mm.
        taper: Stations (x, thickness) from the butt to the tip, mm: between them the thickness runs straight, before
            the first and behind the last it stays. Empty leaves the bar as it is.

    Raises:
        UnknownNameError: No such material.
        ParameterError: A thickness not positive or more than the bar's, or stations that do not follow each other.

    >>> stock = Stock(steel="1.4116", thickness=3.5, taper=((-118.0, 2.0), (0.0, 3.5)))
    >>> stock.material.name, stock.thickness
    ('1.4116', 3.5)
    """

    steel: BarMaterial
    thickness: Length
    taper: Stations = ()

    def __post_init__(self) -> None:
        require_stations("stock: taper", self.taper, most=self.thickness, whose="bar")

    def half_thickness(self, x: FloatArray) -> FloatArray:
        """Of the tapered bar at each x, shape (n,), mm."""
        if not self.taper:
            return np.full(np.shape(x), self.thickness / 2)
        stations = np.array(self.taper)
        return np.asarray(np.interp(x, stations[:, 0], stations[:, 1] / 2))

    @property
    def hardens(self) -> bool:
        """Whether it goes through hardening: a steel does, another metal does not."""
        return self.material.kind == "steel"

    @property
    def rough_words(self) -> str:
        """What the blade is called between its two grinds."""
        return "ground before hardening" if self.hardens else "rough ground"

    @property
    def rough_when(self) -> str:
        """When its first grind is done."""
        return "before hardening" if self.hardens else "in the rough grind"

    @property
    def metal_word(self) -> str:
        """What the blade's stuff is called."""
        return "steel" if self.hardens else "metal"

    @property
    def untapered(self) -> Stock:
        """The bar before its taper is ground."""
        return dataclasses.replace(self, taper=())

    @property
    def material(self) -> Material:
        """The steel with its density and source."""
        return material(self.steel)
