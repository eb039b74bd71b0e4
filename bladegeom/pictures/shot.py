"""One knife from one side: colour, cover and depth of each pixel, without anything round it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.pictures.lit import Scene, lit, scene_of
from bladegeom.pictures.nearest import Indexes, nearest_triangles
from bladegeom.pictures.shade import crease_shade
from bladegeom.pictures.silhouette import silhouette
from bladegeom.pictures.studio import Floats
from bladegeom.pictures.view import Camera, View

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
class _Spots:
    """Places that are lit: pixel, its share, and the triangle seen there."""

    pixel: Indexes
    share: Floats
    triangle: Indexes
    seen: FloatArray


def shot(design: Design, solid: KnifeMesh, view: View, camera: Camera, columns: int, rows: int) -> Shot:
    """Light a knife."""
    scene = scene_of(design, solid, view, camera)
    fine = nearest_triangles(scene.corners * (_FINE, _FINE, 1.0), _FINE * columns, _FINE * rows)
    cells = fine.triangle.reshape(rows, _FINE, columns, _FINE).transpose(0, 2, 1, 3).reshape(rows * columns, -1)
    depth = fine.depth.reshape(rows, _FINE, columns, _FINE).transpose(0, 2, 1, 3).reshape(rows * columns, -1)
    spots, joints = _spots(cells, depth, scene, columns)
    colour = lit(scene, spots.triangle, spots.seen)
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
    part = np.where(cells[:, 0] >= 0, scene.part[cells[:, 0]], -1).reshape(rows, columns)
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


def _spots(cells: Indexes, depth: npt.NDArray[np.float32], scene: Scene, columns: int) -> tuple[_Spots, Indexes]:
    """One spot in each pixel of one surface, one for each place in the others; and pixels where parts meet."""
    surface = np.where(cells >= 0, scene.part[cells] * _SURFACES + scene.surface[cells], -1)
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
    part = np.where(cells[mixed] >= 0, scene.part[cells[mixed]], -1)
    least = np.where(part < 0, part.max(axis=1, keepdims=True), part).min(axis=1)
    joints = mixed[least != part.max(axis=1)]
    return _Spots(pixel=pixel, share=share.astype(np.float32), triangle=triangle, seen=seen), joints
