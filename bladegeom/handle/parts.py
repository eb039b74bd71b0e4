"""The parts of the handle and their volumes: scales less their bores, liners, hardware."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.curves.curve import Vector
from bladegeom.curves.measure import loop_moments
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.hole import Hole, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo_of
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.quantities.materials import Material
from bladegeom.solids.columns import missing
from bladegeom.solids.moments import NOTHING, Moments, of_layers, of_slab
from bladegeom.solids.part import Part
from bladegeom.solids.revolve import Ring, of_rings


def _all(knife: Knife) -> tuple[object, ...]:
    """All that the parts of the handle hang on."""
    front = (knife.front_lean_deg, knife.front_bow)
    return knife.outline, knife.stock, knife.scales, knife.fasteners, front, knife.shop, bare_holes(knife)


def _shape(knife: Knife) -> tuple[object, ...]:
    """All that the shape of a solid scale hangs on, whatever it is made of and however long the blade is."""
    stock, scales, front = knife.stock, knife.scales, (knife.front_lean_deg, knife.front_bow)
    if scales is None:
        return knife.handle_loop, front, stock.thickness, stock.taper
    liners = tuple(liner.thickness for liner in scales.liners)
    sizes = (scales.thickness, liners, scales.swell, scales.roundings, scales.front_rounding)
    return knife.handle_loop, front, stock.thickness, stock.taper, *sizes


@memo_of(_all)
def handle_parts(knife: Knife) -> tuple[Part, ...]:
    """Scales, liners and hardware of the finished knife; what there is of them."""
    face, at = knife.scale_face, stacks(knife)
    slabs = () if face is None else (*_scales(knife, face, at), *_liners(knife, face))
    return (*slabs, *_hardware(at))


def fastener_parts(stack: Stack) -> tuple[Part, ...]:
    """The parts of one fastener, both sides."""
    rights = ((solid, _turned(stack.layers.knife, tuple(solid.rings), _place(stack))) for solid in stack.solids)
    return tuple(
        Part(name=solid.name, material=solid.material, volume=right + right.mirrored()) for solid, right in rights
    )


def scale_volume(knife: Knife, face: ScaleFace, at: tuple[Stack, ...]) -> Moments:
    """Volume of the right scale as it is finished, less its bores.

    Exact for flat scales on an even tang; elsewhere as true as the weighing of the steel.
    """
    solid = _solid_scale(knife) - _lifted(knife, face.scales.liner)
    for stack in at:
        solid -= _turned(knife, tuple(stack.removed), _place(stack))
    for hole in bare_holes(knife):
        solid -= _hole(hole, face)
    return solid


def bare_holes(knife: Knife) -> tuple[Opening, ...]:
    """Declared holes that go through the scales though no hardware fills them: all but lightening holes."""
    return tuple(
        hole
        for hole in knife.holes
        if hole.purpose != "lightening" and behind_front(knife, np.array([hole.x, hole.y])) > 0
    )


@memo_of(_shape)
def _solid_scale(knife: Knife) -> Moments:
    """From the middle plane up to the face of the right scale, holes filled; nothing without scales."""
    face = knife.scale_face
    if face is None:
        return NOTHING
    scales = face.scales
    return _under(knife, face, face.stock.thickness / 2 + scales.liner + scales.thickness, plane=scales.is_flat)


@memo_of(_shape)
def _turned(knife: Knife, rings: tuple[Ring, ...], centre: Vector) -> Moments:
    """Round pieces of a fastener, or what is drilled for them, under the scale's face or the bare tang's."""
    return of_rings(rings, centre, knife.scale_face or LaidSheet(stock=knife.stock, lift=0.0, thickness=0.0))


def _place(stack: Stack) -> Vector:
    return stack.layers.fastener.x, stack.layers.fastener.y


def _lifted(knife: Knife, lift: float) -> Moments:
    """From the middle plane up to a lift over the tang, holes filled."""
    face = LaidSheet(stock=knife.stock, lift=lift, thickness=0.0)
    return _under(knife, face, knife.stock.thickness / 2 + lift, plane=True)


def _under(knife: Knife, face: ScaleFace | LaidSheet, full: float, *, plane: bool) -> Moments:
    """From the middle plane up to a face; a plane one is curved only by the tang's taper."""
    solid = of_slab(loop_moments(knife.handle_loop.pieces), full)
    if plane and not knife.stock.taper:
        return solid
    rounded = isinstance(face, ScaleFace)
    return solid - of_layers(missing(knife.handle_region, face, full, breaks=face.breaks, upright=rounded))


def _hole(opening: Opening, face: ScaleFace | LaidSheet) -> Moments:
    """What a hole takes out of a layer; a slot's area counts as high as the layer is at its middle."""
    if isinstance(opening, Hole):
        ring = Ring(inner=0.0, outer=opening.diameter / 2, low=None, high=None)
        return of_rings((ring,), (opening.x, opening.y), face)
    x, y = np.array([opening.x]), np.array([opening.y])
    (top,), (low,) = face.height(x, y), face.inside(x)
    return of_slab(opening.moments, float(top)) - of_slab(opening.moments, float(low))


def _scales(knife: Knife, face: ScaleFace, at: tuple[Stack, ...]) -> tuple[Part, ...]:
    return _pair("scale", face.scales.material, scale_volume(knife, face, at))


def _liners(knife: Knife, face: ScaleFace) -> Iterator[Part]:
    """Each sheet less its holes."""
    holes: list[Opening] = [
        Hole(x=fastener.x, y=fastener.y, diameter=bore.diameter, purpose="fastener")
        for fastener, bores in zip(knife.fasteners, knife.bores, strict=True)
        for bore in bores
        if bore.layer == "liner"
    ]
    holes += bare_holes(knife)
    lift = 0.0
    for number, liner in enumerate(face.scales.liners, start=1):
        sheet = LaidSheet(stock=knife.stock, lift=lift, thickness=liner.thickness)
        solid = _lifted(knife, lift + liner.thickness) - _lifted(knife, lift)
        solid -= sum((_hole(hole, sheet) for hole in holes), NOTHING)
        name = "liner" if len(face.scales.liners) == 1 else f"liner {number}"
        yield from _pair(name, liner.material, solid)
        lift += liner.thickness


def _pair(name: str, made_of: Material, right: Moments) -> tuple[Part, ...]:
    return (
        Part(name=f"right {name}", material=made_of, volume=right),
        Part(name=f"left {name}", material=made_of, volume=right.mirrored()),
    )


def _hardware(at: tuple[Stack, ...]) -> Iterator[Part]:
    """Alike parts of all fasteners together."""
    volumes: dict[tuple[str, Material], Moments] = {}
    for part in (part for stack in at for part in fastener_parts(stack)):
        key = (part.name, part.material)
        volumes[key] = volumes.get(key, NOTHING) + part.volume
    for (name, made_of), volume in volumes.items():
        yield Part(name=name, material=made_of, volume=volume)
