"""Blades built as mesh solids by another library's booleans; they share no code with the weighing.

A face is given as a profile: height z over distance d from the edge. The steel above it is what is cut off: along each
chord of the edge a prism of the profile, at the ends and at inside corners of the edge a solid of revolution of it.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from manifold3d import CrossSection, FillRule, Manifold, OpType

from bladegeom import Knife
from bladegeom.curves.flatten import flatten

Array = npt.NDArray[np.float64]
Profile = Callable[[Array], Array]

CHORD = 0.002
"""Chord tolerance of the solids, mm: less than half of what the weighing takes."""


def solid_blade(knife: Knife, right: Profile | None, left: Profile | None, reach: float) -> Manifold:
    """The finished steel of a knife on parallel stock, without holes.

    Args:
        knife: Its outline, stock and plunge line are used, its faces are not.
        right: Half-thickness of the right side over the distance from the edge; None is left flat.
        left: Of the left side.
        reach: Distance at which the profiles reach the stock, mm.
    """
    half = knife.stock.thickness / 2
    plate = _plate(flatten(knife.outline.loop, CHORD)[:-1], half)
    edge = flatten(knife.outline.edge, CHORD)
    for profile, mirror in ((right, False), (left, True)):
        if profile is not None:
            cutter = Manifold.batch_boolean([*_chips(edge, profile, reach, half)], OpType.Add) ^ _ahead(knife, half)
            plate -= cutter.mirror([0.0, 0.0, 1.0]) if mirror else cutter
    return plate


def rounded_off(border: Array, face: Profile, reach: float, top: float) -> Manifold:
    """All that lies above a face which is a height over the distance from an open border, up to ``top``.

    Args:
        border: Points (n, 2), the solid to its left, mm.
        face: Height over the distance, steepest at the border.
        reach: Distance at which it reaches the flat, mm.
        top: mm.
    """
    return Manifold.batch_boolean(_chips(border, face, reach, top - 1.0, steep=True), OpType.Add)


def solid_layer(loop: Array, inside: Profile, outside: Profile, step: float) -> Manifold:
    """What lies between two faces over a loop, its triangles no longer than ``step``; flat between their corners.

    Args:
        loop: Border as points (n, 2), counter-clockwise, not closed, mm.
        inside: Height of the lower face at places (n, 2), mm.
        outside: Of the upper one.
        step: mm.
    """

    def lifted(xyz: Array) -> Array:
        low, high = inside(xyz[:, :2]), outside(xyz[:, :2])
        return np.column_stack([xyz[:, :2], low + (high - low) * xyz[:, 2] / step])

    # One step thick, so that the wall is not cut into layers.
    block = Manifold.extrude(CrossSection([loop.tolist()], FillRule.NonZero), step).refine_to_length(step)
    return block.warp_batch(lifted)


def turned(x: float, y: float, *section: tuple[float, float]) -> Manifold:
    """A solid of revolution about the upright line through a place, by its section (r, z), counter-clockwise.

    Its polygons of 256 sides have the area of the circle.
    """
    sides = 256
    wider = float(np.sqrt(2 * np.pi / (sides * np.sin(2 * np.pi / sides))))
    profile = CrossSection([[(r * wider, z) for r, z in section]], FillRule.NonZero)
    return Manifold.revolve(profile, sides).translate([x, y, 0.0])


def properties(solid: Manifold) -> tuple[float, Array, Array]:
    """Volume, centroid (3,), and second moments about the centroid (3, 3), from the triangles of the surface.

    Source: divergence theorem over the tetrahedra from the origin to each triangle, e.g. Tonon 2004.
    """
    mesh = solid.to_mesh()
    p = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    a, b, c = (p[np.asarray(mesh.tri_verts)[:, i]] for i in range(3))
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    total = float(volume.sum())
    centre = (volume[:, None] * (a + b + c)).sum(axis=0) / (4 * total)
    second = np.zeros((3, 3))
    for u, v in ((a, a), (b, b), (c, c), (a + b + c, a + b + c)):
        second += np.einsum("n,ni,nj->ij", volume, u, v) / 20
    return total, centre, second - total * np.outer(centre, centre)


def _plate(loop: Array, half: float) -> Manifold:
    section = CrossSection([loop.tolist()], FillRule.NonZero)
    return Manifold.extrude(section, 2 * half).translate([0.0, 0.0, -half])


def _chips(edge: Array, profile: Profile, reach: float, half: float, *, steep: bool = False) -> list[Manifold]:
    d = np.linspace(0.0, reach, 2 if _is_straight(profile, reach) else 65)
    if steep:
        d = reach * np.linspace(0.0, 1.0, 129) ** 2
    z = profile(d)
    top = half + 1.0
    upper = [(float(v), float(h)) for v, h in zip(d, z, strict=True)]
    both = [(-v, h) for v, h in upper[:0:-1]] + upper + [(reach, top), (-reach, top)]
    across = CrossSection([both], FillRule.NonZero)
    around = CrossSection([[*upper, (reach, top), (0.0, top)]], FillRule.NonZero)
    knob, small_knob = Manifold.revolve(around, 360), Manifold.revolve(around, 72)
    out = []
    steps = np.diff(edge, axis=0)
    for start, step in zip(edge[:-1], steps, strict=True):
        length, angle = float(np.hypot(*step)), float(np.degrees(np.arctan2(step[1], step[0])))
        # The extrusion runs along z: stand the section up, so that it runs along the chord, d to its left.
        prism = Manifold.extrude(across, length).rotate([90.0, 0.0, 90.0]).rotate([0.0, 0.0, angle])
        out.append(prism.translate([float(start[0]), float(start[1]), 0.0]))
    turn = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    # At an inside corner of the chords only a sliver of it shows.
    out += [knob.translate([float(x), float(y), 0.0]) for x, y in (edge[0], edge[-1])]
    out += [small_knob.translate([float(x), float(y), 0.0]) for x, y in edge[1:-1][turn < 0]]
    return out


def _is_straight(profile: Profile, reach: float) -> bool:
    z = profile(np.array([0.0, reach / 2, reach]))
    return abs(float(z[0] - 2 * z[1] + z[2])) < 1e-12


def _ahead(knife: Knife, half: float) -> Manifold:
    """Half space in front of the plunge line."""
    x, y = knife.plunge_line.start
    block = Manifold.cube([1000.0, 1000.0, 4 * half + 10]).translate([0.0, -500.0, -2 * half - 5])
    return block.rotate([0.0, 0.0, -knife.grind.plunge.lean_deg]).translate([x, y, 0.0])
