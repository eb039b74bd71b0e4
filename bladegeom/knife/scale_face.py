"""Scales and the sheets under them on one side of the tang: inside and outside as heights over the middle plane."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.scales import Scales
from bladegeom.knife.stock import Stock

_RIM = np.radians(np.arange(0.0, 360.0, 5.0))
"""Places round a disc where its highest and lowest are looked for; faces fall off towards the border."""


@dataclass(frozen=True, kw_only=True)
class LaidSheet:
    """A sheet of even thickness that lies on the tang, or over other sheets, and follows the tang's taper.

    Args:
        stock: The bar with its taper.
        lift: Of its inside over the tang's face, mm.
        thickness: mm; 0 is a bare face.
    """

    stock: Stock
    lift: float
    thickness: float

    def inside(self, x: FloatArray) -> FloatArray:
        """Height of its inside over the middle plane, shape (n,), mm."""
        return self.stock.half_thickness(x) + self.lift

    def laws(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Its outside as the only law, shape (1, n), mm."""
        return self.height(x, y)[None]

    def height(self, x: FloatArray, y: FloatArray) -> FloatArray:  # noqa: ARG002 - even all over
        """Height of its outside over the middle plane, shape (n,), mm."""
        return self.inside(x) + self.thickness

    def over_disc(self, x: float, y: float, radius: float) -> tuple[float, float]:
        """Lowest and highest of its outside over a disc, mm."""
        return _over_disc(self, x, y, radius)

    @property
    def breaks(self) -> tuple[float, ...]:
        """Stations along x where another slope of the taper begins, mm."""
        return tuple(x for x, _ in self.stock.taper)


@dataclass(frozen=True, kw_only=True, eq=False)
class ScaleFace:
    """One scale on its side of the tang; both sides are alike.

    On a tapered tang the scale lies on the taper: its inside and its outside follow it.

    Args:
        scales: As declared.
        stock: The bar with its taper.
        border: Top, butt and underside of the handle as chords.
        front: The handle front as chords.
    """

    scales: Scales
    stock: Stock
    border: Polyline
    front: Polyline

    def inside(self, x: FloatArray) -> FloatArray:
        """Height of the scale's inside face, on the liners, shape (n,), mm."""
        return self.stock.half_thickness(x) + self.scales.liner

    def laws(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Heights by each law, shape (m, n), mm; the least is the face."""
        flat = self.inside(x) + self.scales.flat(x)
        sides: list[list[FloatArray]] = []
        for line, roundings in ((self.border, self.scales.roundings), (self.front, self.scales.front_roundings)):
            drops = [np.zeros(len(x))]
            if roundings:
                away = line.distances(x, y)
                # Widest first: where a narrow arc acts, the wider ones do too.
                ordered = sorted(roundings, key=lambda rounding: -rounding.width)
                drops += itertools.accumulate(rounding.drop(away) for rounding in ordered)
            sides.append(drops)
        return np.stack([flat - drop - other for drop, other in itertools.product(*sides)])

    def height(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Height of the finished face over the middle plane, shape (n,), mm."""
        return np.asarray(self.laws(x, y).min(axis=0))

    def over_disc(self, x: float, y: float, radius: float) -> tuple[float, float]:
        """Lowest and highest of the finished face over a disc, mm."""
        return _over_disc(self, x, y, radius)

    @property
    def breaks(self) -> tuple[float, ...]:
        """Stations along x where another cubic of the swell, or another slope of the taper, begins, mm."""
        return tuple(x for x, _ in (*self.scales.swell, *self.stock.taper))


def _over_disc(face: LaidSheet | ScaleFace, x: float, y: float, radius: float) -> tuple[float, float]:
    at_x = np.concatenate([[x], x + radius * np.cos(_RIM)])
    at_y = np.concatenate([[y], y + radius * np.sin(_RIM)])
    z = face.height(at_x, at_y)
    return float(z.min()), float(z.max())
