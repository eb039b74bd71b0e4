"""One knife from one side: colour, cover and depth of each pixel, without anything round it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.pictures.decals import decals
from bladegeom.pictures.finish import finish_of
from bladegeom.pictures.grain import grain_share
from bladegeom.pictures.nearest import Indexes, nearest_triangles
from bladegeom.pictures.shade import crease_shade
from bladegeom.pictures.silhouette import silhouette
from bladegeom.pictures.steel import SteelPlaces, steel_light, worked
from bladegeom.pictures.studio import Floats, dull_light, gleam, linear, metal_light
from bladegeom.pictures.view import Camera, View, axes_of
from bladegeom.quantities.appearances import appearance_of
from bladegeom.quantities.materials import Material

_FINE = 2
"""Places each way in a pixel at which it is asked what is seen."""

_SURFACES = 8
"""More than a part has surfaces that are worked apart."""

_WHOLE, _LEAST = 0.999, 1e-6
"""Shares of a pixel that are all of it, and none."""

_JOINT = 0.72
"""Light that is left where two parts meet within a pixel."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Shot:
    """Pixels of one knife, all of the same shape (rows, columns).

    Args:
        light: Linear colour where it covers a pixel, shape (rows, columns, 3), times the cover.
        cover: Share of each pixel that it covers.
        part: Number of the part that is seen at the pixel's upper left; -1 where there is none.
    """

    light: Floats
    cover: Floats
    part: npt.NDArray[np.intp]


@dataclass(frozen=True, kw_only=True, eq=False)
class _Soup:
    """All triangles of a knife in one row, with what belongs to each."""

    corners: FloatArray
    normals: Floats
    part: Indexes
    surface: npt.NDArray[np.int8]
    along: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class _Spots:
    """Places that are lit: pixel, its share, and the triangle seen there."""

    pixel: Indexes
    share: Floats
    triangle: Indexes
    seen: FloatArray


def shot(design: Design, solid: KnifeMesh, view: View, camera: Camera, columns: int, rows: int) -> Shot:
    """Light a knife."""
    soup = _soup(design, solid)
    corners = camera.seen(soup.corners.reshape(-1, 3)).reshape(-1, 3, 3)
    fine = nearest_triangles(corners * (_FINE, _FINE, 1.0), _FINE * columns, _FINE * rows)
    cells = fine.triangle.reshape(rows, _FINE, columns, _FINE).transpose(0, 2, 1, 3).reshape(rows * columns, -1)
    depth = fine.depth.reshape(rows, _FINE, columns, _FINE).transpose(0, 2, 1, 3).reshape(rows * columns, -1)
    spots, joints = _spots(cells, depth, soup, columns)
    colour = _lit(design, solid, view, camera, soup, corners, spots)
    cover = np.bincount(spots.pixel, spots.share, rows * columns).astype(np.float32)
    light = np.stack(
        [np.bincount(spots.pixel, spots.share * colour[:, i], rows * columns) for i in range(3)], axis=1
    ).astype(np.float32)
    light[joints] *= np.float32(_JOINT)
    exact = np.zeros((rows, columns), dtype=np.float32)
    for each in solid.parts:
        flat = camera.seen(each.mesh.vertices)[:, :2]
        np.maximum(exact, silhouette(flat, each.mesh.triangles, columns, rows), out=exact)
    shade = crease_shade(np.where(cells[:, 0] >= 0, depth[:, 0], -np.inf).reshape(rows, columns), camera.mm_per_pixel)
    part = np.where(cells[:, 0] >= 0, soup.part[cells[:, 0]], -1).reshape(rows, columns)
    light = light.reshape(rows, columns, 3) * shade[..., None]
    light, cover = _rimmed(light, cover.reshape(rows, columns), exact)
    return Shot(light=light, cover=cover, part=part)


def _rimmed(light: Floats, sampled: Floats, exact: Floats) -> tuple[Floats, Floats]:
    """Light and cover with the exact share of each pixel along the silhouette; colour of a beside one where none is."""
    rim = (exact < _WHOLE) & ((exact > 0) | (sampled > 0))
    colour, known = light.copy(), sampled.copy()
    for axis in (0, 1):
        for step in (1, -1):
            beside, there = np.roll(light, step, axis=axis), np.roll(sampled, step, axis=axis)
            bare = rim & (known == 0) & (there > 0)
            colour[bare], known[bare] = beside[bare], there[bare]
    share = np.where(known > 0, exact, 0)[rim]
    light[rim] = colour[rim] * (share / np.maximum(known[rim], _LEAST))[:, None]
    sampled[rim] = share
    return light, sampled


