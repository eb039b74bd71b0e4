"""One knife from one side: colour, cover and depth of each pixel, without anything round it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.design.design import Design
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.pictures.lit import Scene, lit, scene_of
from bladegeom.pictures.nearest import Foremost, Indexes, nearest_triangles
from bladegeom.pictures.shade import crease_shade
from bladegeom.pictures.silhouette import silhouette
from bladegeom.pictures.studio import Floats
from bladegeom.pictures.view import Camera, View

_FINE = 2
"""Places each way in a pixel at which it is asked what is seen."""

_SURFACES = 8
"""More than a part has surfaces that are worked apart."""

_PATCH = 1 << 18
"""Pixels that are worked together, about: so much and no more is held of what is needed for a moment."""

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
        depth: Towards the eye at the pixel's upper left, mm; -inf where there is none.
    """

    light: Floats
    cover: Floats
    depth: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class _Spots:
    """Places that are lit: pixel of the rows, its share, and the triangle seen there."""

    pixel: Indexes
    share: Floats
    triangle: Indexes
    seen: FloatArray


def shot(design: Design, solid: KnifeMesh, view: View, camera: Camera, columns: int, rows: int) -> Shot:
    """Light a knife."""
    scene = scene_of(design, solid, view, camera)
    corners = scene.corners * (_FINE, _FINE, 1.0)
    made = Shot(
        light=np.empty((rows, columns, 3), dtype=np.float32),
        cover=np.empty((rows, columns), dtype=np.float32),
        depth=np.empty((rows, columns), dtype=np.float32),
    )
    step = max(_PATCH // columns, 1)
    for top in range(0, rows, step):
        end = min(top + step, rows)
        fine = nearest_triangles(corners, _FINE * columns, range(_FINE * top, _FINE * end))
        _light_rows(made, scene, fine, slice(top, end))
    made.light[:] *= crease_shade(made.depth, camera.mm_per_pixel)[..., None]
    exact = np.zeros((rows, columns), dtype=np.float32)
    for each in solid.parts:
        flat = camera.seen(each.mesh.vertices)[:, :2]
        np.maximum(exact, silhouette(flat, each.mesh.triangles, columns, rows), out=exact)
    _rim(made, exact)
    return made


def _light_rows(made: Shot, scene: Scene, fine: Foremost, rows: slice) -> None:
    """Some rows of the picture, put in their place."""
    columns, count = made.cover.shape[1], rows.stop - rows.start
    shape, size = (count, _FINE, columns, _FINE), count * columns
    cells = fine.triangle.reshape(shape).transpose(0, 2, 1, 3).reshape(size, -1)
    depth = fine.depth.reshape(shape).transpose(0, 2, 1, 3).reshape(size, -1)
    spots, joints = _spots(cells, depth, scene, columns, rows.start)
    colour = lit(scene, spots.triangle, spots.seen)
    made.cover[rows] = np.bincount(spots.pixel, spots.share, size).reshape(count, columns)
    for i in range(3):
        made.light[rows, :, i] = np.bincount(spots.pixel, spots.share * colour[:, i], size).reshape(count, columns)
    made.light[rows].reshape(-1, 3)[joints] *= np.float32(_JOINT)
    made.depth[rows] = depth[:, 0].reshape(count, columns)


def _rim(made: Shot, exact: Floats) -> None:
    """Put the exact share of each pixel along the silhouette; where none is known the colour is of one beside it."""
    rim = np.flatnonzero((exact < _WHOLE) & ((exact > 0) | (made.cover > 0)))
    rows, columns = made.cover.shape
    light, cover = made.light.reshape(-1, 3), made.cover.ravel()
    colour, known = light[rim], cover[rim]
    row, column = rim // columns, rim % columns
    for down, right in ((-1, 0), (1, 0), (0, -1), (0, 1)):
        beside = (row + down) % rows * columns + (column + right) % columns
        bare = (known == 0) & (cover[beside] > 0)
        colour[bare], known[bare] = light[beside[bare]], cover[beside[bare]]
    share = np.where(known > 0, exact.ravel()[rim], np.float32(0))
    light[rim] = colour * (share / np.maximum(known, _LEAST))[:, None]
    cover[rim] = share


def _spots(cells: Indexes, depth: Floats, scene: Scene, columns: int, top: int) -> tuple[_Spots, Indexes]:
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
    seen[:, 0], seen[:, 1] = pixel % columns + offset[:, 0], top + pixel // columns + offset[:, 1]
    seen[:, 2] = np.concatenate([depth[whole].mean(axis=1), depth[mixed_pixel, place]])
    share = np.concatenate([np.ones(len(whole)), np.full(len(mixed_pixel), _FINE**-2)])
    triangle = np.concatenate([cells[whole, 0], cells[mixed_pixel, place]])
    part = np.where(cells[mixed] >= 0, scene.part[cells[mixed]], -1)
    least = np.where(part < 0, part.max(axis=1, keepdims=True), part).min(axis=1)
    joints = mixed[least != part.max(axis=1)]
    return _Spots(pixel=pixel, share=share.astype(np.float32), triangle=triangle, seen=seen), joints
