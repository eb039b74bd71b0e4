"""Flat faces: up to a height, at an angle, up to a line of the maker's own, up to the spine."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property
from typing import Annotated, ClassVar

import numpy as np

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.bevels.face import Face, Section, Wheel
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, Distance, InUnit, Length, Like
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_length

_FAR = 1000.0
"""A drawn grind line runs on this far beyond its ends, mm: farther than any blade."""


class _OnPlaten:
    """What every flat face answers that is declared by itself."""

    lies_under: ClassVar[None] = None
    arc_bulge: ClassVar[None] = None
    edge_advice: ClassVar[str] = ""

    def is_flat(self, _section: Section, /) -> bool:
        """Anywhere."""
        return True

    def wheel(self, _section: Section, /) -> Wheel | None:
        """None."""
        return None


class _NoHeight(_OnPlaten):
    """And of these the ones whose grind line follows from something else than a height."""

    kind: ClassVar[str]
    height: ClassVar[None] = None

    def of_height(self, height: float, /) -> Face:
        """Refused.

        Raises:
            ParameterError: Always.
        """
        raise ParameterError(f"bevel, {self.kind}: height", show_length(height), "not be told: it has none")


@declared("flat bevel")
class FlatBevel(_OnPlaten):
    """Flat up to a grind line at a constant distance from the edge; on tapered stock the angle follows the taper.

    Args:
        height: From the edge to the grind line, > 0 mm.
        edge_thickness: Left at the edge before sharpening, >= 0 mm.

    >>> FlatBevel(height=17.0, edge_thickness=0.4).kind
    'flat'
    """

    height: Length
    edge_thickness: Distance
    kind: ClassVar[str] = "flat"

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        low = at.edge_height(self.edge_thickness)
        return low + (at.stock - low) * at.from_edge / self.height

    def of_height(self, height: float, /) -> FlatBevel:
        """See :class:`Face`."""
        return replace(self, height=height)


@declared("bevel at an angle")
class AngledBevel(_NoHeight):
    """Flat at a constant angle; on tapered stock the grind line follows the taper. Also a secondary bevel, or a facet.

    Args:
        angle_deg: Between the face and the middle plane, from 0.1 to 60 degrees.
        edge_thickness: Left at the edge, >= 0 mm.

    >>> AngledBevel(angle_deg=4.0, edge_thickness=0.3).kind
    'flat at an angle'
    """

    angle_deg: Annotated[float, Between(0.1, 60.0), InUnit("degrees")]
    edge_thickness: Distance = 0.0
    kind: ClassVar[str] = "flat at an angle"

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        return at.edge_height(self.edge_thickness) + at.from_edge * math.tan(math.radians(self.angle_deg))


@declared("full flat bevel")
class FullFlat(_NoHeight):
    """Flat from the edge to the spine, which keeps the stock's thickness.

    Args:
        edge_thickness: Left at the edge before sharpening, >= 0 mm.

    >>> FullFlat(edge_thickness=0.3).kind
    'full flat'
    """

    edge_thickness: Distance
    kind: ClassVar[str] = "full flat"

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        return _ruled(at, self.edge_thickness, at.to_spine)


@declared("bevel to a line")
class BevelToLine(_NoHeight):
    """From the edge to a grind line that the maker draws: between them the face rises evenly.

    Args:
        line: The grind line, from the plunge line forward; each x but once. Beyond its ends it runs on straight.
        edge_thickness: Left at the edge before sharpening, >= 0 mm.

    >>> from bladegeom import line
    >>> BevelToLine(line=line((0.0, -8.0), (110.0, -6.0)), edge_thickness=0.3).kind
    'flat to a drawn line'
    """

    line: Annotated[Curve, Like("spline([(10, -9), (60, -8), (95, -6)])")]
    edge_thickness: Distance
    kind: ClassVar[str] = "flat to a drawn line"
    edge_advice: ClassVar[str] = (
        "the drawn grind line lies on or below the edge there; draw it above the edge all the way"
    )

    def __post_init__(self) -> None:
        if not (np.diff(flatten(self.line, CHORD)[:, 0]) > 0).all():
            must = "run from the plunge line steadily forward"
            raise ParameterError("bevel to a line: line", "a curve that turns back", must)

    def surface(self, at: SamplePoints) -> FloatArray:
        """See :class:`Face`."""
        line = self._line
        above = at.y > np.interp(at.x, *line.vertices.T)
        away = line.distances(at.x, at.y)
        return _ruled(at, self.edge_thickness, np.where(above, -away, away))

    @cached_property
    def _line(self) -> Polyline:
        points = flatten(self.line, CHORD)
        first, last = points[0] - points[1], points[-1] - points[-2]
        before, behind = (_FAR * step / np.hypot(*step) for step in (first, last))
        return Polyline(np.concatenate([[points[0] + before], points, [points[-1] + behind]]))


def _ruled(at: SamplePoints, edge_thickness: float, to_line: FloatArray) -> FloatArray:
    """A face that rises in proportion to its way from the edge to a line; beyond the line it rises on."""
    low = at.edge_height(edge_thickness)
    whole = at.measured + to_line
    share = np.divide(at.from_edge, whole, out=np.full_like(whole, 2.0), where=whole > 1e-9)
    return np.asarray(low + (at.stock - low) * share)
