"""The knife as one body to print: no hollows within, edge and tip as thick as a nozzle prints."""

from __future__ import annotations

import dataclasses
import math
from typing import Any, Final

import numpy as np
import shapely
from manifold3d import CrossSection, FillRule, Manifold, Mesh64, OpType
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife
from bladegeom.meshes.knife_mesh import knife_mesh
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_mm
from bladegeom.solids.mesh import Mesh

MESHED: Final = 0.02
INSET: Final = 0.03
"""Chord tolerance of the parts, and how far within their border they are cut off, mm: there the cut meets plain faces
alone, and a printer's own error is far larger."""

MERGED: Final = 0.001
"""Triangles smaller than this are joined with their neighbours, mm."""

QUARTER: Final = 16
"""Sides to a quarter of a small circle."""

Body = Any
"""A closed solid of manifold3d, which has no types."""


def printed_body(knife: Knife, least: float) -> Body:
    """Steel, scales and hardware as one solid, in the knife's own frame.

    Holes that nobody sees under the scales are filled, those of fasteners are filled flush; a lanyard hole stays. The
    steel is nowhere thinner than ``least``, and in side view no point is sharper than a circle of that diameter.

    Args:
        knife: To be held.
        least: mm, at most the stock's thickness.

    Raises:
        ParameterError: The steel is thinner than that, or falls apart where it is more slender.
    """
    thickness = knife.stock.thickness
    if least > thickness:
        must = f"be at most the stock's thickness, {show_mm(thickness)} mm"
        raise ParameterError("printing: least", f"{show_mm(least)} mm", must, limit=thickness)
    side = blunted(knife, least)
    plate = _prism(side, least / 2)
    whole = Manifold.batch_boolean([*_pressed(_bare(knife)), plate], OpType.Add) ^ extruded(side)
    pieces = [piece for piece in whole.decompose() if piece.volume() > 0]
    if len(pieces) != 1:
        raise ParameterError(
            "printing: least", f"{show_mm(least)} mm", f"be less: the knife would fall into {len(pieces)} pieces"
        )
    # What is left without its hollow shells has none.
    return tidied(pieces[0])


def blunted(knife: Knife, least: float) -> BaseGeometry:
    """The side view of what is printed, with the holes that one sees: rounded where it is sharper than ``least``."""
    outline = knife.outline.polygon
    shrunk = outline.buffer(-least / 2 - INSET, quad_segs=QUARTER)
    rounded = shrunk.buffer(least / 2, quad_segs=QUARTER).simplify(INSET / 10)
    return rounded.difference(shapely.union_all([_area(hole) for hole in seen_holes(knife)]))


def seen_holes(knife: Knife) -> tuple[Opening, ...]:
    """Declared holes that stay open: all but lightening holes under the scales."""
    return tuple(hole for hole in knife.holes if not (hole.purpose == "lightening" and _covered(knife, hole)))


def solid_of(meshed: Mesh) -> Body:
    """A mesh as a solid for booleans."""
    solid = Manifold(Mesh64(np.array(meshed.vertices), np.array(meshed.triangles, np.uint64)))
    if solid.is_empty():
        raise ValueError(f"no closed mesh: {solid.status()}")
    return solid


def tidied(solid: Body) -> Body:
    """The same without triangles that are smaller than a printer, or a file of floats, can tell."""
    return solid.as_original().simplify(MERGED)


def mesh_of(solid: Body) -> Mesh:
    """A solid as a mesh of plain facets."""
    raw = solid.to_mesh64()
    vertices = np.array(raw.vert_properties)[:, :3]
    triangles = np.array(raw.tri_verts).astype(np.int64)
    a, b, c = vertices[triangles].transpose(1, 0, 2)
    across = np.cross(b - a, c - a)
    length = np.linalg.norm(across, axis=1, keepdims=True)
    normals = np.divide(across, length, out=np.zeros_like(across), where=length > 0)
    return Mesh(
        vertices=vertices,
        triangles=triangles,
        patches=np.arange(len(triangles)),
        normals=np.repeat(normals[:, None], 3, axis=1),
    )


def region_at(solid: Body, z: float) -> BaseGeometry:
    """What a plane square to z cuts out of a solid."""
    return _region([np.array(loop) for loop in solid.slice(z).to_polygons()])


def area_of(solid: Body) -> BaseGeometry:
    """What a solid covers, seen along z."""
    return _region([np.array(loop) for loop in solid.project().to_polygons()])


def extruded(side: BaseGeometry) -> Body:
    """A region of the side view, higher to both sides than every knife."""
    return _prism(side, _HIGH)


def _region(loops: list[FloatArray]) -> BaseGeometry:
    """Loops that run counter-clockwise about what is solid."""
    areas = [Polygon(loop) for loop in loops if len(loop) > 2]
    filled = shapely.union_all([area for area in areas if area.exterior.is_ccw])
    return filled.difference(shapely.union_all([area for area in areas if not area.exterior.is_ccw]))


_HIGH: Final = 1000.0
"""Above every knife, mm."""


def _bare(knife: Knife) -> Knife:
    """The same without holes: those that are seen are cut through all of it at once."""
    return dataclasses.replace(knife, holes=(), fasteners=())


def _pressed(knife: Knife) -> list[Body]:
    """Its parts, each a little into the one below it, so that no slit is left where two faces meet."""
    parts = [solid_of(part.mesh) for part in knife_mesh(knife, "finished", MESHED).parts]
    out = []
    for part in parts:
        *_, low, _, _, high = part.bounding_box()
        if low < 0 < high:
            out.append(part)
            continue
        side = 1.0 if low >= 0 else -1.0
        # Liners first, the scale last.
        below = sum(1 for other in parts if _height(other, side) < _height(part, side))
        out.append(part.translate([0.0, 0.0, -side * _PRESSED * (1 + below)]))
    return out


def _height(part: Body, side: float) -> float:
    """How far from the middle plane it begins on a side; endless on the other."""
    *_, low, _, _, high = part.bounding_box()
    begins = low if side > 0 else -high
    return begins if begins >= 0 else math.inf


_PRESSED: Final = 0.01
"""mm."""


def _covered(knife: Knife, hole: Opening) -> bool:
    return knife.scales is not None and bool(behind_front(knife, np.array([hole.x, hole.y])) > 0)


def _area(hole: Opening) -> Polygon:
    return Polygon(flatten(hole.outline, CHORD))


def _prism(side: BaseGeometry, half: float) -> Body:
    """The side view, as high to both sides."""
    polygons = [part for part in shapely.get_parts(side) if not part.is_empty]
    loops = [np.array(ring.coords)[:-1].tolist() for part in polygons for ring in (part.exterior, *part.interiors)]
    return Manifold.extrude(CrossSection(loops, FillRule.EvenOdd), 2 * half).translate([0.0, 0.0, -half])
