"""A closed surface of triangles, with what they enclose and with the directions of the smooth surface behind them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.solids.moments import Moments

Corners = npt.NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Mesh:
    """Triangles that enclose a solid; arrays in it cannot be written into.

    Args:
        vertices: Shape (n, 3), mm.
        triangles: Vertices of each, counter-clockwise seen from outside, shape (m, 3).
        patches: Number of the smooth surface that each is of, shape (m,); where it changes lies a crease.
        normals: Unit vectors out of that surface at the three vertices of each triangle, shape (m, 3, 3).

    >>> from bladegeom import mesh
    >>> steel = mesh(knife, "blank").parts[0].mesh
    >>> steel.triangles.shape == (len(steel.patches), 3)
    True
    """

    vertices: FloatArray
    triangles: Corners
    patches: Corners
    normals: FloatArray

    def __post_init__(self) -> None:
        for name, kind in (("vertices", float), ("triangles", int), ("patches", int), ("normals", float)):
            values: npt.NDArray[np.generic] = np.array(getattr(self, name), dtype=kind, order="C")
            values.flags.writeable = False
            object.__setattr__(self, name, values)

    @cached_property
    def moments(self) -> Moments:
        """Volume and its moments up to the second degree, of the triangles, by the divergence theorem: exact."""
        corners = self.vertices[self.triangles]
        a, b, c = corners.transpose(1, 0, 2)
        six = np.einsum("ij,ij->i", a, np.cross(b, c))
        total = corners.sum(axis=1)
        squares = np.einsum("i,ij,ik->jk", six, total, total) + np.einsum("i,inj,ink->jk", six, corners, corners)
        xx, yy, zz = np.diag(squares)
        second = np.array([xx, yy, zz, squares[0, 1], squares[0, 2], squares[1, 2]]) / 120
        return Moments(np.concatenate([[six.sum() / 6], six @ total / 24, second]))

    def mirrored(self) -> Mesh:
        """Mirrored in the middle plane z = 0."""
        flip = np.array([1.0, 1.0, -1.0])
        return Mesh(
            vertices=self.vertices * flip,
            triangles=self.triangles[:, ::-1],
            patches=self.patches,
            normals=self.normals[:, ::-1] * flip,
        )
