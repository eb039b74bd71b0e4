"""One side of the steel at one stage: stock, faces and plunge put together into one height over the middle plane."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.knife.stock import Stock


@dataclass(frozen=True, kw_only=True, eq=False)
class Side:
    """One side of the steel.

    Args:
        stock: The bar with its taper, if it is ground yet.
        faces: Ground on this side; none where it is left flat.
        raised: Left on every face, or on each, for grinding later, mm.
        alone: Whether only this side is ground.
        edge: The edge as chords.
        spine: The spine as chords.
        foot: Where the plunge line meets the lower border, mm.
        ahead: Unit vector square to the plunge line, towards the tip.
        plunge_radius: Of the hollow that a belt's or wheel's rim leaves along the plunge line, mm; 0 is a sharp step.
    """

    stock: Stock
    faces: tuple[Face, ...]
    raised: float | tuple[float, ...]
    alone: bool
    edge: Polyline
    spine: Polyline
    foot: Vector
    ahead: Vector
    plunge_radius: float

    def laws(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Heights of the stock and of each face, shape (1 + faces, n), mm; the least counts ahead of the plunge."""
        half = self.stock.half_thickness(x)
        if not self.faces:
            return half[None]
        from_edge = self.edge.distances(x, y)
        at = SamplePoints(
            x=x, y=y, from_edge=from_edge, measured=from_edge, stock=half, spine=self.spine, alone=self.alone
        )
        raised = np.broadcast_to(self.raised, len(self.faces))
        return np.stack([half, *(face.surface(at) + up for face, up in zip(self.faces, raised, strict=True))])

    def height(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Height of the side over the middle plane, shape (n,), mm; below it where only one side is ground."""
        return self.height_by(self.laws(x, y), x, y)

    def height_by(self, laws: FloatArray, x: FloatArray, y: FloatArray) -> FloatArray:
        """The same where the heights by each law are known already."""
        past = self.past(x, y)
        return np.asarray(np.where(past > 0, self.ground_by(laws, past), laws[0]))

    def past(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """How far places lie ahead of the plunge line, shape (n,), mm; negative behind it."""
        return np.asarray((x - self.foot[0]) * self.ahead[0] + (y - self.foot[1]) * self.ahead[1])

    def ground_by(self, laws: FloatArray, past: FloatArray) -> FloatArray:
        """Height ahead of the plunge line, and as it is reached from there on the line itself, shape (n,), mm.

        Near the line faces rise to the stock in an arc that ends tangent to the face.
        """
        stock, least, radius = laws[0], self.least(laws), self.plunge_radius
        if radius == 0:
            return least
        left = np.clip(self.blend_width(stock - least) - past, 0.0, radius)
        return np.asarray(np.minimum(least + radius - np.sqrt(radius**2 - left**2), stock))

    def least(self, laws: FloatArray) -> FloatArray:
        """Height of the face, without the hollow along the plunge line, shape (n,), mm."""
        # Where both faces would meet, or one would come out at the other side, no steel is left.
        return np.asarray(np.maximum(laws.min(axis=0), -laws[0] if self.alone else 0.0))

    def blend_width(self, depth: FloatArray) -> FloatArray:
        """How far from the plunge line the hollow along it ends where a face lies so deep under the stock, (n,), mm."""
        # An arc of the radius that climbs the depth needs this much way.
        radius = self.plunge_radius
        depth = np.minimum(depth, radius)
        return np.asarray(np.sqrt(np.maximum(2 * radius * depth - depth**2, 0.0)))


def square_to(lean_deg: float) -> Vector:
    """Unit vector towards the tip, square to a line that leans from upright."""
    a = math.radians(lean_deg)
    return math.cos(a), -math.sin(a)
