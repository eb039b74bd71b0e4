"""What every mesh of a knife must be, as two libraries that know nothing of each other say, and random handles."""

from __future__ import annotations

import dataclasses
from typing import Any

import any_knives
import fastened
import manifold3d
import numpy as np
import specimens
import trimesh
from hypothesis import strategies as st

from bladegeom.knife.fastener import Fastener
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Rounding, Scales
from bladegeom.mass.weigh import weigh
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.meshes.mesh_part import MeshPart
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
from bladegeom.solids.mesh import Mesh
from bladegeom.solids.moments import NOTHING, Moments


def manifold(mesh: Mesh) -> manifold3d.Manifold:
    """The same for the second library, in double precision."""
    return manifold3d.Manifold(manifold3d.Mesh64(mesh.vertices.copy(), mesh.triangles.astype(np.uint64)))


def require_sound(part: MeshPart) -> None:
    """Closed, wound one way, with volume, and with directions of the surface that have the length of 1."""
    mesh = part.mesh
    seen = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert seen.is_watertight, part.name
    assert seen.is_winding_consistent, part.name
    solid = manifold(mesh)
    assert solid.status() == manifold3d.Error.NoError, part.name
    assert solid.volume() > 0, part.name
    assert np.isclose(solid.volume(), mesh.moments.amount), part.name
    assert np.allclose(np.linalg.norm(mesh.normals, axis=2), 1.0), part.name


def require_directions(part: MeshPart) -> None:
    """Directions of the surface point out of it, each surface has one at a place, and no face is one with its back."""
    mesh = part.mesh
    a, b, c = mesh.vertices[mesh.triangles].transpose(1, 0, 2)
    across = np.cross(b - a, c - a)
    double = np.linalg.norm(across, axis=1)
    longest = np.max([np.linalg.norm(end - start, axis=1) for start, end in ((a, b), (b, c), (c, a))], axis=0)
    told = double > 0.05 * longest  # a sliver has no direction of its own
    assert np.einsum("nd,nkd->nk", across[told] / double[told, None], mesh.normals[told]).min() > 0.8, part.name
    corner = np.column_stack([mesh.triangles.ravel(), np.repeat(mesh.patches, 3)])
    _, first, same = np.unique(corner, axis=0, return_index=True, return_inverse=True)
    directions = mesh.normals.reshape(-1, 3)
    assert (directions * directions[first][same.ravel()]).sum(axis=1).min() > 0.95, part.name
    if part.kind != "hardware":
        up, down = (mesh.patches[(sign * mesh.normals[:, :, 2] > 0.5).all(axis=1)] for sign in (1, -1))
        assert not set(up) & set(down), part.name


def joined_as_weighed(whole: KnifeMesh) -> dict[tuple[str, str], Moments]:
    """Volumes by name and material of the weighing, which takes alike pieces of hardware together."""
    found: dict[tuple[str, str], Moments] = {}
    for part in whole.parts:
        name = part.name
        if part.kind == "hardware":
            words = [word for word in name.split() if word not in ("right", "left") and not word.isdigit()]
            name = " ".join(words).replace("screw", "screws")
        key = name, part.material.name
        found[key] = found.get(key, NOTHING) + part.mesh.moments
    return found


def require_as_weighed(knife: Knife, whole: KnifeMesh, *, share: float = 5e-4, off: float = 0.03) -> None:
    """Every part holds as much as the weighing says, and its centre lies where that says."""
    found = joined_as_weighed(whole)
    weighed = {(part.name, part.material.name): part.volume for part in weigh(knife).parts}
    assert set(found) == set(weighed)
    for key, volume in weighed.items():
        assert abs(found[key].amount / volume.amount - 1) < share, key
        assert np.abs(np.subtract(found[key].centre, volume.centre)).max() < off, key


def shared(first: MeshPart, second: MeshPart) -> float:
    """Volume that two parts share, mm3."""
    both = manifold3d.Manifold.batch_boolean([manifold(first.mesh), manifold(second.mesh)], manifold3d.OpType.Intersect)
    return float(both.volume())


@st.composite
def roundings(draw: st.DrawFn, widest: float, deepest: float) -> Rounding:
    """Any arc that a scale of some thickness may have."""
    width = draw(st.floats(0.5, widest))
    return Rounding(width=width, depth=draw(st.floats(0.3, min(width, deepest))))


@st.composite
def handles(draw: st.DrawFn) -> Knife:
    """Any full tang with scales contoured in any way, leaning and bowed fronts, tapers, hardware and a thong's hole."""
    kind = draw(st.sampled_from([name for name in any_knives.HANDLES if not has_hidden_tang((get(name)(),))]))
    halves: list[Any] = [get("drop_point")(), get(kind)()]
    knife = specimens.ground(join_halves(*halves), height=14.0)
    x0, y0, _, _ = knife.outline.bounds
    thick = draw(st.floats(6.0, 10.0))
    scales = Scales(
        slab="NEMA L",
        thickness=thick,
        liners=draw(st.sampled_from([(), fastened.LINERS])),
        swell=draw(st.sampled_from([(), ((x0, 0.8 * thick), (0.6 * x0, thick), (0.0, 0.75 * thick))])),
        rounding=tuple(draw(st.lists(roundings(14.0, 0.2 * thick), max_size=3))),
        front_rounding=draw(st.none() | roundings(4.0, 0.1 * thick)),
    )
    hardware = draw(st.lists(st.sampled_from([fastened.PIN, fastened.TUBE, fastened.BOLT]), max_size=3))
    places = (0.2, 0.45, 0.7)
    made: Knife = dataclasses.replace(
        knife,
        scales=scales,
        stock=dataclasses.replace(knife.stock, taper=draw(st.sampled_from([(), ((x0, 2.0), (-10.0, 4.0))]))),
        front_lean_deg=draw(st.sampled_from([0.0, 8.0, -12.0])),
        front_bow=draw(st.sampled_from([0.0, 1.5, -1.5])),
        fasteners=tuple(
            Fastener(x=share * x0, y=0.5 * y0, hardware=each, made="drilled")
            for share, each in zip(places, hardware, strict=False)
        ),
        holes=draw(st.sampled_from([(), (Hole(x=0.85 * x0, y=0.5 * y0, diameter=5.0, purpose="lanyard"),)])),
    )
    return made
