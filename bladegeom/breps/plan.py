"""A side view cut into cells by crease lines: edges, corners and cells in numbers, cut by the kernel in the plane."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Splitter
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher as Numbers
from OCP.collections import List_TopoDS_Shape
from OCP.Geom import Geom_TrimmedCurve
from OCP.GeomConvert import GeomConvert
from OCP.gp import gp_Pln, gp_Pnt
from OCP.TopAbs import (
    TopAbs_EDGE,
    TopAbs_FACE,
    TopAbs_FORWARD,
    TopAbs_REVERSED,
    TopAbs_ShapeEnum,
    TopAbs_VERTEX,
    TopAbs_WIRE,
)
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire
from shapely import Polygon

from bladegeom.breps.kernel import curve_in_space
from bladegeom.breps.splines import basis, clamped, dense
from bladegeom.curves.curve import Curve, FloatArray

_STRAIGHT = 1e-7
"""A Bezier whose control points lie this near to its chord is a straight line, mm."""

_TOUCHING = 2e-5
"""Lines that run this near to each other are one, mm: where one begins at another and leaves it as a tangent."""


@dataclass(frozen=True, eq=False)
class PlanCurve:
    """A B-spline in the plane: knots, degree, poles (n, 2)."""

    knots: FloatArray
    degree: int
    poles: FloatArray

    def __call__(self, t: FloatArray) -> FloatArray:
        """Places (m, 2)."""
        first, weights = basis(self.knots, t, self.degree)
        near = self.poles[first[:, None] + np.arange(self.degree + 1)]
        return np.asarray(np.einsum("ma,mad->md", weights, near))

    @property
    def ends(self) -> tuple[float, float]:
        """First and last parameter."""
        return float(self.knots[0]), float(self.knots[-1])

    @cached_property
    def samples(self) -> FloatArray:
        """Places along it, closely, (m, 2)."""
        if self.degree == 1:
            return self.poles
        breaks = np.unique(self.knots)
        share = np.linspace(0.0, 1.0, max(3, 48 // (len(breaks) - 1) + 2))[:-1]
        t = (breaks[:-1, None] + np.diff(breaks)[:, None] * share).ravel()
        return self(np.append(t, breaks[-1]))


def line_through(points: FloatArray) -> PlanCurve:
    """The cubic spline through places (n, 2), n >= 2."""
    if len(points) < 4:
        return PlanCurve(np.array([0.0, 0.0, 1.0, 1.0]), 1, points[[0, -1]])
    at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    knots = np.concatenate([np.repeat(at[0], 4), at[2:-2], np.repeat(at[-1], 4)])
    return PlanCurve(knots, 3, np.asarray(np.linalg.solve(dense(knots, at), points), dtype=np.float64))


def parameters_at(curve: PlanCurve, places: FloatArray) -> FloatArray:
    """Where places (n, 2) that lie on a curve stand on it, (n,)."""
    first, last = curve.ends
    if curve.degree == 1 and len(curve.poles) == 2:
        way = curve.poles[1] - curve.poles[0]
        return np.asarray(first + (last - first) * np.clip((places - curve.poles[0]) @ way / (way @ way), 0.0, 1.0))
    t = np.linspace(first, last, 400)
    line = curve(t)
    out = t[np.hypot(*(places[:, None] - line).transpose(2, 0, 1)).argmin(axis=1)]
    step = (last - first) * 1e-6
    for _ in range(8):
        low, high = np.clip(out - step, first, last), np.clip(out + step, first, last)
        way = (curve(high) - curve(low)) / (high - low)[:, None]
        size = np.einsum("nk,nk->n", way, way)
        gap = np.einsum("nk,nk->n", places - curve(out), way)
        out = np.clip(out + np.divide(gap, size, out=np.zeros_like(gap), where=size > 1e-18), first, last)
    return np.asarray(out)


def pieces_of(curve: Curve) -> list[PlanCurve]:
    """A chain of Beziers one by one, straight ones as lines."""
    out = []
    for piece in curve.pieces:
        chord = piece[3] - piece[0]
        across = np.array([-chord[1], chord[0]]) / max(float(np.hypot(*chord)), 1e-12)
        off = np.abs((piece[1:3] - piece[0]) @ across)
        straight = off.max() < _STRAIGHT
        ends = np.array([0.0, 0.0, 1.0, 1.0])
        out.append(PlanCurve(ends, 1, piece[[0, 3]]) if straight else PlanCurve(clamped(ends[1:3]), 3, piece))
    return out


@dataclass(frozen=True, eq=False)
class PlanEdge:
    """A stretch of border or crease between two corners, by their numbers."""

    curve: PlanCurve
    start: int
    end: int


@dataclass(frozen=True, eq=False)
class PlanCell:
    """A cell: its wires, each as numbers of edges with whether they are travelled forward; the outer one first."""

    wires: tuple[tuple[tuple[int, bool], ...], ...]
    polygon: Polygon


@dataclass(frozen=True, eq=False)
class CellPlan:
    """Corners (n, 2), how far round each its edges may meet (n,), edges, and the cells between them."""

    corners: FloatArray
    loose: FloatArray
    edges: tuple[PlanEdge, ...]
    cells: tuple[PlanCell, ...]

    @cached_property
    def beside(self) -> dict[int, list[int]]:
        """The cells beside each edge."""
        out: dict[int, list[int]] = {}
        for number, cell in enumerate(self.cells):
            for wire in cell.wires:
                for edge, _ in wire:
                    out.setdefault(edge, []).append(number)
        return out


def cut(border: Curve, creases: Sequence[PlanCurve]) -> CellPlan:
    """Cells of a closed line, counter-clockwise, cut by creases that may run beyond it."""
    wire = BRepBuilderAPI_MakeWire()
    for curve in pieces_of(border):
        wire.Add(_edge(curve))
    face = BRepBuilderAPI_MakeFace(gp_Pln(), wire.Wire()).Face()
    shape: TopoDS_Shape = face
    if creases:
        whole, tools = List_TopoDS_Shape(), List_TopoDS_Shape()
        whole.Append(face)
        for crease in creases:
            tools.Append(_edge(crease))
        splitter = BRepAlgoAPI_Splitter()
        splitter.SetArguments(whole)
        splitter.SetTools(tools)
        splitter.SetFuzzyValue(_TOUCHING)
        splitter.Build()
        shape = splitter.Shape()
    return _read(shape)


def _edge(curve: PlanCurve) -> TopoDS_Edge:
    if curve.degree == 1:
        start, end = (gp_Pnt(x, y, 0.0) for x, y in curve.poles.tolist())
        return BRepBuilderAPI_MakeEdge(start, end).Edge()
    flat = np.column_stack([curve.poles, np.zeros(len(curve.poles))])
    return BRepBuilderAPI_MakeEdge(curve_in_space(curve.knots, curve.degree, flat)).Edge()


def _read(shape: TopoDS_Shape) -> CellPlan:
    """Numbers of what the kernel made."""
    corners, edges, faces = (_numbered(shape, kind) for kind in (TopAbs_VERTEX, TopAbs_EDGE, TopAbs_FACE))
    places = [BRep_Tool.Pnt_s(TopoDS.Vertex(corner)) for corner in _all(corners)]
    # Where one line leaves another as a tangent, they may touch once more close by, which is the corner all the same.
    loose = [BRep_Tool.Tolerance_s(TopoDS.Vertex(corner)) for corner in _all(corners)]
    lines = [TopoDS.Edge(edge.Oriented(TopAbs_FORWARD)) for edge in _all(edges)]
    plan_edges = tuple(
        PlanEdge(
            _plan_curve(edge),
            corners.FindIndex(TopExp.FirstVertex_s(edge)) - 1,
            corners.FindIndex(TopExp.LastVertex_s(edge)) - 1,
        )
        for edge in lines
    )
    cells = []
    for face in _all(faces):
        flat = TopoDS.Face(face.Oriented(TopAbs_FORWARD))
        wires = [_walked(TopoDS.Wire(wire), flat, edges) for wire in _explored(flat, TopAbs_WIRE)]
        wires = [wire for wire in wires if len(wire) > 1 or _closes(wire, plan_edges)]
        cells.append(_cell(wires, plan_edges))
    return CellPlan(np.array([(place.X(), place.Y()) for place in places]), np.array(loose), plan_edges, tuple(cells))


def _walked(wire: TopoDS_Wire, face: TopoDS_Face, edges: Numbers) -> tuple[tuple[int, bool], ...]:
    """Edges of a wire in order, by their numbers, with whether each is travelled forward."""
    walk, steps = BRepTools_WireExplorer(wire, face), []
    while walk.More():
        edge = walk.Current()
        steps.append((edges.FindIndex(edge) - 1, edge.Orientation() != TopAbs_REVERSED))
        walk.Next()
    return tuple(steps)


def _closes(wire: Sequence[tuple[int, bool]], edges: Sequence[PlanEdge]) -> bool:
    return len(wire) == 1 and edges[wire[0][0]].start == edges[wire[0][0]].end


def _numbered(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> Numbers:
    numbers = Numbers()
    TopExp.MapShapes_s(shape, kind, numbers)
    return numbers


def _all(numbers: Numbers) -> list[TopoDS_Shape]:
    return [numbers.FindKey(i) for i in range(1, numbers.Extent() + 1)]


def _cell(wires: list[tuple[tuple[int, bool], ...]], edges: Sequence[PlanEdge]) -> PlanCell:
    rings = [
        np.concatenate([edges[e].curve.samples if ahead else edges[e].curve.samples[::-1] for e, ahead in wire])
        for wire in wires
    ]
    polygons = [Polygon(ring) for ring in rings]
    outer = int(np.argmax([polygon.area for polygon in polygons]))
    order = [outer, *(i for i in range(len(wires)) if i != outer)]
    return PlanCell(tuple(wires[i] for i in order), _region(Polygon(rings[outer], [rings[i] for i in order[1:]])))


def _region(sampled: Polygon) -> Polygon:
    """Without the specks by which samples of two lines cross where these meet."""
    if sampled.is_valid:
        return sampled
    # Twice: a collection may hold several polygons as one part.
    parts = shapely.get_parts(shapely.get_parts(shapely.make_valid(sampled))).tolist()
    return max((part for part in parts if isinstance(part, Polygon)), key=lambda part: part.area, default=sampled)


def _plan_curve(edge: TopoDS_Edge) -> PlanCurve:
    first, last = _range(edge)
    curve = GeomConvert.CurveToBSplineCurve_s(Geom_TrimmedCurve(BRep_Tool.Curve_s(edge, 0.0, 1.0), first, last))
    poles = np.array([[curve.Pole(i).X(), curve.Pole(i).Y()] for i in range(1, curve.NbPoles() + 1)])
    knots = np.repeat(
        [curve.Knot(i) for i in range(1, curve.NbKnots() + 1)],
        [curve.Multiplicity(i) for i in range(1, curve.NbKnots() + 1)],
    )
    return PlanCurve(knots, curve.Degree(), poles)


def _range(edge: TopoDS_Edge) -> tuple[float, float]:
    adaptor = BRepAdaptor_Curve(edge)
    return adaptor.FirstParameter(), adaptor.LastParameter()


def _explored(shape: TopoDS_Shape, kind: object) -> list[TopoDS_Shape]:
    explorer, out = TopExp_Explorer(shape, kind), []
    while explorer.More():
        out.append(explorer.Current())
        explorer.Next()
    return out
