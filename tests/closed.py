"""What two other libraries say of a mesh, and where its upper and lower side stand over the plan."""

from __future__ import annotations

import manifold3d
import numpy as np
import shapely
import trimesh

from bladegeom.curves.curve import FloatArray
from bladegeom.solids.mesh import Corners, Mesh


def faults(mesh: Mesh) -> list[str]:
    """What either library holds against a mesh as a closed solid; empty where nothing."""
    seen = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    said = {"open": seen.is_watertight, "windings differ": seen.is_winding_consistent, "no volume": seen.is_volume}
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(np.array(mesh.vertices, order="C"), np.array(mesh.triangles, dtype=np.uint64, order="C"))
    )
    status = solid.status().name
    found = [fault for fault, fine in said.items() if not fine]
    if status != "NoError":
        return [*found, status]
    same = abs(solid.volume() / mesh.moments.amount - 1) < 1e-6
    return found if same else [*found, f"volumes {solid.volume():g} and {mesh.moments.amount:g} mm3"]


def lids(mesh: Mesh, *, up: bool) -> Corners:
    """Numbers of the triangles that look up, or down; not of those that stand upright."""
    a, b, c = mesh.vertices[mesh.triangles].transpose(1, 0, 2)
    rise = np.cross(b - a, c - a)[:, 2]
    return np.flatnonzero(rise > 1e-10 if up else rise < -1e-10)


def heights(mesh: Mesh, xy: FloatArray, *, up: bool) -> FloatArray:
    """Of the upper or lower side at places (n, 2), shape (n,), mm; NaN where there is none."""
    corners = mesh.vertices[mesh.triangles[lids(mesh, up=up)]]
    over = shapely.STRtree(np.atleast_1d(np.asarray(shapely.polygons(corners[..., :2]))))
    place, which = over.query(shapely.points(xy), predicate="intersects")
    a, b, c = corners[which].transpose(1, 0, 2)
    p, q, r = b - a, c - a, xy[place] - a[:, :2]
    det = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    u = (r[:, 0] * q[:, 1] - r[:, 1] * q[:, 0]) / det
    v = (p[:, 0] * r[:, 1] - p[:, 1] * r[:, 0]) / det
    z = np.full(len(xy), np.nan)
    z[place] = a[:, 2] + u * p[:, 2] + v * q[:, 2]
    return z


def seen_from_above(mesh: Mesh) -> shapely.geometry.base.BaseGeometry:
    """Its outline in the plan."""
    return shapely.union_all(shapely.polygons(mesh.vertices[mesh.triangles[lids(mesh, up=True)]][..., :2]))


def creases(mesh: Mesh) -> shapely.geometry.base.BaseGeometry:
    """Lines in the plan along which one smooth surface of the upper side ends."""
    triangles = mesh.triangles[lids(mesh, up=True)]
    patches = mesh.patches[lids(mesh, up=True)]
    ends = np.sort(np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2), axis=1)
    patch = np.repeat(patches, 3)
    order = np.lexsort((ends[:, 1], ends[:, 0]))
    ends, patch = ends[order], patch[order]
    same = (ends[1:] == ends[:-1]).all(axis=1)
    inner = np.zeros(len(ends), dtype=bool)
    inner[1:] |= same & (patch[1:] == patch[:-1])
    inner[:-1] |= same & (patch[1:] == patch[:-1])
    return shapely.MultiLineString(list(mesh.vertices[ends[~inner]][..., :2]))
