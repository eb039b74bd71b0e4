"""The steel at a stage of the work as a closed mesh, by the laws that weigh it."""

from __future__ import annotations

import shapely

from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.side import Side
from bladegeom.meshes.height_mesh import height_mesh
from bladegeom.meshes.plan import Block
from bladegeom.meshes.steel_face import SteelFace
from bladegeom.meshes.steel_regions import SteelRegion, steel_regions
from bladegeom.quantities.tolerances import CHORD
from bladegeom.solids.mesh import Mesh

_BORDER = 0.25
"""How far borders may lie from their curves, in tolerances; at most as far as those that the weighing goes by."""


@memo
def steel_mesh(knife: Knife, stage: Stage = "finished", tolerance: float = 0.02, *, textured: bool = True) -> Mesh:
    """The steel as one closed mesh.

    Edges of the mesh run along outline, holes, plunge line and the end of its hollow, along grind lines and whatever
    other lines part one face from the next, borders of textures and stations of a taper. Corners within a round face
    stand off it by as much as makes the mesh hold what the law does.

    Args:
        knife: The knife.
        stage: Of the work.
        tolerance: Greatest distance of the mesh from the steel, > 0 mm.
        textured: Whether textures are sunk into steel that is ground to size, as a flat floor at the depth at which it
            takes out as much as :func:`bladegeom.grinding.zones.placed_zones` tells. :func:`weigh` leaves them out.

    Raises:
        CurveError: The tolerance is not positive.
        ParameterError: The plunge line misses the steel, or a face cannot be ground.

    >>> from bladegeom import weigh
    >>> mesh = steel_mesh(knife, "finished", 0.02, textured=False)
    >>> abs(mesh.moments.amount / weigh(knife).finished.amount - 1) < 0.0005
    True
    """
    chord = min(CHORD, _BORDER * tolerance)
    right, left = knife.side(stage, "right", chord=chord), knife.side(stage, "left", chord=chord)
    sunk = textured and stage in ("finished", "sharp")
    regions = steel_regions(knife, (right, left), chord, tolerance, textured=sunk)
    alike = knife.grind.only is None
    return height_mesh([_block(region, right, left, alike=alike) for region in regions], tolerance)


def _block(region: SteelRegion, right: Side, left: Side, *, alike: bool) -> Block:
    """A region between its two sides.

    Args:
        region: Part of the side view.
        right: The upper side.
        left: The lower one.
        alike: Whether both are ground alike.
    """
    upper, lower = (
        SteelFace(
            side=side,
            ground=region.ground,
            in_hollow=region.in_hollow,
            sunk=sunk,
            up=side is right,
            number=region.number,
        )
        for side, sunk in zip((right, left), region.sunk, strict=True)
    )
    mirrored = alike and upper.sunk == lower.sunk
    lines = tuple(shapely.intersection(row, region.shape) for row in region.rows)
    return Block(region=region.shape, upper=upper, lower=None if mirrored else lower, lines=lines)
