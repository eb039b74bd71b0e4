"""A flat piece of steel clamped along one upright line and loaded along another, by finite elements."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely.geometry.base import BaseGeometry

from bladegeom.bending.triangle_mesh import SNAP, BoolArray, IntArray, TriangleMesh
from bladegeom.bending.triangles import plate, quadratic
from bladegeom.bending.yielding import work_of_load
from bladegeom.curves.curve import FloatArray


@dataclass(frozen=True, kw_only=True)
class Deflection:
    """How far the load's place moves, for a unit load and a unit elastic modulus, 1/mm; infinite where nothing holds.

    As a ratio of two variants, 1.1 means that the first bends by 10 % more.

    Args:
        sideways: Out of the blade's plane.
        edgewise: In the blade's plane.
    """

    sideways: float
    edgewise: float

    def over(self, other: Deflection) -> Deflection:
        """Of this as a multiple of another."""
        return Deflection(sideways=self.sideways / other.sideways, edgewise=self.edgewise / other.edgewise)


@dataclass(frozen=True, kw_only=True, eq=False)
class Cantilever:
    """A mesh with a clamp and a load, which more or fewer of its triangles may bear.

    The load is spread evenly over the steel on its line; how far that moves is the mean there.

    Args:
        mesh: From the load's line, its left end, to the clamp, its right end.
        thickness: At each x, shape (n,) both, mm.
    """

    mesh: TriangleMesh
    thickness: Callable[[FloatArray], FloatArray]

    def bent(self, steel: BaseGeometry) -> Deflection:
        """With the steel of a region whose border the mesh follows; what nothing holds is left out."""
        mesh = self.mesh
        chosen = mesh.held(mesh.within(steel), self._clamped[mesh.edges].min(axis=1))
        borne = np.zeros(len(mesh.edges), dtype=bool)
        borne[mesh.sides[chosen]] = True
        x = mesh.xy[mesh.edges, 0]
        borne &= x.max(axis=1) < x.min() + SNAP / 4
        if not borne.any():
            return Deflection(sideways=math.inf, edgewise=math.inf)
        return Deflection(sideways=self._sideways(chosen, borne), edgewise=self._edgewise(chosen, borne))

    @cached_property
    def _clamped(self) -> BoolArray:
        """Which corners the clamp holds still, shape (n,)."""
        x = self.mesh.xy[:, 0]
        return np.asarray(x > x.max() - SNAP / 4)

    def _sideways(self, chosen: BoolArray, borne: BoolArray) -> float:
        mesh = self.mesh
        corners, edges = mesh.corners[chosen], mesh.edges[borne]
        stiffness = plate(mesh.xy[corners], self.thickness)
        load = np.zeros(len(mesh.xy))
        np.add.at(load, edges, np.abs(np.diff(mesh.xy[edges, 1])) / 2)
        return _give(mesh.xy[:, 0], self._clamped, corners, stiffness, np.outer(load, (1, 0, 0)))

    def _edgewise(self, chosen: BoolArray, borne: BoolArray) -> float:
        """With the middles of all edges as further nodes."""
        mesh = self.mesh
        count, edges = len(mesh.xy), mesh.edges
        nodes = np.concatenate([mesh.corners, count + mesh.sides], axis=1)[chosen]
        x = np.concatenate([mesh.xy[:, 0], mesh.xy[edges, 0].mean(axis=1)])
        clamped = np.concatenate([self._clamped, self._clamped[edges].all(axis=1)])
        stiffness = quadratic(mesh.xy[mesh.corners[chosen]], self.thickness)
        load, long = np.zeros(len(x)), np.abs(np.diff(mesh.xy[edges[borne], 1]))
        # Simpson's rule, as a quadratic displacement along the edge asks for.
        np.add.at(load, edges[borne], long / 6)
        load[count:][borne] = 4 * long[:, 0] / 6
        return _give(x, clamped, nodes, stiffness, np.outer(load, (0, 1)))


def _give(x: FloatArray, clamped: BoolArray, nodes: IntArray, stiffness: FloatArray, load: FloatArray) -> float:
    """How far nodes under some load move, for a load of 1 altogether.

    Args:
        x: Of n nodes, along which unknowns are numbered from the clamp on.
        clamped: Which of them are held still, shape (n,).
        nodes: Of m elements, shape (m, k).
        stiffness: Shape (m, k each, k each).
        load: On every unknown, in any unit, shape (n, each).
    """
    used = np.zeros(len(x), dtype=bool)
    used[nodes] = True
    free = np.flatnonzero(used & ~clamped)
    free = free[np.argsort(-x[free], kind="stable")]
    each = load.shape[1]
    number = np.full(len(x), -each)
    number[free] = each * np.arange(len(free))
    unknowns = (number[nodes][..., None] + np.arange(each)).reshape(len(nodes), -1)
    return work_of_load(unknowns, stiffness, load[free].ravel() / load[free].sum())
