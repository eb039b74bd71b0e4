"""What a section through a fastener's axis shows, as regions in mm: x out of the right face, y up across the handle."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import scale as scaled
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.fasteners.stack import Stack
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_rod import RodStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.solids.revolve import Ring, Slope

_REACH = 10.5
"""The handle is drawn up to its border where that is no farther off, mm: what a page holds at 4:1 with all rows."""

_BESIDE = 4.0
"""Else so much is drawn beside the widest bore, mm."""

_STEP = 0.05
"""Places across the handle are this far apart, mm."""

_FAR = 1000.0


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
        return max(bore.diameter for bore in self.stack.site.bores) / 2

    @cached_property
    def window(self) -> tuple[float, float]:
        """From where to where the handle is drawn across, from the axis, mm."""
        low, high = self.border
        near = self.widest + _BESIDE
        return (low if low >= -_REACH else -near), (high if high <= _REACH else near)

    @cached_property
    def border(self) -> tuple[float, float]:
        """The handle's lower and upper border from the axis, mm; infinitely far where the axis lies off it."""
        one, site = self.stack.site.fastener, self.stack.site
        across = shapely.LineString([(one.x, one.y - _FAR), (one.x, one.y + _FAR)])
        place = shapely.Point(one.x, one.y)
        for part in shapely.get_parts(shapely.intersection(across, site.knife.handle_region)):
            if part.distance(place) == 0:
                _, low, _, high = part.bounds
                return float(low) - one.y, float(high) - one.y
        return -math.inf, math.inf

    @cached_property
    def half_tang(self) -> float:
        """Half the tang's thickness at the axis, mm."""
        return self.stack.site.tang.nominal

    @cached_property
    def inside(self) -> float:
        """Height of the scale's inside face, mm."""
        return self.stack.site.inside.nominal

    @cached_property
    def slab_top(self) -> float:
        """Height of the slab's outside as it is drilled, mm."""
        return self.inside + self.stack.site.slab.nominal

    @cached_property
    def across(self) -> FloatArray:
        """Places across the handle at which its face is taken, mm from the axis."""
        low, high = self.window
        return np.linspace(low, high, max(3, round((high - low) / _STEP) + 1))

    @cached_property
    def surface(self) -> FloatArray:
        """Height of the finished face at those places, shape (n,), mm."""
        one = self.stack.site.fastener
        return self.stack.site.face.height(np.full(len(self.across), one.x), one.y + self.across)

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
        scales, low, out = self.stack.site.knife.scales, self.half_tang, []
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
            solid = solid.difference(self._ring(ring, self.inside))
        return solid

    @cached_property
    def hatched(self) -> tuple[BaseGeometry, ...]:
        """Metal of the hardware that is cut: sleeve and tube."""
        match self.stack:
            case StandoffStack(standoff=one):
                half, outer, bore = one.length / 2, one.diameter / 2, one.screw.minor / 2
                sleeve = shapely.union_all([_box(-half, half, s * bore, s * outer) for s in (-1, 1)])
                return (sleeve.difference(shapely.union_all(self.plain)),)
            case RodStack() as rod if self._bore:
                walls = [_box(-_FAR, _FAR, s * self._bore, s * rod.diameter / 2) for s in (-1, 1)]
                return (shapely.union_all(walls).intersection(self.envelope),)
            case _:
                return ()

    @cached_property
    def plain(self) -> tuple[BaseGeometry, ...]:
        """Screws, bolts and pins, which are drawn whole."""
        match self.stack:
            case StandoffStack() as one:
                return self._both(self._screw(one))
            case BoltStack() as one:
                return self._both(self._bolt(one).intersection(self.envelope))
            case RodStack() as rod if not self._bore:
                return (_box(-_FAR, _FAR, -rod.diameter / 2, rod.diameter / 2).intersection(self.envelope),)
            case _:
                return ()

    @cached_property
    def dashed(self) -> tuple[BaseGeometry, ...]:
        """Borders of what is there before contouring, and of a stud that is hidden."""
        slab = self.slab.boundary.difference(self.scale.buffer(0.01))
        out = list(self._both(slab.difference(self._cuts)))
        match self.stack:
            case BoltStack() as one:
                out += self._both(self._bolt(one).boundary.difference(self.envelope))
                out.append(self._stud(one).boundary)
            case RodStack() as rod:
                half, r = rod.cut_length.nominal / 2, rod.diameter / 2
                out.append(_box(-half, half, -r, r).boundary.difference(self.envelope))
        return tuple(out)

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
        return shapely.union_all([_box(-_FAR, _FAR, end - 1e-6, end + 1e-6) for end in ends])

    @property
    def _bore(self) -> float:
        """Radius inside the rod; 0 of a solid one, mm."""
        return min(ring.inner for solid in self.stack.solids for ring in solid.rings)

    def _screw(self, one: StandoffStack) -> Polygon:
        """The right screw: head, cone and shank at the thread's outside."""
        head, shank = one.standoff.screw_head.sharp_diameter / 2, one.standoff.screw.major / 2
        top = self.slab_top - one.seat_depth.nominal
        neck = top - (head - shank) / math.tan(math.radians(one.standoff.screw_head.angle_deg / 2))
        tip = top - one.screw.length
        right = [(top, head), (neck, shank), (tip, shank)]
        return Polygon([*right, *((x, -y) for x, y in reversed(right))])

    def _bolt(self, one: BoltStack) -> BaseGeometry:
        """The right half as bought: head and shoulder."""
        rings = [ring for solid in one.solids for ring in solid.rings]
        return shapely.union_all([self._ring(ring, 0.0) for ring in rings])

    def _stud(self, one: BoltStack) -> Polygon:
        """The right half's stud, most of it in the left half."""
        end = self.slab_top - one.counterbore_depth.nominal - one.bolt.shoulder_length
        return _box(end - one.bolt.stud_length, end, -one.bolt.screw.major / 2, one.bolt.screw.major / 2)

    def _slice(self, low: float, high: float) -> Polygon:
        return _box(low, high, *self.window)

    def _hole(self, layer: str) -> Polygon:
        bore = next(bore for bore in self.stack.site.bores if bore.layer == layer)
        return _box(-_FAR, _FAR, -bore.diameter / 2, bore.diameter / 2)

    def _ring(self, ring: Ring, inside: float) -> BaseGeometry:
        """A ring as it is cut: two quadrangles, open ends far off."""
        low: Slope = (inside, inside) if ring.low is None else ring.low
        high: Slope = (_FAR, _FAR) if ring.high is None else ring.high
        corners = [(low[0], ring.inner), (low[1], ring.outer), (high[1], ring.outer), (high[0], ring.inner)]
        above = Polygon(corners)
        return shapely.union_all([above, Polygon([(x, -y) for x, y in corners])])

    @staticmethod
    def _both(right: BaseGeometry) -> tuple[BaseGeometry, BaseGeometry]:
        return right, mirrored(right)


def mirrored(region: BaseGeometry) -> BaseGeometry:
    """The same on the left side."""
    return scaled(region, -1.0, 1.0, origin=(0.0, 0.0))


def _box(x0: float, x1: float, y0: float, y1: float) -> Polygon:
    return shapely.box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
