"""A solid between a lower and an upper surface over the cells of a side view, sewn face by face without booleans.

Cells meet in edges; each edge is lifted onto the surfaces of both. Where two of them run together they share one edge of
the solid, where they run apart a wall stands between them: along the border, and along a sharp plunge line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeWire
from OCP.BRepLib import BRepLib
from OCP.Geom import Geom_Plane, Geom_Surface, Geom_SurfaceOfLinearExtrusion
from OCP.Geom2d import Geom2d_Line
from OCP.gp import gp_Dir, gp_Dir2d, gp_Pln, gp_Pnt, gp_Pnt2d
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_FORWARD, TopAbs_REVERSED, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shell, TopoDS_Solid, TopoDS_Vertex, TopoDS_Wire

from bladegeom.breps.fit import Fitted, Law, Plane, surface_of
from bladegeom.breps.kernel import curve_in_space, curve_on_surface, straight_edge, surface, vertex
from bladegeom.breps.patch import Patch
from bladegeom.breps.plan import Plan, PlanCurve, PlanEdge, parameters
from bladegeom.breps.splines import dense, greville
from bladegeom.curves.curve import FloatArray

_TOGETHER = 2e-3
"""Surfaces that run this near to each other along an edge, or at a corner, meet there, mm."""

_ALONG = 2e-4
"""So near a lifted edge comes to its law, mm."""

_SPANS = 512
_CHECKS = 401
_END = 1e-7
_SHARES = np.linspace(0.0, 1.0, 33)
_HERE = TopLoc_Location()


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
            return dense(border.knots, parameters(border, curve(t)), 3) @ z
        inner = np.clip(t, first + _END * (last - first), last - _END * (last - first))
        return self.law(*curve(inner).T)

    def off(self, curve: PlanCurve, t: FloatArray, z: FloatArray) -> float:
        """Greatest distance of its surface from a curve with such heights."""
        if isinstance(self.surface, Patch):
            border, heights, _ = self.surface.along(curve)
            gap = np.column_stack([border(_even(border, t)) - curve(t), dense(border.knots, _even(border, t), 3) @ heights - z])
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


def layer(plan: Plan, cell: int, law: Law, *, upper: bool) -> Layer:
    """A layer with its surface."""
    return Layer(cell, law, surface_of(plan.cells[cell].polygon, law), upper)


def mirrored(of: Layer) -> Layer:
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


class Lift:
    """Builds one solid; see :func:`solid_between`."""

    def __init__(self, plan: Plan, layers: Sequence[Layer]) -> None:
        self.plan, self.layers = plan, layers
        self.of_cell = {(one.cell, one.upper): one for one in layers}
        self.heights: list[list[float]] = [[] for _ in plan.corners]
        self.lifted = [self._lift(number, edge) for number, edge in enumerate(plan.edges)]
        self._settle_corners()
        self.vertices: dict[tuple[int, int], TopoDS_Vertex] = {}
        self.uprights: dict[tuple[int, int], TopoDS_Edge] = {}
        self.build = BRep_Builder()
        for edge, rows in zip(plan.edges, self.lifted, strict=True):
            for one in rows:
                self._make_edge(edge, one)

    # Heights

    def _lift(self, number: int, edge: PlanEdge) -> list[Lifted]:
        """An edge on the surfaces of all cells beside it, from the lowest up, those together that meet in it."""
        first, last = edge.curve.ends
        t = first + (last - first) * _SHARES
        layers = [self.of_cell[cell, upper] for cell in self.plan.beside[number] for upper in (False, True)]
        z = [one.heights(edge.curve, t) for one in layers]
        order = sorted(range(len(layers)), key=lambda i: (float(z[i].mean()), layers[i].upper))
        groups: list[list[int]] = []
        for i in order:
            if groups and np.abs(z[groups[-1][0]] - z[i]).max() < _TOGETHER:
                groups[-1].append(i)
            else:
                groups.append([i])
        return [self._curve(edge, [layers[i] for i in group]) for group in groups]

    def _curve(self, edge: PlanEdge, layers: list[Layer]) -> Lifted:
        planes = [one.surface for one in layers if isinstance(one.surface, Plane)]
        if planes:
            return Lifted(layers, edge.curve, planes[0](*edge.curve.poles.T))
        for one in layers:
            if isinstance(one.surface, Patch):
                border, poles, _ = one.surface.along(edge.curve)
                return Lifted(layers, border, poles)
        count = 4
        while True:
            curve = _refined(edge.curve, count)
            t = greville(curve.knots, curve.degree)
            z = np.mean([one.heights(curve, t) for one in layers], axis=0)
            poles = np.linalg.solve(dense(curve.knots, t, curve.degree), z)
            between = (t[1:] + t[:-1]) / 2
            there = dense(curve.knots, between, curve.degree) @ poles
            off = np.abs(np.mean([one.heights(curve, between) for one in layers], axis=0) - there)
            if off.max() < _ALONG or count >= _SPANS:
                return Lifted(layers, curve, poles)
            count *= 2

    def _settle_corners(self) -> None:
        """Heights of solid corners over each corner of the side view; ends of edges that nearly meet there do."""
        ends: list[list[tuple[bool, float, Lifted, int]]] = [[] for _ in self.plan.corners]
        for edge, rows in zip(self.plan.edges, self.lifted, strict=True):
            for one in rows:
                plane = any(isinstance(layer.surface, Plane) for layer in one.layers)
                ends[edge.start].append((not plane, float(one.z[0]), one, 0))
                ends[edge.end].append((not plane, float(one.z[-1]), one, 1))
        for corner, rows in enumerate(ends):
            found: list[tuple[bool, float]] = []
            for curved, z, *_ in sorted(rows, key=lambda row: row[:2]):
                if not any(abs(z - other) < _TOGETHER for _, other in found):
                    found.append((curved, z))
            self.heights[corner] = sorted(z for _, z in found)
            for _, z, one, which in rows:
                nearest = int(np.abs(np.array(self.heights[corner]) - z).argmin())
                one.ends = (nearest, one.ends[1]) if which == 0 else (one.ends[0], nearest)
                if not any(isinstance(layer.surface, Plane) for layer in one.layers):
                    one.z[0 if which == 0 else -1] = self.heights[corner][nearest]

    # Edges

    def _vertex(self, corner: int, rank: int) -> TopoDS_Vertex:
        if (corner, rank) not in self.vertices:
            x, y = self.plan.corners[corner].tolist()
            self.vertices[corner, rank] = vertex((x, y, self.heights[corner][rank]))
        return self.vertices[corner, rank]

    def _make_edge(self, edge: PlanEdge, one: Lifted) -> None:
        start, end = self._vertex(edge.start, one.ends[0]), self._vertex(edge.end, one.ends[1])
        curve = one.curve
        poles = np.column_stack([curve.poles, one.z])
        self.build.MakeEdge(one.edge, curve_in_space(curve.knots, curve.degree, poles), 1e-7)
        self.build.Add(one.edge, start.Oriented(TopAbs_FORWARD))
        self.build.Add(one.edge, end.Oriented(TopAbs_REVERSED))
        self.build.Range(one.edge, *curve.ends)
        t = np.linspace(*curve.ends, _CHECKS)
        z = dense(curve.knots, t, curve.degree) @ one.z
        off = max(layer.off(curve, t, z) for layer in one.layers)
        if curve is not edge.curve:
            off = max(off, float(np.hypot(*(edge.curve(parameters(edge.curve, curve(t))) - curve(t)).T).max()))
        self.build.UpdateEdge(one.edge, max(1e-7, 1.2 * off))

    def _upright(self, corner: int, rank: int) -> TopoDS_Edge:
        """From one solid corner to the next above it."""
        if (corner, rank) not in self.uprights:
            self.uprights[corner, rank] = straight_edge(self._vertex(corner, rank), self._vertex(corner, rank + 1))
        return self.uprights[corner, rank]

    def _chain(self, corner: int, start: int, end: int) -> list[tuple[TopoDS_Edge, int]]:
        """Upright edges from one solid corner to another, oriented, with the rank of each one's lower end."""
        if start <= end:
            return [(self._upright(corner, rank), rank) for rank in range(start, end)]
        down = range(start - 1, end - 1, -1)
        return [(TopoDS.Edge(self._upright(corner, rank).Reversed()), rank) for rank in down]

    # Faces

    def faces(self) -> list[TopoDS_Face]:
        """All faces of the solid, outward."""
        out = [self._cell_face(one) for one in self.layers if not self._is_nothing(one.cell)]
        for number, edge in enumerate(self.plan.edges):
            out += self._walls(number, edge)
        return out

    def _is_nothing(self, cell: int) -> bool:
        """Whether no steel is left over a cell."""
        return False

    def _cell_face(self, one: Layer) -> TopoDS_Face:
        made = _surface(one.surface)
        face = TopoDS_Face()
        self.build.MakeFace(face, made, 1e-7)
        for wire in self.plan.cells[one.cell].wires:
            self.build.Add(face, self._wire(one, wire, made))
        return face if one.upper else TopoDS.Face(face.Reversed())

    def _wire(self, one: Layer, steps: Sequence[tuple[int, bool]], made: Geom_Surface) -> TopoDS_Wire:
        wire = TopoDS_Wire()
        self.build.MakeWire(wire)
        rows = [next(row for row in self.lifted[number] if one in row.layers) for number, _ in steps]
        for k, ((number, forward), lifted) in enumerate(zip(steps, rows, strict=True)):
            poles = one.pcurve(lifted.curve)
            if poles is not None:
                pcurve = curve_on_surface(lifted.curve.knots, lifted.curve.degree, poles)
                self.build.UpdateEdge(lifted.edge, pcurve, made, _HERE, 1e-7)
            self.build.Add(wire, lifted.edge if forward else lifted.edge.Reversed())
            follower, ahead = rows[(k + 1) % len(rows)], steps[(k + 1) % len(rows)][1]
            corner = self.plan.edges[number].end if forward else self.plan.edges[number].start
            start, end = lifted.ends[1 if forward else 0], follower.ends[0 if ahead else 1]
            self._close(one, wire, made, self._chain(corner, start, end), corner)
            if start == end and isinstance(one.surface, Patch):
                self._pinch(one.surface, wire, made, (lifted, forward), (follower, ahead), self._vertex(corner, start))
        wire.Closed(True)
        return wire

    def _close(
        self, one: Layer, wire: TopoDS_Wire, made: Geom_Surface, chain: list[tuple[TopoDS_Edge, int]], corner: int
    ) -> None:
        """Close a wire by the upright line in which a fan ends at its tip."""
        for upright, rank in chain:
            if not isinstance(one.surface, Patch):
                raise ValueError("a face stands at two heights at a corner")
            z = self.heights[corner]
            low, high = one.surface.poles[0, 0, 2], one.surface.poles[-1, 0, 2]
            f = (np.array([z[rank], z[rank + 1]]) - low) / (high - low)
            poles = np.column_stack([f, np.zeros(2)])
            size = z[rank + 1] - z[rank]
            pcurve = curve_on_surface(np.array([0.0, 0.0, size, size]), 1, poles)
            self.build.UpdateEdge(upright, pcurve, made, _HERE, 1e-7)
            self.build.Add(wire, upright)

    def _pinch(
        self,
        patch: Patch,
        wire: TopoDS_Wire,
        made: Geom_Surface,
        before: tuple[Lifted, bool],
        behind: tuple[Lifted, bool],
        corner: TopoDS_Vertex,
    ) -> None:
        """Close a wire where a whole side of a patch is one place."""
        start = patch.along(before[0].curve)[2][1 if before[1] else 0]
        end = patch.along(behind[0].curve)[2][0 if behind[1] else 1]
        if np.abs(start - end).max() < 0.5:
            return
        edge = TopoDS_Edge()
        self.build.MakeEdge(edge)
        ends = np.array([0.0, 0.0, 1.0, 1.0])
        self.build.UpdateEdge(edge, curve_on_surface(ends, 1, np.stack([start, end])), made, _HERE, 1e-7)
        self.build.Add(edge, corner.Oriented(TopAbs_FORWARD))
        self.build.Add(edge, corner.Oriented(TopAbs_REVERSED))
        self.build.Range(edge, made, _HERE, 0.0, 1.0)
        self.build.Degenerated(edge, True)
        self.build.Add(wire, edge)

    def _walls(self, number: int, edge: PlanEdge) -> list[TopoDS_Face]:
        """Upright faces between the heights of an edge where steel stands on one side of it only."""
        rows = self.lifted[number]
        rank = {id(layer): k for k, row in enumerate(rows) for layer in row.layers}
        sides = []
        for cell in self.plan.beside[number]:
            ahead = any((number, True) in wire for wire in self.plan.cells[cell].wires)
            low, high = (rank[id(self.of_cell[cell, upper])] for upper in (False, True))
            sides.append((ahead, low, high))
        out = []
        for k in range(len(rows) - 1):
            filled = [ahead for ahead, low, high in sides if low <= k < high]
            if len(filled) == 1:
                out.append(self._wall(edge, rows[k], rows[k + 1], left=filled[0]))
        return out

    def _wall(self, edge: PlanEdge, low: Lifted, high: Lifted, *, left: bool) -> TopoDS_Face:
        made = _upright_surface(edge.curve)
        face, wire = TopoDS_Face(), TopoDS_Wire()
        self.build.MakeFace(face, made, 1e-7)
        self.build.MakeWire(wire)
        for row, turned in ((low, False), (high, True)):
            if edge.curve.degree > 1:
                t = greville(row.curve.knots, row.curve.degree)
                u = np.linalg.solve(dense(row.curve.knots, t, row.curve.degree), parameters(edge.curve, row.curve(t)))
                poles = np.column_stack([u, row.z])
                pcurve = curve_on_surface(row.curve.knots, row.curve.degree, poles)
                self.build.UpdateEdge(row.edge, pcurve, made, _HERE, 1e-7)
            self.build.Add(wire, row.edge.Reversed() if turned else row.edge)
        first, last = edge.curve.ends
        for corner, u, start, end in (
            (edge.end, last, low.ends[1], high.ends[1]),
            (edge.start, first, high.ends[0], low.ends[0]),
        ):
            for upright, rank in self._chain(corner, start, end):
                if edge.curve.degree > 1:
                    line = Geom2d_Line(gp_Pnt2d(u, self.heights[corner][rank]), gp_Dir2d(0.0, 1.0))
                    self.build.UpdateEdge(upright, line, made, _HERE, 1e-7)
                self.build.Add(wire, upright)
        wire.Closed(True)
        self.build.Add(face, wire)
        return face if left else TopoDS.Face(face.Reversed())


