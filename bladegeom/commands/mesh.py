"""A design or a knife as closed meshes."""

from __future__ import annotations

from bladegeom.design.design import Design
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.meshes.knife_mesh import KnifeMesh, knife_mesh
from bladegeom.quantities.declared import checked


def mesh(design: Design | Knife, stage: Stage = "finished", tolerance: float = 0.02) -> KnifeMesh:
    """Every piece of the knife as a closed mesh of triangles, by the same laws that weigh it.

    Outline, grind line, plunge, edge and the rims of holes are edges of the triangles. Holes and pins are polygons of
    the circles' own areas. Before it is finished a knife is its steel alone.

    Args:
        design: The design, or its knife.
        stage: Of the work: "blank", "rough", "finished" or "sharp".
        tolerance: Greatest distance of a mesh from the laws, 0.002 to 1 mm.

    Raises:
        ParameterError: Something else than a design or a knife, or such a tolerance.
        UnknownNameError: No such stage.
        MeshError: A piece that no closed mesh can stand for; the message says where.

    >>> whole = mesh(design)
    >>> [part.name for part in whole.parts]
    ['blade', 'right scale', 'left scale', 'pin 1', 'pin 2']
    >>> [part.name for part in mesh(knife, "blank").parts]
    ['blade']
    >>> from bladegeom import weigh
    >>> off = mesh(design, tolerance=0.05).mass.amount / weigh(knife).total.amount - 1
    >>> abs(off) < 0.001
    True
    """
    checked("mesh: design", design, Design | Knife)
    return knife_mesh(design.knife if isinstance(design, Design) else design, stage, tolerance)
