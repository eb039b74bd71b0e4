"""Faces sewn to one solid."""

from __future__ import annotations

from collections.abc import Sequence

from OCP.BRep import BRep_Builder
from OCP.BRepLib import BRepLib
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shell, TopoDS_Solid

from bladegeom.breps.layers import Layer
from bladegeom.breps.lift import Lift
from bladegeom.breps.plan import CellPlan


def solid_between(plan: CellPlan, layers: Sequence[Layer]) -> TopoDS_Solid:
    """The solid between the lower and the upper layer of every cell."""
    lift = Lift(plan, layers)
    build = BRep_Builder()
    shell, solid = TopoDS_Shell(), TopoDS_Solid()
    build.MakeShell(shell)
    for face in lift.faces():
        build.Add(shell, face)
    shell.Closed(True)
    build.MakeSolid(solid)
    build.Add(solid, shell)
    BRepLib.UpdateTolerances_s(solid, False)
    return solid


def merged(solid: TopoDS_Solid) -> TopoDS_Solid:
    """The same with flat faces that lie in one plane as one face."""
    joined = ShapeUpgrade_UnifySameDomain(solid, True, True, False)
    joined.Build()
    explorer = TopExp_Explorer(joined.Shape(), TopAbs_SOLID)
    return TopoDS.Solid(explorer.Current())
