"""One piece of a knife as a closed mesh."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bladegeom.quantities.materials import Material
from bladegeom.solids.mesh import Mesh
from bladegeom.solids.moments import Moments
from bladegeom.solids.part import G_PER_MM3

Kind = Literal["steel", "scale", "liner", "hardware"]


@dataclass(frozen=True, kw_only=True, eq=False)
class MeshPart:
    """One piece of a knife as a closed mesh.

    Args:
        name: As it is weighed by, and numbered where several have that name: "blade", "left scale", "pin 2".
        material: What it is made of.
        kind: "steel", "scale", "liner" or "hardware".
        mesh: Its surface, mm, in the frame of the design: x to the tip, y up, z out of the right face.

    >>> from bladegeom import mesh
    >>> part = mesh(knife).parts[1]
    >>> part.name, part.material.name, part.kind
    ('right scale', 'NEMA L', 'scale')
    """

    name: str
    material: Material
    kind: Kind
    mesh: Mesh

    @property
    def mass(self) -> Moments:
        """Moments of its mass, g and mm."""
        return self.mesh.moments.times(self.material.density_g_cm3 * G_PER_MM3)
