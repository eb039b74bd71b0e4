"""A knife at a stage of the work as closed meshes, one for each piece of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.grind import HANDLED, STAGES, Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.mass.unweighed import unweighed
from bladegeom.meshes.handle_mesh import handle_meshes
from bladegeom.meshes.mesh_part import MeshPart
from bladegeom.meshes.steel_mesh import steel_mesh
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Between, InUnit
from bladegeom.solids.moments import NOTHING, Moments

MeshTolerance = Annotated[float, Between(0.002, 1.0), InUnit("mm")]
"""Finer ones tell nothing that could be made, coarser ones lose the bevels; own choice."""


@dataclass(frozen=True, kw_only=True, eq=False)
class KnifeMesh:
    """A knife at a stage of the work as closed meshes.

    Args:
        parts: The steel first, then scales, liners and hardware of a finished or sharp knife.
        stage: Of the work.
        tolerance: Greatest distance of the meshes from the laws that weigh the knife, mm.
        lacks: What belongs to the knife at that stage and is no part of the design, as "handle block".

    >>> from bladegeom import mesh
    >>> whole = mesh(knife)
    >>> [part.name for part in whole.parts]
    ['blade', 'right scale', 'left scale', 'pin 1', 'pin 2']
    >>> low, high = whole.bounds
    >>> round(float(high[0] - low[0])), whole["pin 2"].material.name
    (228, 'C26000')
    """

    parts: tuple[MeshPart, ...]
    stage: Stage
    tolerance: float
    lacks: tuple[str, ...] = ()

    def __getitem__(self, name: str) -> MeshPart:
        """A part by its name.

        Raises:
            UnknownNameError: There is no such part at this stage.
        """
        for part in self.parts:
            if part.name == name:
                return part
        raise UnknownNameError("part of the mesh", name, [part.name for part in self.parts])

    @property
    def bounds(self) -> tuple[FloatArray, FloatArray]:
        """Least and greatest x, y, z of all parts, shape (3,) both, mm."""
        low = np.min([part.mesh.vertices.min(axis=0) for part in self.parts], axis=0)
        high = np.max([part.mesh.vertices.max(axis=0) for part in self.parts], axis=0)
        return low, high

    @property
    def mass(self) -> Moments:
        """Moments of mass of all parts, g and mm: of the meshes, and so within their tolerance of the weighing."""
        return sum((part.mass for part in self.parts), NOTHING)


def knife_mesh(knife: Knife, stage: Stage = "finished", tolerance: float = 0.02) -> KnifeMesh:
    """As the public :func:`bladegeom.mesh`, of a knife."""
    checked("mesh: knife", knife, Knife)
    if stage not in STAGES:
        raise UnknownNameError("stage", stage, STAGES)
    return _knife_mesh(knife, stage, checked("mesh: tolerance", tolerance, MeshTolerance))


@memo
def _knife_mesh(knife: Knife, stage: Stage, tolerance: float) -> KnifeMesh:
    steel = MeshPart(
        name="blade", material=knife.stock.material, kind="steel", mesh=steel_mesh(knife, stage, tolerance)
    )
    if stage not in HANDLED:
        return KnifeMesh(parts=(steel,), stage=stage, tolerance=tolerance)
    parts = (steel, *handle_meshes(knife, tolerance))
    return KnifeMesh(parts=parts, stage=stage, tolerance=tolerance, lacks=unweighed(knife))
