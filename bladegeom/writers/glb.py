"""Solids as binary glTF, for whatever shows things in the round: metres, y up, a node for each part.

Source: Khronos glTF 2.0 specification (ISO/IEC 12113): 3.3 JSON, 3.4 coordinates and units, 3.6 accessors and their
alignment, 3.7 meshes, 3.9 materials, 4.4 the GLB container.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.appearances import appearance_of
from bladegeom.quantities.lettering import one_line
from bladegeom.solids.mesh import Mesh
from bladegeom.writers.solid_body import SolidBody

_M_PER_MM: Final = 0.001

_FLOAT, _WHOLE = 5126, 5125
_VERTICES, _INDICES = 34962, 34963
_JSON, _BINARY = 0x4E4F534A, 0x004E4942

_ALIKE: Final = 3
"""Decimals of a normal up to which two corners are one: 0.06 degrees, own choice."""


def glb(bodies: Sequence[SolidBody], *, title: str) -> bytes:
    """A binary glTF file; the same bodies give the same bytes.

    Corners are split where surfaces meet at a crease, so that flats look flat and roundings round.

    Args:
        bodies: One node each, at least one; x to the tip and y up as everywhere, mm.
        title: Name of the node that holds them.
    """
    buffer = _Buffer()
    meshes = [_mesh(body, buffer, number) for number, body in enumerate(bodies)]
    names = [one_line(body.name) for body in bodies]
    whole = len(bodies)
    document = {
        "asset": {"version": "2.0", "generator": "bladegeom"},
        "scene": 0,
        "scenes": [{"nodes": [whole]}],
        "nodes": [
            *({"name": name, "mesh": number} for number, name in enumerate(names)),
            {"name": one_line(title), "children": list(range(whole))},
        ],
        "meshes": meshes,
        "materials": [_material(body) for body in bodies],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    return _container(json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode(), bytes(buffer.data))


class _Buffer:
    """The binary part as it grows, with a view and an accessor for each of its arrays."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, int]] = []
        self.accessors: list[dict[str, Any]] = []

    def put(self, values: npt.NDArray[np.float32] | npt.NDArray[np.uint32], target: int) -> int:
        """An array of triples or of whole numbers; its accessor's number. All of them are of four bytes, so aligned."""
        content = values.astype(values.dtype.newbyteorder("<")).tobytes()
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(content), "target": target})
        self.data += content
        accessor: dict[str, Any] = {"bufferView": len(self.views) - 1, "count": len(values)}
        if target == _VERTICES:
            low, high = values.min(axis=0).tolist(), values.max(axis=0).tolist()
            accessor |= {"componentType": _FLOAT, "type": "VEC3", "min": low, "max": high}
        else:
            accessor |= {"componentType": _WHOLE, "type": "SCALAR"}
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _mesh(body: SolidBody, buffer: _Buffer, material: int) -> dict[str, Any]:
    places, normals, corners = _split(body.mesh)
    attributes = {
        "POSITION": buffer.put((places * _M_PER_MM).astype(np.float32), _VERTICES),
        "NORMAL": buffer.put(normals.astype(np.float32), _VERTICES),
    }
    indices = buffer.put(corners.astype(np.uint32), _INDICES)
    return {
        "name": one_line(body.name),
        "primitives": [{"attributes": attributes, "indices": indices, "material": material}],
    }


def _split(mesh: Mesh) -> tuple[FloatArray, FloatArray, npt.NDArray[np.int64]]:
    """Places (n, 3), normals (n, 3), and corners of all triangles in a row; a place once for each direction it has."""
    normals = mesh.normals.reshape(-1, 3)
    keys = np.column_stack([mesh.triangles.ravel(), np.round(normals * 10**_ALIKE).astype(np.int64)])
    kept, first, corners = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    return mesh.vertices[kept[:, 0]], normals[first], corners.ravel()


def _material(body: SolidBody) -> dict[str, Any]:
    seen = appearance_of(body.material)
    return {
        "name": one_line(body.material.name),
        "pbrMetallicRoughness": {
            "baseColorFactor": [*map(_light, seen.colour), 1.0],
            "metallicFactor": float(seen.metal),
            "roughnessFactor": round(1.0 - seen.gloss, 3),
        },
    }


def _light(shown: int) -> float:
    """A screen's sign, 0 to 255, as the share of light that glTF's factors are; source: IEC 61966-2-1."""
    sign = shown / 255
    return round(sign / 12.92 if sign <= 0.04045 else ((sign + 0.055) / 1.055) ** 2.4, 6)


def _container(document: bytes, binary: bytes) -> bytes:
    # Chunks end at whole fours: JSON with spaces, the rest with zeros.
    document += b" " * (-len(document) % 4)
    binary += b"\0" * (-len(binary) % 4)
    length = 12 + 8 + len(document) + 8 + len(binary)
    return b"".join(
        (
            struct.pack("<4sII", b"glTF", 2, length),
            struct.pack("<II", len(document), _JSON),
            document,
            struct.pack("<II", len(binary), _BINARY),
            binary,
        )
    )
