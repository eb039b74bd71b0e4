"""One side of the steel over a region of one kind, as the heights and smooth surfaces that a mesh follows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.side import Side
from bladegeom.solids.mesh import Corners

_SURFACES = 1000
"""More than there are laws on one side, twice."""


@dataclass(frozen=True, kw_only=True, eq=False)
class SteelFace:
    """A side of the steel over a region in which the same is done to all of it.

    Args:
        side: Its laws.
        ground: Whether the region lies ahead of the plunge line.
        in_hollow: Whether it lies in the hollow along that line.
        sunk: How deep a texture is sunk there, mm.
        up: Whether heights are told upwards, else downwards.
        number: Of the stretch between two stations of the taper; each has surfaces of its own.
    """

    side: Side
    ground: bool
    in_hollow: bool
    sunk: float
    up: bool
    number: int

    def __call__(self, x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        """Heights over the middle plane, and numbers of the surfaces that count, shape (n,) both."""
        height, surface = self._ground(x, y) if self.ground and self.side.faces else self._stock(x)
        return (height - self.sunk) * (1 if self.up else -1), surface + _SURFACES * self.number

    def _stock(self, x: FloatArray) -> tuple[FloatArray, Corners]:
        return self.side.stock.half_thickness(x), np.zeros(len(x), dtype=np.int64)

    def _ground(self, x: FloatArray, y: FloatArray) -> tuple[FloatArray, Corners]:
        side = self.side
        laws = side.laws(x, y)
        surface = laws.argmin(axis=0)
        surface[laws.min(axis=0) < side.least(laws)] = len(laws)
        # On a wide radius there may be some of the hollow off the plunge line, beyond its region.
        height = side.ground_by(laws, np.maximum(side.past(x, y), 0.0))
        return height, surface + (len(laws) + 1) * self.in_hollow
