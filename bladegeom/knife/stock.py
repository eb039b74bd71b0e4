"""The bar that a blade is cut from."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.require import require_all, require_finite, require_positive
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Material, material
from bladegeom.quantities.units import show_length

_BARS: Final = ("steel", "metal")
"""Kinds of material that a blade can be cut from."""


@dataclass(frozen=True, kw_only=True)
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
    """

    steel: str | Material
    thickness: float
    taper: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        require_positive("stock", thickness=self.thickness)
        bar = material(self.steel, *_BARS)
        if bar.kind not in _BARS:
            raise ParameterError("stock: steel", bar.name, f"be a steel or another metal, not {bar.kind}")
        object.__setattr__(self, "steel", bar)
        require_all("stock", Sequence, "taper=((20.0, 2.5), (225.0, 1.2))", taper=self.taper)
        object.__setattr__(self, "taper", tuple(_station(station) for station in self.taper))
        for x, thick in self.taper:
            require_finite("taper station", x=x)
            require_positive(f"taper station at x {x:g}", thickness=thick)
            if thick > self.thickness:
                raise ParameterError(
                    f"taper station at x {x:g}: thickness",
                    show_length(thick),
                    f"be at most the bar's, {show_length(self.thickness)}",
                )
        for (a, _), (b, _) in itertools.pairwise(self.taper):
            if not a < b:
                raise ParameterError(f"taper station at x {b:g}", f"{b:g} mm", f"lie ahead of the one at x {a:g}")

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


def _station(station: object) -> tuple[float, float]:
    if not (isinstance(station, Sequence) and len(station) == 2):
        raise ParameterError("stock: taper", f"({station!r}, ...)", "hold stations (x, thickness), two numbers each")
    return station[0], station[1]
