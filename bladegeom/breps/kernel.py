"""The OCC kernel's curves, surfaces and edges from arrays."""

from __future__ import annotations

import numpy as np
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex
from OCP.collections import Array1_double, Array1_gp_Pnt, Array1_gp_Pnt2d, Array1_int, Array2_gp_Pnt
from OCP.Geom import Geom_BSplineCurve, Geom_BSplineSurface
from OCP.Geom2d import Geom2d_BSplineCurve
from OCP.gp import gp_Pnt, gp_Pnt2d
from OCP.TopoDS import TopoDS_Edge, TopoDS_Vertex

from bladegeom.curves.curve import FloatArray

CLOSE = 1e-6
"""Within which the kernel's edges and vertices are made to meet where nothing is approximated, mm."""


def curve_in_space(knots: FloatArray, degree: int, poles: FloatArray) -> Geom_BSplineCurve:
    """A B-spline through space: poles (n, 3)."""
    array = Array1_gp_Pnt(1, len(poles))
    for i, (x, y, z) in enumerate(poles.tolist(), start=1):
        array.SetValue(i, gp_Pnt(x, y, z))
    return Geom_BSplineCurve(array, *_knots(knots), degree)


def curve_on_surface(knots: FloatArray, degree: int, poles: FloatArray) -> Geom2d_BSplineCurve:
    """A B-spline in the parameters of a surface: poles (n, 2)."""
    array = Array1_gp_Pnt2d(1, len(poles))
    for i, (u, v) in enumerate(poles.tolist(), start=1):
        array.SetValue(i, gp_Pnt2d(u, v))
    return Geom2d_BSplineCurve(array, *_knots(knots), degree)


def surface(
    u_knots: FloatArray, v_knots: FloatArray, degrees: tuple[int, int], poles: FloatArray
) -> Geom_BSplineSurface:
    """A B-spline surface: poles (nu, nv, 3)."""
    rows, columns, _ = poles.shape
    array = Array2_gp_Pnt(1, rows, 1, columns)
    for i, row in enumerate(poles.tolist(), start=1):
        for j, (x, y, z) in enumerate(row, start=1):
            array.SetValue(i, j, gp_Pnt(x, y, z))
    (uk, um), (vk, vm) = _knots(u_knots), _knots(v_knots)
    return Geom_BSplineSurface(array, uk, vk, um, vm, *degrees)


def vertex(place: tuple[float, float, float], tolerance: float = CLOSE) -> TopoDS_Vertex:
    """A corner."""
    made = BRepBuilderAPI_MakeVertex(gp_Pnt(*place)).Vertex()
    BRep_Builder().UpdateVertex(made, tolerance)
    return made


def straight_edge(start: TopoDS_Vertex, end: TopoDS_Vertex) -> TopoDS_Edge:
    """From one corner to another."""
    return BRepBuilderAPI_MakeEdge(start, end).Edge()


def _knots(knots: FloatArray) -> tuple[Array1_double, Array1_int]:
    values, counts = np.unique(knots, return_counts=True)
    places, times = Array1_double(1, len(values)), Array1_int(1, len(values))
    for i, (value, count) in enumerate(zip(values.tolist(), counts.tolist(), strict=True), start=1):
        places.SetValue(i, value)
        times.SetValue(i, count)
    return places, times
