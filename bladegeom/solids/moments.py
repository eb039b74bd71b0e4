"""Moments of a solid up to the second degree: they add up, whatever the parts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray

_MIRROR_Z = np.array([1, 1, 1, -1, 1, 1, 1, 1, -1, -1], dtype=np.float64)


@dataclass(frozen=True, eq=False)
class Moments:
    """Integrals of 1, x, y, z, x^2, y^2, z^2, x y, x z, y z over a solid.

    Args:
        values: Shape (10,): of volume in mm3, mm4, mm5, or of mass in g, g mm, g mm2.

    >>> from bladegeom import weigh
    >>> total = weigh(knife).total
    >>> round(total.amount, 1), [round(value, 1) for value in total.centre]
    (175.3, [-31.9, -13.0, 0.0])
    """

    values: FloatArray

    def __post_init__(self) -> None:
        values = np.array(self.values, dtype=np.float64)
        values.flags.writeable = False
        object.__setattr__(self, "values", values)

    def __add__(self, other: Moments) -> Moments:
        return Moments(self.values + other.values)

    def __sub__(self, other: Moments) -> Moments:
        return Moments(self.values - other.values)

    @property
    def amount(self) -> float:
        """Volume in mm3, or mass in g."""
        return float(self.values[0])

    @property
    def centre(self) -> tuple[float, float, float]:
        """Centroid, or centre of mass, mm. NaN where there is nothing."""
        x, y, z = self.values[1:4] / self.values[0] if self.values[0] else np.full(3, np.nan)
        return float(x), float(y), float(z)

    def polar(self, x: float, y: float) -> float:
        """Second moment about the line through (x, y) parallel to z: mm5, or g mm2."""
        n, mx, my, _, xx, yy, *_ = self.values
        return float(xx + yy - 2 * x * mx - 2 * y * my + n * (x * x + y * y))

    def central(self) -> FloatArray:
        """Second moments about the centre, shape (3, 3): integrals of (r - c)(r - c)^T."""
        n, _, _, _, xx, yy, zz, xy, xz, yz = self.values
        c = np.array(self.centre)
        about_origin = np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])
        return np.asarray(about_origin - n * np.outer(c, c))

    def times(self, factor: float) -> Moments:
        """Scaled, for example from volume to mass."""
        return Moments(self.values * factor)

    def mirrored(self) -> Moments:
        """Of the solid mirrored in the middle plane z = 0."""
        return Moments(self.values * _MIRROR_Z)


def of_layers(layers: FloatArray) -> Moments:
    """Moments of a solid between the middle plane and a face z = s(x, y) >= 0.

    Args:
        layers: Shape (3, 6): the integrals of s, s^2 / 2, s^3 / 3, each times 1, x, y, x^2, x y, y^2.
    """
    s, ss, sss = layers
    return Moments(np.array([s[0], s[1], s[2], ss[0], s[3], s[5], sss[0], s[4], ss[1], ss[2]]))


def of_slab(area: FloatArray, height: float) -> Moments:
    """Moments of a plane region times the stretch of z from 0 to ``height``.

    Args:
        area: Integrals of 1, x, y, x^2, x y, y^2 over the region, shape (6,), mm.
        height: mm; negative stands on the other side of the middle plane.
    """
    h = abs(height)
    one_side = of_layers(np.stack([h * area, h * h / 2 * area, h**3 / 3 * area]))
    return one_side if height >= 0 else one_side.mirrored()


NOTHING = Moments(np.zeros(10))
