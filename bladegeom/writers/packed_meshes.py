"""Meshes as letters in a page: places in whole steps, directions, corners; what lies beside each other packs well."""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from bladegeom.solids.mesh import Mesh

STEP: Final = 0.002
"""In which places are told, mm: half of it is the most that one is off along an axis."""

_DIRECTION: Final = 1023
"""Steps from 0 to 1 of a direction, which is off by 0.03 degrees at most: less is not seen in a reflection."""

_ROOM: Final = 32
"""A step of a direction in the 16 bits that a graphics card takes."""

Whole = npt.NDArray[np.int64]


@dataclass(frozen=True)
class PackedMeshes:
    """Meshes on their way into a page.

    Args:
        letters: All arrays, packed (zlib, RFC 1950) and spelled in letters (base64, RFC 4648).
        told: Of each mesh where its arrays begin, and how many vertices, corners and triangles it has.
    """

    letters: str
    told: tuple[dict[str, Any], ...]


def packed_meshes(meshes: Iterable[Mesh]) -> PackedMeshes:
    """Pack some meshes; the same meshes give the same letters.

    A corner is a vertex with a direction: along a crease one vertex has several.
    """
    body, told = bytearray(), []
    for mesh in meshes:
        arrays, counts = _arrays(mesh)
        told.append({"place": len(body), **counts})
        for array in arrays:
            body += array.tobytes()
            body += bytes(-len(body) % 4)
    return PackedMeshes(base64.b64encode(zlib.compress(bytes(body), 9)).decode(), tuple(told))


def _arrays(mesh: Mesh) -> tuple[tuple[npt.NDArray[Any], ...], dict[str, int]]:
    vertices = np.rint(mesh.vertices / STEP).astype(np.int64)
    # Along a line of neighbours a place is near to the one before it.
    order = np.lexsort((vertices[:, 2], vertices[:, 1], vertices[:, 0]))
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    directions = np.rint(mesh.normals * _DIRECTION).astype(np.int64).reshape(-1, 3)
    each = np.column_stack([rank[mesh.triangles].ravel(), directions])
    corners, index = np.unique(each, axis=0, return_inverse=True)
    triangles = index.reshape(-1, 3)
    arrays = (
        *_columns(vertices[order], "<i4"),
        *_columns(corners[:, :1], "<u4"),
        *_columns(corners[:, 1:] * _ROOM, "<i2"),
        *_columns(triangles[np.lexsort(triangles.T[::-1])], "<u4"),
    )
    return arrays, {"vertices": len(vertices), "corners": len(corners), "triangles": len(triangles)}


def _columns(rows: Whole, kind: str) -> Iterator[npt.NDArray[Any]]:
    """The columns one behind the other, each number as how much more it is than the one before it."""
    more = np.diff(rows, axis=0, prepend=0)
    yield more.T.astype(kind)
