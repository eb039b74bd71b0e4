"""Hardware as it is weighed: round pieces turned out of their rings, ground flush with the face over them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack_parts import Solid
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.meshes.booleans import common
from bladegeom.meshes.mesh_part import MeshPart
from bladegeom.meshes.plan import Plan
from bladegeom.meshes.rod_mesh import rod_mesh
from bladegeom.meshes.round_mesh import turned_mesh
from bladegeom.quantities.solid_errors import MeshError
from bladegeom.solids.mesh import Mesh
from bladegeom.solids.revolve import Ring, Slope

_BEYOND = 1.0
"""What has no end of its own reaches so far beyond the room that it is trimmed to, mm."""


class Body(Protocol):
    """Makes the room."""

    def __call__(self, *, through: bool) -> Mesh:
        """From one face to the other, or the right side alone and some way beyond the middle plane."""
        ...


@dataclass(frozen=True, kw_only=True, eq=False)
class FlushWith:
    """What hardware is ground flush with.

    Args:
        face: Over it.
        normals: Directions of the face at the corners of triangles over it.
        covers: Whether the face covers a disc, of which the centre and the radius are given.
        body: All that lies under the face.
    """

    face: ScaleFace | LaidSheet
    normals: Callable[[Plan], FloatArray]
    covers: Callable[[Vector, float], bool]
    body: Body


def hardware_parts(at: Sequence[Stack], room: FlushWith, tolerance: float) -> Iterator[MeshPart]:
    """The pieces of every fastener, in the order declared.

    What reaches the middle plane from the right goes right through and is one piece; anything else stands on each side.

    Args:
        at: The fasteners.
        room: That they are trimmed to.
        tolerance: Greatest distance of a mesh from its laws, mm.

    Raises:
        MeshError: Nothing of a piece lies within the room.
    """
    bodies: dict[bool, Mesh] = {}
    found: list[tuple[str, str, Solid, Mesh]] = []
    for stack in at:
        for solid in stack.solids:
            centre = (stack.layers.fastener.x, stack.layers.fastener.y)
            through = any(ring.low == (0.0, 0.0) for ring in solid.rings)
            mesh = _piece(solid, centre, room, bodies, tolerance, through=through)
            if through:
                found.append(("", _single(solid.name), solid, mesh))
            else:
                found += [
                    (f"{side} ", _single(solid.name), solid, each)
                    for side, each in (("right", mesh), ("left", mesh.mirrored()))
                ]
    most, seen = Counter((side, name) for side, name, _, _ in found), Counter[tuple[str, str]]()
    for side, name, solid, mesh in found:
        seen[side, name] += 1
        number = f" {seen[side, name]}" if most[side, name] > 1 else ""
        yield MeshPart(name=f"{side}{name}{number}", material=solid.material, kind="hardware", mesh=mesh)


def _single(name: str) -> str:
    """What a single one of "screws" is called."""
    return name.removesuffix("s") if not name.endswith("ss") else name


def _piece(
    solid: Solid,
    centre: Vector,
    room: FlushWith,
    bodies: dict[bool, Mesh],
    tolerance: float,
    *,
    through: bool,
) -> Mesh:
    wide = max(ring.outer for ring in solid.rings)
    if len(solid.rings) == 1 and through and solid.rings[0].high is None and room.covers(centre, wide):
        return rod_mesh(solid.rings[0], centre, room.face.height, room.normals, tolerance)
    lowest, highest = room.face.over_disc(*centre, wide)
    (profile,) = ring_profile(solid.rings, -highest - _BEYOND, highest + _BEYOND, mirrored=through)
    piece = turned_mesh(profile, centre, tolerance)
    if profile[:, 1].max() <= lowest:
        return piece
    if through not in bodies:
        bodies[through] = room.body(through=through)
    left = common(piece, bodies[through])
    if not len(left.triangles):
        raise MeshError(f"{_single(solid.name)}: nothing of it lies within the handle{{at}}; move it", centre)
    return left


def ring_profile(rings: Sequence[Ring], low: float, high: float, *, mirrored: bool = False) -> list[FloatArray]:
    """Half sections of the bodies that rings round one axis make up together, as (radius, z), counter-clockwise, mm.

    Args:
        rings: They.
        low: Where a ring without a lower bound begins.
        high: Where a ring without an upper bound ends.
        mirrored: Whether their likes below z = 0 belong to them.
    """
    shapes = [_section(ring, low, high) for ring in rings if ring.outer > ring.inner]
    if mirrored:
        shapes += [shapely.transform(shape, lambda rz: rz * [1.0, -1.0]) for shape in shapes]
    whole = shapely.union_all(shapes)
    outlines = (shapely.get_coordinates(part.exterior)[:-1] for part in shapely.get_parts(whole))
    return [outline[::-1] if not _counter_clockwise(outline) else outline for outline in outlines]


def _section(ring: Ring, low: float, high: float) -> BaseGeometry:
    (a, b), (c, d) = _bound(ring.low, low), _bound(ring.high, high)
    return shapely.Polygon([(ring.inner, a), (ring.outer, b), (ring.outer, max(b, d)), (ring.inner, max(a, c))])


def _bound(slope: Slope | None, otherwise: float) -> Slope:
    return (otherwise, otherwise) if slope is None else slope


def _counter_clockwise(outline: FloatArray) -> bool:
    x, y = outline.T
    return bool((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() > 0)
