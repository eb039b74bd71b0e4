"""What a solid file holds: bodies with a name and a material, which brings the colour."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.quantities.materials import Material
from bladegeom.solids.mesh import Mesh


@dataclass(frozen=True, kw_only=True)
class SolidBody:
    """One closed body as the writers of solid files take it.

    Args:
        name: Of the part, such as "right scale".
        mesh: In mm.
        material: What it is made of; its colour stands for it.
    """

    name: str
    mesh: Mesh
    material: Material