def solid_between(plan: Plan, layers: Sequence[Layer]) -> TopoDS_Solid:
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


def _even(of: PlanCurve, t: FloatArray) -> FloatArray:
    first, last = of.ends
    return first + (last - first) * np.linspace(0.0, 1.0, len(t))


def _refined(curve: PlanCurve, count: int) -> PlanCurve:
    """The same curve, as a cubic, with its spans cut further."""
    raised = _raised(curve)
    breaks = np.unique(raised.knots)
    per = max(1, -(-count // (len(breaks) - 1)))
    more = np.concatenate([np.linspace(a, b, per + 1)[1:-1] for a, b in zip(breaks[:-1], breaks[1:], strict=True)])
    knots = np.sort(np.concatenate([raised.knots, more]))
    at = greville(knots)
    return PlanCurve(knots, 3, np.linalg.solve(dense(knots, at), raised(at)))


def _raised(curve: PlanCurve) -> PlanCurve:
    if curve.degree == 3:
        return curve
    if curve.degree != 1 or len(curve.poles) != 2:
        raise ValueError(curve.degree)
    first, last = curve.ends
    knots = np.concatenate([np.repeat(first, 4), np.repeat(last, 4)])
    return PlanCurve(knots, 3, curve.poles[0] + (curve.poles[1] - curve.poles[0]) * np.linspace(0, 1, 4)[:, None])


def _surface(of: Plane | Fitted | Patch) -> Geom_Surface:
    """With its normal upward."""
    if isinstance(of, Plane):
        return Geom_Plane(gp_Pln(gp_Pnt(0.0, 0.0, of.a), gp_Dir(-of.b, -of.c, 1.0)))
    if isinstance(of, Patch):
        return surface(of.u_knots, of.v_knots, (3, 3), of.poles)
    spline = of.spline
    u, v = np.meshgrid(greville(spline.u_knots), greville(spline.v_knots), indexing="ij")
    xy = of.xy(np.stack([u, v], axis=2).reshape(-1, 2)).reshape(*u.shape, 2)
    return surface(spline.u_knots, spline.v_knots, (3, 3), np.concatenate([xy, spline.poles[..., None]], axis=2))


def _upright_surface(curve: PlanCurve) -> Geom_Surface:
    """With its normal to the right of the curve's way."""
    if curve.degree == 1:
        (x, y), way = curve.poles[0].tolist(), curve.poles[1] - curve.poles[0]
        return Geom_Plane(gp_Pln(gp_Pnt(x, y, 0.0), gp_Dir(float(way[1]), float(-way[0]), 0.0)))
    flat = np.column_stack([curve.poles, np.zeros(len(curve.poles))])
    return Geom_SurfaceOfLinearExtrusion(curve_in_space(curve.knots, curve.degree, flat), gp_Dir(0.0, 0.0, 1.0))
