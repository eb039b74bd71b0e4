"""Round tools and pieces, slots, and the booleans that use them, checked by the volumes that they leave and take."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely
from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.collections import List_TopoDS_Shape
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid, TopoDS_Wire
from shapely import Polygon

from bladegeom.curves.curve import Vector
from bladegeom.knife.hole import Hole, Opening
from bladegeom.quantities.solid_errors import SolidError
from bladegeom.solids.moments import Moments
from bladegeom.solids.revolve import Ring

WITHIN = 1e-3
"""The share by which a solid may hold more or less than is weighed."""

CENTRE = 0.03
"""So far its centre may lie beside the one that is weighed, mm."""

_ACCURATE = 1e-6
"""Relative error of the kernel's own volumes."""

_MISSED = 1e-5
"""What a boolean leaves and what it takes off make up the whole to this share."""


def volume(shape: TopoDS_Shape) -> float:
    """Of a solid, mm3."""
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found, _ACCURATE, False, False)
    return float(found.Mass())


def turned(rings: Sequence[Ring], centre: Vector, low: float, high: float) -> list[TopoDS_Solid]:
    """The rings round one axis as solids; what touches is one.

    Args:
        rings: In any order.
        centre: Of their axis.
        low: Height that stands for a layer's inside, mm.
        high: For its outside, mm.
    """
    profiles = []
    for ring in rings:
        (a, b), (c, d) = ring.low or (low, low), ring.high or (high, high)
        profiles.append(Polygon([(ring.inner, a), (ring.outer, b), (ring.outer, d), (ring.inner, c)]))
    whole = shapely.unary_union([profile for profile in profiles if profile.area > 0])
    return [_revolved(shapely.simplify(part, 1e-9), centre) for part in shapely.get_parts(whole)]


def _revolved(profile: Polygon, centre: Vector) -> TopoDS_Solid:
    x, y = centre
    rings = [[gp_Pnt(x + r, y, z) for r, z in ring.coords[:-1]] for ring in (profile.exterior, *profile.interiors)]
    face = BRepBuilderAPI_MakeFace(_polygon(rings[0]))
    for ring in rings[1:]:
        face.Add(TopoDS.Wire(_polygon(ring).Reversed()))
    axis = gp_Ax1(gp_Pnt(x, y, 0.0), gp_Dir(0.0, 0.0, 1.0))
    return _only(BRepPrimAPI_MakeRevol(face.Face(), axis, 2 * math.pi).Shape(), "a round piece")


def _polygon(points: list[gp_Pnt]) -> TopoDS_Wire:
    wire = BRepBuilderAPI_MakeWire()
    for start, end in zip(points, [*points[1:], points[0]], strict=True):
        wire.Add(BRepBuilderAPI_MakeEdge(start, end).Edge())
    return wire.Wire()


def drilled_through(opening: Opening, low: float, high: float) -> TopoDS_Solid:
    """What a hole or slot takes out between two heights."""
    if isinstance(opening, Hole):
        ring = Ring(inner=0.0, outer=opening.diameter / 2, low=None, high=None)
        (drilled,) = turned([ring], (opening.x, opening.y), low, high)
        return drilled
    return _only(BRepPrimAPI_MakePrism(_slot(opening, low), gp_Vec(0.0, 0.0, high - low)).Shape(), "a slot")


def _slot(opening: Opening, low: float) -> TopoDS_Face:
    """Two straight sides and two half circles."""
    start, end = opening.axis
    along = (end - start) / np.hypot(*(end - start))
    radius = opening.diameter / 2
    left = radius * np.array([-along[1], along[0]])

    def at(place: np.ndarray) -> gp_Pnt:
        return gp_Pnt(float(place[0]), float(place[1]), low)

    a, b, c, d = (at(place) for place in (start - left, end - left, end + left, start + left))
    edges: list[TopoDS_Edge] = [
        BRepBuilderAPI_MakeEdge(a, b).Edge(),
        BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(b, at(end + radius * along), c).Value()).Edge(),
        BRepBuilderAPI_MakeEdge(c, d).Edge(),
        BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(d, at(start - radius * along), a).Value()).Edge(),
    ]
    wire = BRepBuilderAPI_MakeWire()
    for edge in edges:
        wire.Add(edge)
    return BRepBuilderAPI_MakeFace(wire.Wire()).Face()


def cut_by(solid: TopoDS_Solid, tools: Iterable[TopoDS_Solid], part: str) -> TopoDS_Solid:
    """A solid less some tools.

    Raises:
        SolidError: What is left and what is taken off do not make up the whole.
    """
    tools = list(tools)
    if not tools:
        return solid
    left = _only(_boolean(BRepAlgoAPI_Cut(), solid, tools), part)
    off = sum(volume(each) for each in _solids(_boolean(BRepAlgoAPI_Common(), solid, tools)))
    whole = volume(solid)
    if abs(volume(left) + off - whole) > _MISSED * whole:
        raise SolidError(f"{part}: the kernel bored it, but what is left and what is gone do not make up the whole")
    return left


def shared(solid: TopoDS_Solid, tool: TopoDS_Solid, part: str) -> TopoDS_Solid:
    """What two solids share."""
    return _only(_boolean(BRepAlgoAPI_Common(), solid, [tool]), part)


def _boolean(
    operation: BRepAlgoAPI_BooleanOperation, solid: TopoDS_Solid, tools: Sequence[TopoDS_Solid]
) -> TopoDS_Shape:
    whole, others = List_TopoDS_Shape(), List_TopoDS_Shape()
    whole.Append(solid)
    for tool in tools:
        others.Append(tool)
    operation.SetArguments(whole)
    operation.SetTools(others)
    operation.Build()
    return operation.Shape()


def _only(shape: TopoDS_Shape, part: str) -> TopoDS_Solid:
    found = list(_solids(shape))
    if len(found) != 1:
        raise SolidError(f"{part}: the kernel made {len(found)} pieces of it, not one")
    return found[0]


def _solids(shape: TopoDS_Shape) -> Iterator[TopoDS_Solid]:
    explorer = TopExp_Explorer(shape, TopAbs_SOLID)
    while explorer.More():
        yield TopoDS.Solid(explorer.Current())
        explorer.Next()


def require_sound(solid: TopoDS_Solid, part: str, expected: Moments | None) -> None:
    """Refuse a solid that the kernel does not call valid, or whose volume is another than was weighed.

    Raises:
        SolidError: With the part, and both volumes.
    """
    if not BRepCheck_Analyzer(solid).IsValid():
        raise SolidError(f"{part}: the kernel's solid is not sound; nothing was written")
    if expected is None:
        return
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, found, _ACCURATE, False, False)
    holds, at = float(found.Mass()), found.CentreOfMass()
    if abs(holds / expected.amount - 1) > WITHIN:
        raise SolidError(
            f"{part}: the kernel's solid holds {holds:.6g} mm3 where {expected.amount:.1f} mm3 were weighed; "
            "nothing was written"
        )
    off = math.dist((at.X(), at.Y(), at.Z()), expected.centre)
    if off > CENTRE:
        raise SolidError(
            f"{part}: the kernel's solid has its centre {off:.3f} mm beside where it was weighed; nothing was written"
        )
