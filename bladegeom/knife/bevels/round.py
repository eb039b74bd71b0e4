"""Round faces: hollow from a contact wheel, convex from a slack belt."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.bevels.face import Face, Section, Wheel
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Distance, Length, Like
from bladegeom.quantities.units import show_length, show_mm

_CLEAR = 0.3
"""So steeply the law of an arc leaves what is above it, beyond its end: clear of it, and no corner too sharp for the
search of that place."""


@declared("hollow bevel")
class HollowBevel:
    """Ground on a wheel: under its chord from edge to grind line the face lies on the wheel's circle.

    Args:
        wheel_diameter: More than 0 mm.
        height: From the edge to the grind line, > 0 mm.
        edge_thickness: Left at the edge before sharpening, >= 0 mm.

    Raises:
        ParameterError: The wheel is too small to span the bevel.

    >>> HollowBevel(wheel_diameter=250.0, height=15.0, edge_thickness=0.4).kind
    'hollow'
    """

    wheel_diameter: Length
    height: Length
    edge_thickness: Distance
    kind: ClassVar[str] = "hollow"
    lies_under: ClassVar[None] = None
    arc_bulge: ClassVar[None] = None
    edge_advice: ClassVar[str] = ""

    def __post_init__(self) -> None:
        if not self.height < self.wheel_diameter:
            raise ParameterError(
                "hollow bevel: wheel_diameter",
                show_length(self.wheel_diameter),
                f"be more than the bevel's height, {show_length(self.height)}",
            )

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        low, radius = at.edge_height(self.edge_thickness), self.wheel_diameter / 2
        rise = at.stock - low
        half_chord = np.hypot(self.height, rise) / 2
        # On a smaller wheel the grind line would lie beyond the wheel's side.
        least = (2 * half_chord) ** 2 / self.height
        if (least >= self.wheel_diameter).any():
            i = int(least.argmax())
            raise ParameterError(
                "hollow bevel: wheel_diameter",
                show_length(self.wheel_diameter),
                f"be more than {show_length(float(least[i]))} to span the bevel's chord at x {show_mm(at.x[i])} mm, "
                f"{show_length(2 * float(half_chord[i]))}",
            )
        # The wheel's centre stands off the middle of the chord, away from the steel.
        off = np.sqrt(radius**2 - half_chord**2) / (2 * half_chord)
        centre_d, centre_z = self.height / 2 - rise * off, low + rise / 2 + self.height * off
        beside = at.from_edge - centre_d
        within = np.maximum(radius**2 - beside**2, 0.0)
        return np.where(np.abs(beside) < radius, centre_z - np.sqrt(within), centre_z + np.abs(beside) - radius)

    def is_flat(self, _section: Section, /) -> bool:
        """Nowhere."""
        return False

    def wheel(self, _section: Section, /) -> Wheel:
        """As declared."""
        return Wheel(diameter=self.wheel_diameter, least=self.wheel_diameter, greatest=self.wheel_diameter)

    def of_height(self, height: float, /) -> HollowBevel:
        """See :class:`Face`."""
        return replace(self, height=height)


class _Arched:
    """What a face answers whose bulge the maker declares, as a slack belt leaves it."""

    edge_advice: ClassVar[str] = ""
    bulge: float

    @property
    def arc_bulge(self) -> float:
        """As declared, mm."""
        return self.bulge

    def is_flat(self, _section: Section, /) -> bool:
        """Nowhere."""
        return False

    def wheel(self, _section: Section, /) -> Wheel | None:
        """None."""
        return None


@declared("convex bevel")
class ConvexBevel(_Arched):
    """Over its chord from edge to grind line the face bulges in a circular arc.

    Args:
        height: From the edge to the grind line, > 0 mm.
        edge_thickness: Left at the edge before sharpening, >= 0 mm.
        bulge: Greatest distance of the face from its chord, > 0 mm.

    >>> ConvexBevel(height=17.0, edge_thickness=0.4, bulge=0.2).kind
    'convex'
    """

    height: Length
    edge_thickness: Distance
    bulge: Length
    kind: ClassVar[str] = "convex"
    lies_under: ClassVar[None] = None

    def __post_init__(self) -> None:
        _require_shallow("convex bevel", self.bulge, self.height)

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        return _arched(self, at, at.stock, at.stock)

    def of_height(self, height: float, /) -> ConvexBevel:
        """See :class:`Face`."""
        return replace(self, height=height)


@declared("convex edge")
class ConvexEdge(_Arched):
    """A final convexing below another face: an arc from the edge up to that face.

    Args:
        under: The face above it.
        height: From the edge to where the arc meets that face, or the stock above its grind line, > 0 mm.
        edge_thickness: Left at the edge, >= 0 mm and less than the other face leaves.
        bulge: Greatest distance of the arc from its chord, > 0 mm.

    >>> from bladegeom import FlatBevel
    >>> under = FlatBevel(height=17.0, edge_thickness=0.4)
    >>> ConvexEdge(under=under, height=3.0, edge_thickness=0.3, bulge=0.1).kind
    'convex edge'
    """

    under: Annotated[Face, Like("FlatBevel(height=17, edge_thickness=0.6)")]
    height: Length
    edge_thickness: Distance
    bulge: Length
    kind: ClassVar[str] = "convex edge"

    def __post_init__(self) -> None:
        _require_shallow("convex edge", self.bulge, self.height)
        if not self.edge_thickness < self.under.edge_thickness:
            raise ParameterError(
                "convex edge: edge_thickness",
                show_length(self.edge_thickness),
                f"be less than the face above leaves, {show_length(self.under.edge_thickness)}",
            )

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        return _arched(self, at, self._above(at.at_distance(self.height)), self._above(at))

    def _above(self, at: SamplePoints) -> FloatArray:
        """Of the stock and all faces that it lies under, the one that counts."""
        least, face = at.stock, self.lies_under
        while face is not None:
            least, face = np.minimum(face.surface(at), least), face.lies_under
        return least

    @property
    def lies_under(self) -> Face | None:
        """The face above it."""
        return self.under

    def of_height(self, height: float, /) -> ConvexEdge:
        """See :class:`Face`."""
        return replace(self, height=height)


def _arched(face: ConvexBevel | ConvexEdge, at: SamplePoints, top: FloatArray, above: FloatArray) -> FloatArray:
    """Arc over the chord from (0, low) to (height, top); beyond it, clear of what is above, it counts no more."""
    d, height, bulge = at.from_edge, face.height, face.bulge
    low = at.edge_height(face.edge_thickness)
    rise = top - low
    chord = np.hypot(height, rise)
    radius = chord**2 / (8 * bulge) + bulge / 2
    back = (radius - bulge) / chord
    centre_d, centre_z = height / 2 + rise * back, low + rise / 2 - height * back
    arc = centre_z + np.sqrt(np.maximum(radius**2 - (d - centre_d) ** 2, 0.0))
    return np.where(d <= height, arc, above + _CLEAR * (d - height))


def _require_shallow(part: str, bulge: float, height: float) -> None:
    """Refuse a bulge with which the arc might lean out over the edge, however steep its chord."""
    if not bulge <= height / 4:
        raise ParameterError(
            f"{part}: bulge", show_length(bulge), f"be at most a quarter of height {show_length(height)}"
        )
