"""Where a bar or a dowel has room within a body: asked of slices of the body, each a region of the side view."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.mockups.body import Body, region_at

_STEP: Final = 0.25
"""From slice to slice, mm."""

_OFF_MIDDLE: Final = 0.01
"""The lowest slice stands off the middle plane by this, mm."""


@dataclass(frozen=True)
class Inside:
    """Regions with plastic on both sides of the middle plane, by height over it.

    A knife's sides are heights over the side view, so that each region lies within the one below it.
    """

    levels: tuple[BaseGeometry, ...]

    @classmethod
    def within(cls, body: Body) -> Inside:
        """Of a body in the knife's frame."""
        *_, low, _, _, high = body.bounding_box()
        heights = np.maximum(np.arange(0.0, min(-low, high), _STEP), _OFF_MIDDLE)
        return cls(tuple(region_at(body, z).intersection(region_at(body, -z)) for z in heights.tolist()))

    @property
    def ground(self) -> BaseGeometry:
        """At the middle plane."""
        return self.levels[0]

    def at(self, height: float) -> BaseGeometry:
        """The region that reaches up to a height at least, mm."""
        level = math.ceil(height / _STEP - 1e-9)
        return self.levels[level] if level < len(self.levels) else shapely.Polygon()

    def without(self, taken: BaseGeometry) -> Inside:
        """The same less what stands over a region."""
        return dataclasses.replace(self, levels=tuple(level.difference(taken) for level in self.levels))

    def holds_round(self, centres: FloatArray, *, length: float, radius: float, height: float) -> npt.NDArray[np.bool_]:
        """Whether each of some round rods along x lies within; never where it does not, rarely not where it does.

        Args:
            centres: Shape (n, 2), mm.
            length: Of all of them.
            radius: Of all of them.
            height: Of their axes over the middle plane.

        Returns:
            Shape (n,).
        """
        held = np.ones(len(centres), bool)
        if self.at(height + radius).is_empty:
            return ~held
        for low in np.arange(0.0, radius, _STEP).tolist():
            # Widest at the lower end of each band, and asked of the region over its upper end.
            region = self.at(height + min(low + _STEP, radius))
            width = 2 * math.sqrt(radius**2 - low**2)
            held[held] = held_by(region, rectangles(centres[held], 0.0, length, width))
        return held


def rectangles(centres: FloatArray, angles: FloatArray | float, lengths: FloatArray | float, widths: Any) -> Any:
    """Rectangles about centres (n, 2), their lengths turned from x by angles in radians; shape (n,)."""
    count = len(centres)
    angle, length, width = (np.broadcast_to(each, count)[:, None] for each in (angles, lengths, widths))
    along = np.hstack([np.cos(angle), np.sin(angle)]) * length / 2
    across = np.hstack([-np.sin(angle), np.cos(angle)]) * width / 2
    ends = [along + across, across - along, -along - across, along - across]
    return shapely.polygons(centres[:, None] + np.stack(ends, axis=1))


def held_by(region: BaseGeometry, shapes: Any) -> npt.NDArray[np.bool_]:
    """Whether a region holds each of some shapes."""
    shapely.prepare(region)
    return np.asarray(shapely.contains(region, shapes), dtype=bool)
