"""One solid as binary STL, which holds no unit, no name and no colour: mm are meant.

Source: the format's description of 1989 as commonly reprinted: 80 bytes, the number of triangles, then for each its
normal, three corners, all as 32-bit floats with the least byte first, and two bytes of nothing.
"""

from __future__ import annotations

import struct

import numpy as np

from bladegeom.quantities.lettering import one_line
from bladegeom.solids.mesh import Mesh

_HEADER = 80

_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("nothing", "<u2")])


def stl(mesh: Mesh, *, title: str) -> bytes:
    """A binary STL file in mm; the same solid gives the same bytes.

    Args:
        mesh: In mm.
        title: Stands in the header as far as it goes; what is no ASCII is left out.
    """
    # A header that begins with "solid" would be taken for the text form, and so would one without a zero.
    header = f"bladegeom, mm: {one_line(title)}".encode("ascii", errors="ignore")[: _HEADER - 1].ljust(_HEADER, b"\0")
    corners = mesh.vertices[mesh.triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(across, axis=1, keepdims=True)
    triangles = np.zeros(len(corners), _TRIANGLE)
    # Of a triangle without an area the format asks for no direction.
    triangles["normal"] = np.divide(across, length, out=np.zeros_like(across), where=length > 0)
    triangles["corners"] = corners
    return header + struct.pack("<I", len(corners)) + triangles.tobytes()
