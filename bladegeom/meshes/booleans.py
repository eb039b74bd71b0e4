"""Closed meshes less one another, or what they share, with the surfaces of all of them told apart as before.

The library counts in double precision and its results are closed whatever meets whatever. Normals of the smooth
surfaces go through it with the corners, so that they are the laws' own at every corner that was there before, and
straight between those at a new one.
"""

from __future__ import annotations

from collections.abc import Sequence

import manifold3d
import numpy as np

from bladegeom.quantities.solid_errors import MeshError
from bladegeom.solids.mesh import Mesh


def less(mesh: Mesh, others: Sequence[Mesh]) -> Mesh:
    """A mesh less some others, which may overlap.

    Args:
        mesh: What is cut.
        others: What is taken away.

    Returns:
        The mesh itself where there are no others; a mesh without triangles where nothing is left.

    Raises:
        MeshError: One of them is not closed.
    """
    if not others:
        return mesh
    solids = [_manifold(mesh), *(_manifold(_turned_out(other)) for other in others)]
    return _mesh(manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Subtract))


def common(mesh: Mesh, other: Mesh) -> Mesh:
    """What two meshes share.

    Raises:
        MeshError: One of them is not closed.
    """
    return _mesh(manifold3d.Manifold.batch_boolean([_manifold(mesh), _manifold(other)], manifold3d.OpType.Intersect))


def together(meshes: Sequence[Mesh]) -> Mesh:
    """All of some meshes as one, which may overlap.

    Raises:
        MeshError: One of them is not closed.
    """
    return _mesh(manifold3d.Manifold.batch_boolean([_manifold(mesh) for mesh in meshes], manifold3d.OpType.Add))


def _turned_out(mesh: Mesh) -> Mesh:
    """With normals that point into it: what it leaves is the wall of a hole."""
    return Mesh(vertices=mesh.vertices, triangles=mesh.triangles, patches=mesh.patches, normals=-mesh.normals)


def _manifold(mesh: Mesh) -> manifold3d.Manifold:
    """Each corner of each triangle by itself, for it has a normal of its own, and which of them are one place."""
    corners = mesh.triangles.ravel()
    own = np.arange(len(corners), dtype=np.uint64)
    first = np.empty(len(mesh.vertices), dtype=np.uint64)
    first[corners[::-1]] = own[::-1]  # of corners at one place the last one written stays, which is the first
    again = own != first[corners]
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(
            np.concatenate([mesh.vertices[corners], mesh.normals.reshape(-1, 3)], axis=1),
            own.reshape(-1, 3),
            merge_from_vert=own[again],
            merge_to_vert=first[corners][again],
            run_index=np.array([0, len(corners)], dtype=np.uint64),
            run_original_id=np.array([manifold3d.Manifold.reserve_ids(1)], dtype=np.uint32),
            face_id=mesh.patches.astype(np.uint64),
        )
    )
    if solid.status() != manifold3d.Error.NoError:
        raise MeshError(f"a mesh that is to be cut is not closed: {solid.status().name}")
    return solid


def _mesh(solid: manifold3d.Manifold) -> Mesh:
    """With corners of one place joined again, and its surfaces numbered anew from 0."""
    found = solid.to_mesh64()
    properties, corners = np.asarray(found.vert_properties), np.asarray(found.tri_verts).astype(np.int64)
    to = np.arange(len(properties))
    to[np.asarray(found.merge_from_vert).astype(np.int64)] = np.asarray(found.merge_to_vert).astype(np.int64)
    corners_at = to[corners]
    used = np.zeros(len(properties), dtype=bool)
    used[corners_at] = True
    number = np.cumsum(used) - 1
    normals = properties[corners, 3:6]
    long = np.linalg.norm(normals, axis=2, keepdims=True)
    return Mesh(
        vertices=properties[used, :3],
        triangles=number[corners_at],
        patches=_surfaces(found),
        normals=normals / np.where(long > 0, long, 1.0),
    )


def _surfaces(found: manifold3d.Mesh64) -> np.ndarray:
    """A number for each surface of each mesh, in the order in which they came."""
    run = np.asarray(found.run_index).astype(np.int64) // 3
    whose = np.repeat(np.asarray(found.run_original_id).astype(np.int64), np.diff(run))
    face = np.asarray(found.face_id).astype(np.int64)
    return np.asarray(np.unique(whose * (face.max(initial=0) + 1) + face, return_inverse=True)[1])
