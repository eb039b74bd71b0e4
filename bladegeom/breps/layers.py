"""What a cell of a side view is bounded by from above or below: its law, and the surface that stands for it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from OCP.TopoDS import TopoDS_Edge

from bladegeom.breps.fit import Fitted, Law, Plane, surface_of
from bladegeom.breps.patch import Patch
from bladegeom.breps.plan import CellPlan, PlanCurve, parameters_at
from bladegeom.breps.splines import dense, greville
from bladegeom.curves.curve import FloatArray

_END = 1e-7
"""At the ends of a border a law is asked so far inside, as a share of it: two laws may end there."""


@dataclass(frozen=True, eq=False)
class Layer:
    """What a cell is bounded by from one side.

    Args:
        law: Height at places.
        surface: The same as a plane or a spline.
        upper: Whether the steel lies below it.
        sign: -1 where it mirrors the law in the middle plane.
    """

    cell: int
    law: Law
    surface: Plane | Fitted | Patch
    upper: bool

    def heights(self, curve: PlanCurve, t: FloatArray) -> FloatArray:
        """By the law along a curve of its border, (n,)."""
        first, last = curve.ends
        if isinstance(self.surface, Patch):
            border, z, _ = self.surface.along(curve)
            return dense(border.knots, parameters_at(border, curve(t)), 3) @ z
        inner = np.clip(t, first + _END * (last - first), last - _END * (last - first))
        return self.law(*curve(inner).T)

    def off(self, curve: PlanCurve, t: FloatArray, z: FloatArray) -> float:
        """Greatest distance of its surface from a curve with such heights."""
        if isinstance(self.surface, Patch):
            border, heights, _ = self.surface.along(curve)
            gap = np.column_stack(
                [border(_even(border, t)) - curve(t), dense(border.knots, _even(border, t), 3) @ heights - z]
            )
            return float(np.linalg.norm(gap, axis=1).max())
        return float(np.abs(self.surface(*curve(t).T) - z).max())

    def pcurve(self, curve: PlanCurve) -> FloatArray | None:
        """Poles (n, 2) of a curve of its border in the surface's parameters; None where it is a plane."""
        if isinstance(self.surface, Plane):
            return None
        if isinstance(self.surface, Fitted):
            return self.surface.uv(curve.poles)
        _, _, (start, end) = self.surface.along(curve)
        first, last = curve.ends
        share = (greville(curve.knots, curve.degree) - first) / (last - first)
        return np.asarray(start + (end - start) * share[:, None])


@dataclass(eq=False)
class Lifted:
    """An edge of the side view at one height: its curve in space, and the layers that meet in it."""

    layers: list[Layer]
    curve: PlanCurve
    z: FloatArray
    edge: TopoDS_Edge = field(default_factory=TopoDS_Edge)
    ends: tuple[int, int] = (0, 0)

    @property
    def is_straight(self) -> bool:
        """Whether it is a straight line in space."""
        return self.curve.degree == 1


def layer(plan: CellPlan, cell: int, law: Law, *, upper: bool) -> Layer:
    """A layer with its surface."""
    return Layer(cell, law, surface_of(plan.cells[cell].polygon, law), upper)


def layer_mirrored(of: Layer) -> Layer:
    """The same in the middle plane."""
    s = of.surface
    if isinstance(s, Plane):
        turned: Plane | Fitted | Patch = Plane(-s.a, -s.b, -s.c)
    elif isinstance(s, Patch):
        turned = s.mirrored()
    else:
        spline = type(s.spline)(s.spline.u_knots, s.spline.v_knots, -s.spline.poles)
        turned = Fitted(spline, s.cos, s.sin, s.off)
    return Layer(of.cell, lambda x, y: -of.law(x, y), turned, not of.upper)


def _even(of: PlanCurve, t: FloatArray) -> FloatArray:
    first, last = of.ends
    return first + (last - first) * np.linspace(0.0, 1.0, len(t))
