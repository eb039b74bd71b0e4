"""Colours of places on a knife: which part and surface each is of, how it lies in the light, and what it is made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.pictures.decals import Decal, decals
from bladegeom.pictures.finish import SteelFinish, finish_of
from bladegeom.pictures.grain import grain_share
from bladegeom.pictures.nearest import Indexes
from bladegeom.pictures.steel import SteelPlaces, steel_light, worked
from bladegeom.pictures.studio import Floats, dull_light, gleam, linear, metal_light
from bladegeom.pictures.view import Camera, View, axes_of
from bladegeom.quantities.appearances import appearance_of
from bladegeom.quantities.materials import Material

_TOGETHER: Final = 1 << 15
"""Places that are lit at a time: so few stay in the processor's cache, twice as fast."""

NEAR: Final = (0.34, 0.45)
"""How much another part of the lamps a place mirrors that lies to the right or higher, by the knife's size: by eye."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Scene:
    """A knife before the camera: all triangles in one row, with what belongs to each.

    Args:
        design: The design.
        solid: Its mesh.
        camera: That sees it.
        frame: Right, up and towards the eye of the studio as rows, shape (3, 3).
        corners: Pixels to the right and down, mm towards the eye, shape (m, 3, 3).
        normals: In the design's frame, shape (m, 3, 3).
        part: Number of the part, shape (m,).
        surface: Of the steel, see :class:`bladegeom.pictures.steel.Worked`; 0 elsewhere, shape (m,).
        along: Way along the edge at the corners, mm, shape (m, 3).
        patterns: Marks and textures.
        finish: Of the steel.
    """

    design: Design
    solid: KnifeMesh
    camera: Camera
    frame: Floats
    corners: FloatArray
    normals: Floats
    part: Indexes
    surface: npt.NDArray[np.int8]
    along: Floats
    patterns: tuple[Decal, ...]
    finish: SteelFinish


def scene_of(design: Design, solid: KnifeMesh, view: View, camera: Camera) -> Scene:
    """All that is asked of a knife again and again while it is lit."""
    steel = solid.parts[0]
    how = worked(design.knife, solid.stage, steel.mesh)
    meshes = [part.mesh for part in solid.parts]
    rest = sum(len(mesh.triangles) for mesh in meshes[1:])
    return Scene(
        design=design,
        solid=solid,
        camera=camera,
        # Seen slanted the knife is lit as it is from the right: the lamps do not go with the eye.
        frame=axes_of("right" if view == "three-quarter" else view).astype(np.float32),
        corners=np.concatenate([camera.seen(mesh.vertices)[mesh.triangles] for mesh in meshes]),
        normals=np.concatenate([mesh.normals for mesh in meshes]).astype(np.float32),
        part=np.repeat(np.arange(len(meshes)), [len(mesh.triangles) for mesh in meshes]),
        surface=np.concatenate([how.surface, np.zeros(rest, dtype=np.int8)]),
        along=np.concatenate([how.along, np.zeros((rest, 3))]).astype(np.float32),
        patterns=decals(design.knife, camera.mm_per_pixel) if solid.stage in ("finished", "sharp") else (),
        finish=finish_of(design),
    )


def lit(scene: Scene, triangle: Indexes, seen: FloatArray) -> Floats:
    """Colour of each place, linear, shape (n, 3).

    Args:
        scene: The knife.
        triangle: That is seen there, shape (n,).
        seen: As the camera sees it, shape (n, 3).
    """
    out = np.empty((len(triangle), 3), dtype=np.float32)
    # Those of one part follow each other, so that few parts stand in each lot.
    order = np.argsort(scene.part[triangle], kind="stable")
    for start in range(0, len(order), _TOGETHER):
        some = order[start : start + _TOGETHER]
        out[some] = _lot(scene, triangle[some], seen[some])
    return out


def _lot(scene: Scene, triangle: Indexes, seen: FloatArray) -> Floats:
    weights = _weights(scene.corners[triangle, :, :2], seen)
    normals = (weights[:, :, None] * scene.normals[triangle]).sum(axis=1)
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-9)
    along = (weights * scene.along[triangle]).sum(axis=1)
    places = scene.camera.places(seen).astype(np.float32)
    normals += _near(places, scene)
    out, parts = np.empty((len(places), 3), dtype=np.float32), scene.part[triangle]
    for number in np.unique(parts):
        here = np.flatnonzero(parts == number)
        part = scene.solid.parts[number]
        if part.kind == "steel":
            surface = scene.surface[triangle[here]]
            steel = SteelPlaces(places=places[here], normals=normals[here], surface=surface, along=along[here])
            out[here] = steel_light(steel, scene.design.knife, scene.finish, scene.patterns, scene.frame)
        else:
            out[here] = _material_light(part.material, places[here], normals[here] @ scene.frame.T)
    return out


def _near(places: Floats, scene: Scene) -> Floats:
    """The lamps are no farther than a table's length: what lies to one side mirrors another part of them."""
    low, high = scene.solid.bounds
    middle, size = (low + high) / 2, float(np.linalg.norm(high - low))
    away = (places - middle.astype(np.float32)) @ scene.frame.T / np.float32(size)
    return np.asarray(away * np.array([*NEAR, 0.0], dtype=np.float32) @ scene.frame)


def _weights(corners: FloatArray, seen: FloatArray) -> Floats:
    """Shares of a triangle's corners at a place in it, shape (n, 3); beside a thin one those of its border."""
    a, b, c = (corners[:, i] for i in range(3))
    along, other, to = b - a, c - a, seen[:, :2] - a
    whole = along[:, 0] * other[:, 1] - along[:, 1] * other[:, 0]
    second = (to[:, 0] * other[:, 1] - to[:, 1] * other[:, 0]) / whole
    third = (along[:, 0] * to[:, 1] - along[:, 1] * to[:, 0]) / whole
    shares = np.clip(np.stack([1 - second - third, second, third], axis=1), 0, 1)
    return np.asarray(shares / shares.sum(axis=1, keepdims=True), dtype=np.float32)


def _material_light(material: Material, places: Floats, normals: Floats) -> Floats:
    """Colour of places on what is no steel, in the studio's frame; linear, shape (n, 3)."""
    look = appearance_of(material)
    share = grain_share(look, places)[:, None]
    colour = linear(look.colour) * (1 - share) + linear(look.grain_colour) * share
    if look.metal:
        even = np.zeros_like(normals)
        even[:, 0] = even[:, 1] = 1 - look.gloss * 0.5
        return np.asarray(colour * metal_light(normals, even)[:, None])
    return np.asarray(colour * dull_light(normals)[:, None] + gleam(normals, look.gloss)[:, None])
