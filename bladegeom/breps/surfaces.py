"""The kernel's surfaces of layers and walls."""

from __future__ import annotations

import itertools

import numpy as np
from OCP.Geom import Geom_Plane, Geom_Surface, Geom_SurfaceOfLinearExtrusion
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

from bladegeom.breps.fit import Fitted, Plane
from bladegeom.breps.kernel import curve_in_space, surface
from bladegeom.breps.patch import Patch
from bladegeom.breps.plan import PlanCurve
from bladegeom.breps.splines import dense, greville


def with_knots(curve: PlanCurve, count: int) -> PlanCurve:
    """The same curve, as a cubic, with its spans cut further."""
    raised = _raised(curve)
    breaks = np.unique(raised.knots)
    per = max(1, -(-count // (len(breaks) - 1)))
    more = np.concatenate([np.linspace(a, b, per + 1)[1:-1] for a, b in itertools.pairwise(breaks)])
    knots = np.sort(np.concatenate([raised.knots, more]))
    at = greville(knots)
    return PlanCurve(knots, 3, np.asarray(np.linalg.solve(dense(knots, at), raised(at)), dtype=np.float64))


def _raised(curve: PlanCurve) -> PlanCurve:
    if curve.degree == 3:
        return curve
    if curve.degree != 1 or len(curve.poles) != 2:
        raise ValueError(curve.degree)
    first, last = curve.ends
    knots = np.concatenate([np.repeat(first, 4), np.repeat(last, 4)])
    return PlanCurve(knots, 3, curve.poles[0] + (curve.poles[1] - curve.poles[0]) * np.linspace(0, 1, 4)[:, None])


def layer_surface(of: Plane | Fitted | Patch) -> Geom_Surface:
    """With its normal upward."""
    if isinstance(of, Plane):
        return Geom_Plane(gp_Pln(gp_Pnt(0.0, 0.0, of.a), gp_Dir(-of.b, -of.c, 1.0)))
    if isinstance(of, Patch):
        return surface(of.u_knots, of.v_knots, (3, 3), of.poles)
    spline = of.spline
    u, v = np.meshgrid(greville(spline.u_knots), greville(spline.v_knots), indexing="ij")
    xy = of.xy(np.stack([u, v], axis=2).reshape(-1, 2)).reshape(*u.shape, 2)
    return surface(spline.u_knots, spline.v_knots, (3, 3), np.concatenate([xy, spline.poles[..., None]], axis=2))


def upright_surface(curve: PlanCurve) -> Geom_Surface:
    """With its normal to the right of the curve's way."""
    if curve.degree == 1:
        (x, y), way = curve.poles[0].tolist(), curve.poles[1] - curve.poles[0]
        return Geom_Plane(gp_Pln(gp_Pnt(x, y, 0.0), gp_Dir(float(way[1]), float(-way[0]), 0.0)))
    flat = np.column_stack([curve.poles, np.zeros(len(curve.poles))])
    return Geom_SurfaceOfLinearExtrusion(curve_in_space(curve.knots, curve.degree, flat), gp_Dir(0.0, 0.0, 1.0))
