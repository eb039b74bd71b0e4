"""Scales, liners and hardware of the finished knife as closed meshes, each piece by itself."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.fasteners.stack import stacks
from bladegeom.handle.parts import bare_holes
from bladegeom.knife.hole import Hole, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.meshes.booleans import less
from bladegeom.meshes.hardware_mesh import FlushWith, hardware_parts, ring_profile
from bladegeom.meshes.loop_plan import flat_plan
from bladegeom.meshes.mesh_part import Kind, MeshPart
from bladegeom.meshes.opening_mesh import opening_mesh
from bladegeom.meshes.round_mesh import turned_mesh
from bladegeom.meshes.scale_loop import ScaleLoop, handle_loop, scale_loop
from bladegeom.meshes.scale_top import ScaleTop, face_normals, scale_top
from bladegeom.meshes.slab import between_faces, laid_sheet, sloping, under_face
from bladegeom.quantities.materials import Material
from bladegeom.quantities.solid_errors import MeshError
from bladegeom.solids.mesh import Mesh

_THROUGH = 1.0
"""By so much what is drilled reaches over the layer that it goes through, mm."""


@memo
def handle_meshes(knife: Knife, tolerance: float) -> tuple[MeshPart, ...]:
    """Scales, liners and hardware; what there is of them.

    Args:
        knife: The finished knife.
        tolerance: Greatest distance of a mesh from its laws, mm.

    Raises:
        MeshError: A piece that no closed mesh can stand for.
    """
    face = knife.scale_face
    if face is None:
        sheet = LaidSheet(stock=knife.stock, lift=0.0, thickness=0.0)
        bare = FlushWith(
            face=sheet,
            normals=lambda plan: sloping(plan, sheet.inside),
            covers=lambda *_: True,
            body=partial(_tang, knife, tolerance, sheet),
        )
        return tuple(hardware_parts(stacks(knife), bare, tolerance))
    loop = scale_loop(knife, face, tolerance)
    top = scale_top(loop, tolerance)
    room = FlushWith(
        face=loop.face,
        normals=partial(face_normals, loop),
        covers=partial(_covers, loop, tolerance),
        body=lambda *, through: between_faces(loop, top) if through else _down_to(loop, top),
    )
    return (
        *_pair("scale", face.scales.material, "scale", _scale(knife, loop, top, tolerance)),
        *_liners(knife, loop, tolerance),
        *hardware_parts(stacks(knife), room, tolerance),
    )


def _scale(knife: Knife, loop: ScaleLoop, top: ScaleTop, tolerance: float) -> Mesh:
    """The right scale less its bores."""
    face, breaks = loop.face, _breaks(knife)
    body = under_face(loop, top, flat_plan(loop.xy, breaks), face.inside, breaks)
    low, high = body.vertices[:, 2].min() - _THROUGH, body.vertices[:, 2].max() + _THROUGH
    bores = [
        turned_mesh(profile, (stack.layers.fastener.x, stack.layers.fastener.y), tolerance)
        for stack in stacks(knife)
        for profile in ring_profile(stack.removed, low, high)
    ]
    return less(body, [*bores, *(opening_mesh(hole, low, high, tolerance) for hole in bare_holes(knife))])


def _liners(knife: Knife, loop: ScaleLoop, tolerance: float) -> Iterator[MeshPart]:
    """Each sheet less its holes."""
    liners, breaks, lift = loop.face.scales.liners, _breaks(knife), 0.0
    plan = flat_plan(loop.xy, breaks)
    for number, liner in enumerate(liners, start=1):
        sheet = LaidSheet(stock=knife.stock, lift=lift, thickness=liner.thickness)
        body = laid_sheet(loop, plan, sheet.inside, partial(_outside, sheet), breaks)
        low, high = body.vertices[:, 2].min() - _THROUGH, body.vertices[:, 2].max() + _THROUGH
        solid = less(body, [opening_mesh(hole, low, high, tolerance) for hole in _liner_holes(knife)])
        name = "liner" if len(liners) == 1 else f"liner {number}"
        yield from _pair(name, liner.material, "liner", solid)
        lift += liner.thickness


def _liner_holes(knife: Knife) -> Iterator[Opening]:
    for fastener, bores in zip(knife.fasteners, knife.bores, strict=True):
        for bore in bores:
            if bore.layer == "liner":
                yield Hole(x=fastener.x, y=fastener.y, diameter=bore.diameter, purpose="fastener")
    yield from bare_holes(knife)


def _pair(name: str, made_of: Material, kind: Kind, right: Mesh) -> tuple[MeshPart, ...]:
    if not len(right.triangles):
        raise MeshError(f"{name}: its bores leave nothing of it; make them narrower, or fewer")
    return (
        MeshPart(name=f"right {name}", material=made_of, kind=kind, mesh=right),
        MeshPart(name=f"left {name}", material=made_of, kind=kind, mesh=right.mirrored()),
    )


def _breaks(knife: Knife) -> tuple[float, ...]:
    """Stations of the tang's taper."""
    return tuple(x for x, _ in knife.stock.taper)


def _outside(sheet: LaidSheet, x: FloatArray) -> FloatArray:
    return sheet.height(x, x)


def _covers(loop: ScaleLoop, tolerance: float, centre: Vector, radius: float) -> bool:
    """Whether a disc lies within the border, and not only just."""
    disc = shapely.Point(centre).buffer(radius + tolerance)
    return bool(shapely.Polygon(loop.xy).contains(disc))


def _down_to(loop: ScaleLoop, top: ScaleTop) -> Mesh:
    """Under the face, far beyond the middle plane."""
    return under_face(loop, top, flat_plan(loop.xy, ()), lambda x: np.full(len(x), -top.z.max()), ())


def _tang(knife: Knife, tolerance: float, sheet: LaidSheet | ScaleFace, *, through: bool) -> Mesh:
    """The bare tang, or its right half and as much again on the left."""
    loop, breaks = handle_loop(knife, tolerance), _breaks(knife)
    deep = sheet.stock.thickness
    return laid_sheet(
        loop,
        flat_plan(loop.xy, breaks),
        (lambda x: -sheet.inside(x)) if through else (lambda x: np.full(len(x), -deep)),
        sheet.inside,
        breaks,
    )
