"""What a section through a fastener's axis shows, as regions in mm: x out of the right face, y up across the handle."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.section_shapes import FAR, both, mirrored, region_of
from bladegeom.fasteners.stack_parts import FastenerSection

_REACH = 10.5
"""The handle is drawn up to its border where that is no farther off, mm: what a page holds at 4:1 with all rows."""

_BESIDE = 4.0
"""Else so much is drawn beside the widest bore, mm."""

_STEP = 0.05
"""Places across the handle are this far apart, mm."""


@dataclass(frozen=True, eq=False)
class StackShapes:
    """The regions of one stack's section.

    Args:
        stack: Of a fastener on a knife with scales.
    """

    stack: Stack

    @cached_property
    def widest(self) -> float:
        """Radius of the widest bore, mm."""
        return max(bore.diameter for bore in self.stack.layers.bores) / 2

    @cached_property
    def window(self) -> tuple[float, float]:
        """From where to where the handle is drawn across, from the axis, mm."""
        low, high = self.border
        near = self.widest + _BESIDE
        return (low if low >= -_REACH else -near), (high if high <= _REACH else near)

    @cached_property
    def border(self) -> tuple[float, float]:
        """The handle's lower and upper border from the axis, mm; infinitely far where the axis lies off it."""
        fastener, layers = self.stack.layers.fastener, self.stack.layers
        across = shapely.LineString([(fastener.x, fastener.y - FAR), (fastener.x, fastener.y + FAR)])
        place = shapely.Point(fastener.x, fastener.y)
        for part in shapely.get_parts(shapely.intersection(across, layers.knife.handle_region)):
            if part.distance(place) == 0:
                _, low, _, high = part.bounds
                return float(low) - fastener.y, float(high) - fastener.y
        return -math.inf, math.inf

    @cached_property
    def half_tang(self) -> float:
        """Half the tang's thickness at the axis, mm."""
        return self.stack.layers.tang.nominal

    @cached_property
    def inside(self) -> float:
        """Height of the scale's inside face, mm."""
        return self.stack.layers.inside.nominal

    @cached_property
    def slab_top(self) -> float:
        """Height of the slab's outside as it is drilled, mm."""
        return self.inside + self.stack.layers.slab.nominal

    @cached_property
    def across(self) -> FloatArray:
        """Places across the handle at which its face is taken, mm from the axis."""
        low, high = self.window
        return np.linspace(low, high, max(3, round((high - low) / _STEP) + 1))

    @cached_property
    def surface(self) -> FloatArray:
        """Height of the finished face at those places, shape (n,), mm."""
        fastener = self.stack.layers.fastener
        return self.stack.layers.face.height(np.full(len(self.across), fastener.x), fastener.y + self.across)

    @cached_property
    def envelope(self) -> Polygon:
        """The finished handle, holes filled."""
        right = np.stack([self.surface, self.across], axis=1)
        left = np.stack([-self.surface, self.across], axis=1)[::-1]
        return Polygon(np.concatenate([right, left]))

    @cached_property
    def tang(self) -> BaseGeometry:
        """The steel."""
        return self._slice(-self.half_tang, self.half_tang).difference(self._hole("tang"))

    @cached_property
    def liners(self) -> tuple[BaseGeometry, ...]:
        """Each liner of both sides."""
        scales, low, out = self.stack.layers.knife.scales, self.half_tang, []
        for liner in scales.liners if scales else ():
            sheet = self._slice(low, low + liner.thickness).difference(self._hole("liner"))
            out += [sheet, mirrored(sheet)]
            low += liner.thickness
        return tuple(out)

    @cached_property
    def scale(self) -> BaseGeometry:
        """The right scale, finished."""
        return self.slab.intersection(self.envelope)

    @cached_property
    def slab(self) -> BaseGeometry:
        """The right scale as it is drilled, before contouring."""
        solid: BaseGeometry = self._slice(self.inside, self.slab_top)
        for ring in self.stack.removed:
            solid = solid.difference(region_of(ring, self.inside))
        return solid

    @cached_property
    def section(self) -> FastenerSection:
        """The hardware, cut along its axis."""
        return self.stack.section(self.envelope)

    @cached_property
    def dashed(self) -> tuple[BaseGeometry, ...]:
        """Borders of what is there before contouring, and of what is hidden."""
        slab = self.slab.boundary.difference(self.scale.buffer(0.01))
        return (*both(slab.difference(self._cuts)), *self.section.dashed)

    def border_of(self, region: BaseGeometry) -> BaseGeometry:
        """A region's border without the lines along which the drawing ends."""
        return region.boundary.difference(self._cuts)

    @cached_property
    def open_ends(self) -> BaseGeometry:
        """The lines along which the drawing ends and the handle goes on."""
        return self.envelope.boundary.intersection(self._cuts)

    @cached_property
    def _cuts(self) -> BaseGeometry:
        """Where the handle goes on beyond the drawing."""
        ends = [end for end, edge in zip(self.window, self.border, strict=True) if end != edge]
        return shapely.union_all([_box(-FAR, FAR, end - 1e-6, end + 1e-6) for end in ends])

    def _slice(self, low: float, high: float) -> Polygon:
        return _box(low, high, *self.window)

    def _hole(self, layer: str) -> Polygon:
        bore = next(bore for bore in self.stack.layers.bores if bore.layer == layer)
        return _box(-FAR, FAR, -bore.diameter / 2, bore.diameter / 2)


def _box(x0: float, x1: float, y0: float, y1: float) -> Polygon:
    return shapely.box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
