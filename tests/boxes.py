"""A knife of boxes: a bar of steel between two slabs with a rod through them, whose every distance is known."""

from __future__ import annotations

from typing import Final

from specimens import bar_outline, ground
from test_mesh import box

from bladegeom.design.design import Design
from bladegeom.knife.grind import STAGES, Stage
from bladegeom.knife.scales import Scales
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.meshes.mesh_part import MeshPart
from bladegeom.quantities.materials import material
from bladegeom.solids.mesh import Mesh

LOW: Final = (-100.0, -30.0, -2.0)
HIGH: Final = (200.0, 0.0, 2.0)
"""Corners of the steel."""

SLAB: Final = 8.0
"""Thickness of a slab on either side of it, mm."""


def box_between(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    """A box by its lowest and its highest corner."""
    return box((high[0] - low[0], high[1] - low[1], high[2] - low[2]), low)


def knife_of_boxes(stage: Stage) -> KnifeMesh:
    """The steel at a stage, from the finished one on with its handle; the blank is as long, but a mm thicker."""
    more = 0.5 if stage == "blank" else 0.0
    steel = box_between((*LOW[:2], LOW[2] - more), (*HIGH[:2], HIGH[2] + more))
    parts = [MeshPart(name="blade", material=material("1084"), kind="steel", mesh=steel)]
    if stage in ("finished", "sharp"):
        right = box_between((-100.0, -30.0, 2.0), (0.0, 0.0, 2.0 + SLAB))
        walnut = material("Juglans nigra")
        parts += [
            MeshPart(name="right scale", material=walnut, kind="scale", mesh=right),
            MeshPart(name="left scale", material=walnut, kind="scale", mesh=right.mirrored()),
            MeshPart(
                name="pin 1",
                material=material("C26000"),
                kind="hardware",
                mesh=box_between((-50.0, -18.0, -2.0 - SLAB), (-44.0, -12.0, 2.0 + SLAB)),
            ),
        ]
    return KnifeMesh(parts=tuple(parts), stage=stage, tolerance=0.02)


def stages_of_boxes() -> dict[Stage, KnifeMesh]:
    """All stages of it, in the order of the work."""
    return {stage: knife_of_boxes(stage) for stage in STAGES}


def design_of_boxes() -> Design:
    """A design of these sizes, so that there is a name, a revision and a weight."""
    return Design(ground(bar_outline(), plunge=0.0, scales=Scales(slab="Juglans nigra", thickness=SLAB)))
