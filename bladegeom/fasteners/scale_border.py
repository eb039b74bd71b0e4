"""The lines that a scale ends at, and how far a fastener must stay from them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Rounding

_HALVINGS = 60


@dataclass(frozen=True, kw_only=True)
class BorderLine:
    """A line that a scale ends at.

    Args:
        name: In messages.
        chords: The line.
        strip: How far from it the face falls off steeply, mm.
    """

    name: str
    chords: Polyline
    strip: float

    def away(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Distance of places from it, shape (n,), mm."""
        return self.chords.distances(x, y)


@dataclass(frozen=True, kw_only=True)
class Room:
    """How far a fastener's axis must lie from a line, mm.

    Args:
        rim: So that its widest bore leaves the least rim of scale.
        head: So that what comes out at the surface lies whole beyond the steep strip.
        hole: By the rule in diameters of its hole, counted from the steep strip.
    """

    rim: float
    head: float
    hole: float

    @property
    def least(self) -> float:
        """That does for all three, mm."""
        return max(self.rim, self.head, self.hole)


def scale_lines(knife: Knife) -> tuple[BorderLine, ...]:
    """The border round the handle, and its front; none without scales."""
    face, slope = knife.scale_face, knife.handle_rules.steep_deg
    if face is None:
        return ()
    front = face.scales.front_rounding
    return (
        BorderLine(name="the scale's border", chords=face.border, strip=steep_strip(face.scales.roundings, slope)),
        BorderLine(name="the handle front", chords=face.front, strip=steep_strip((front,) if front else (), slope)),
    )


def room_at(layers: LayerStack, line: BorderLine) -> Room:
    """What a fastener needs of a line."""
    rules = layers.knife.handle_rules
    return Room(
        rim=layers.widest / 2 + rules.web,
        head=line.strip + layers.widest_outside / 2,
        hole=line.strip + rules.edge_diameters * layers.hole.diameter,
    )


def steep_strip(roundings: Sequence[Rounding], slope_deg: float) -> float:
    """How far from the border a face falls off steeper than an angle, by all its arcs together, mm; 0 if nowhere."""

    def steep(distance: float) -> bool:
        return _slope(roundings, distance) > math.tan(math.radians(slope_deg))

    low, high = 0.0, max((rounding.width for rounding in roundings), default=0.0)
    if not steep(low):
        return 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if steep(middle) else (low, middle)
    return high


def _slope(roundings: Sequence[Rounding], distance: float) -> float:
    """Of the face at a distance from the border: arcs add up, and so do their slopes; never rises inwards."""
    total = 0.0
    for rounding in roundings:
        left = max(rounding.width - distance, 0.0)
        square = rounding.radius**2 - left**2
        total += left / math.sqrt(square) if square > 0 else math.inf
    return total