def _soup(design: Design, solid: KnifeMesh) -> _Soup:
    steel = solid.parts[0]
    how = worked(design.knife, solid.stage, steel.mesh)
    meshes = [part.mesh for part in solid.parts]
    rest = sum(len(mesh.triangles) for mesh in meshes[1:])
    return _Soup(
        corners=np.concatenate([mesh.vertices[mesh.triangles] for mesh in meshes]),
        normals=np.concatenate([mesh.normals for mesh in meshes]).astype(np.float32),
        part=np.repeat(np.arange(len(meshes)), [len(mesh.triangles) for mesh in meshes]),
        surface=np.concatenate([how.surface, np.zeros(rest, dtype=np.int8)]),
        along=np.concatenate([how.along, np.zeros((rest, 3))]).astype(np.float32),
    )


def _spots(cells: Indexes, depth: npt.NDArray[np.float32], soup: _Soup, columns: int) -> tuple[_Spots, Indexes]:
    """One spot in each pixel of one surface, one for each place in the others; and pixels where parts meet."""
    surface = np.where(cells >= 0, soup.part[cells] * _SURFACES + soup.surface[cells], -1)
    even = (surface == surface[:, :1]).all(axis=1)
    whole = np.flatnonzero(even & (surface[:, 0] >= 0))
    mixed = np.flatnonzero(~even)
    row, place = np.nonzero(cells[mixed] >= 0)
    mixed_pixel = mixed[row]
    pixel = np.concatenate([whole, mixed_pixel])
    middle = (np.arange(_FINE) + 0.5) / _FINE
    inside = np.stack([np.tile(middle, _FINE), np.repeat(middle, _FINE)], axis=1)[place]
    offset = np.concatenate([np.full((len(whole), 2), 0.5), inside])
    seen = np.empty((len(pixel), 3))
    seen[:, 0], seen[:, 1] = pixel % columns + offset[:, 0], pixel // columns + offset[:, 1]
    seen[:, 2] = np.concatenate([depth[whole].mean(axis=1), depth[mixed_pixel, place]])
    share = np.concatenate([np.ones(len(whole)), np.full(len(mixed_pixel), _FINE**-2)])
    triangle = np.concatenate([cells[whole, 0], cells[mixed_pixel, place]])
    part = np.where(cells[mixed] >= 0, soup.part[cells[mixed]], -1)
    least = np.where(part < 0, part.max(axis=1, keepdims=True), part).min(axis=1)
    joints = mixed[least != part.max(axis=1)]
    return _Spots(pixel=pixel, share=share.astype(np.float32), triangle=triangle, seen=seen), joints


def _lit(
    design: Design,
    solid: KnifeMesh,
    view: View,
    camera: Camera,
    soup: _Soup,
    corners: FloatArray,
    spots: _Spots,
) -> Floats:
    """Colour of each spot, linear, shape (n, 3)."""
    weights = _weights(corners[spots.triangle], spots.seen)
    normals = np.einsum("ni,nij->nj", weights, soup.normals[spots.triangle])
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-9)
    along = (weights * soup.along[spots.triangle]).sum(axis=1)
    places = camera.places(spots.seen).astype(np.float32)
    normals = normals.astype(np.float32)
    frame = axes_of("right" if view == "three-quarter" else view).astype(np.float32)
    leaning = _near(places, frame, solid)
    out = np.empty((len(places), 3), dtype=np.float32)
    parts = soup.part[spots.triangle]
    patterns, finish = decals(design.knife), finish_of(design)
    for number in np.unique(parts):
        here = np.flatnonzero(parts == number)
        part = solid.parts[number]
        if part.kind == "steel":
            surface = soup.surface[spots.triangle[here]]
            steel = SteelPlaces(
                places=places[here], normals=normals[here] + leaning[here], surface=surface, along=along[here]
            )
            out[here] = steel_light(steel, design.knife, finish, patterns, frame)
        else:
            out[here] = _material_light(part.material, places[here], (normals[here] + leaning[here]) @ frame.T)
    return out


def _near(places: Floats, frame: Floats, solid: KnifeMesh) -> Floats:
    """The lamps are no farther than a table's length: what lies to one side mirrors another part of them."""
    low, high = solid.bounds
    middle, size = (low + high) / 2, float(np.linalg.norm(high - low))
    away = (places - middle.astype(np.float32)) @ frame.T / np.float32(size)
    away[:, 2] = 0
    return np.asarray(away * (np.float32(0.34), np.float32(0.45), np.float32(0)) @ frame, dtype=np.float32)


def _weights(corners: FloatArray, seen: FloatArray) -> Floats:
    """Shares of a triangle's corners at a place in it, shape (n, 3)."""
    a, b, c = (corners[:, i, :2] for i in range(3))
    along, other, to = b - a, c - a, seen[:, :2] - a
    whole = along[:, 0] * other[:, 1] - along[:, 1] * other[:, 0]
    second = (to[:, 0] * other[:, 1] - to[:, 1] * other[:, 0]) / whole
    third = (along[:, 0] * to[:, 1] - along[:, 1] * to[:, 0]) / whole
    return np.stack([1 - second - third, second, third], axis=1).astype(np.float32)


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
