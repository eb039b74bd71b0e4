"""A solid between a lower and an upper surface over the cells of a side view, sewn face by face without booleans.

Cells meet in edges; each edge is lifted onto the surfaces of both. Where two of them run together they share one edge
of the solid, where they run apart a wall stands between them: along the border, and along a sharp plunge line.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from OCP.BRep import BRep_Builder
from OCP.Geom import Geom_Surface
from OCP.Geom2d import Geom2d_Line
from OCP.gp import gp_Dir2d, gp_Pnt2d
from OCP.TopAbs import TopAbs_FORWARD, TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Vertex, TopoDS_Wire

from bladegeom.breps.fit import Plane
from bladegeom.breps.kernel import CLOSE, curve_in_space, curve_on_surface, straight_edge, vertex
from bladegeom.breps.layers import Layer, Lifted
from bladegeom.breps.patch import Patch
from bladegeom.breps.plan import CellPlan, PlanCurve, PlanEdge, parameters_at
from bladegeom.breps.splines import dense, greville
from bladegeom.breps.surfaces import layer_surface, upright_surface, with_knots
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


class Lift:
    """Builds one solid; see :func:`solid_between`."""

    def __init__(self, plan: CellPlan, layers: Sequence[Layer]) -> None:
        self.plan, self.layers = plan, layers
        self.of_cell = {(layer.cell, layer.upper): layer for layer in layers}
        self.heights: list[list[float]] = [[] for _ in plan.corners]
        self.lifted = [self._lift(number, edge) for number, edge in enumerate(plan.edges)]
        self._settle_corners()
        self.vertices: dict[tuple[int, int], TopoDS_Vertex] = {}
        self.uprights: dict[tuple[int, int], TopoDS_Edge] = {}
        self.build = BRep_Builder()
        for edge, rows in zip(plan.edges, self.lifted, strict=True):
            for row in rows:
                self._make_edge(edge, row)

    # Heights

    def _lift(self, number: int, edge: PlanEdge) -> list[Lifted]:
        """An edge on the surfaces of all cells beside it, from the lowest up, those together that meet in it."""
        first, last = edge.curve.ends
        t = first + (last - first) * _SHARES
        layers = [self.of_cell[cell, upper] for cell in self.plan.beside.get(number, ()) for upper in (False, True)]
        z = [layer.heights(edge.curve, t) for layer in layers]
        order = sorted(range(len(layers)), key=lambda i: (float(z[i].mean()), layers[i].upper))
        groups: list[list[int]] = []
        for i in order:
            if groups and np.abs(z[groups[-1][0]] - z[i]).max() < _TOGETHER:
                groups[-1].append(i)
            else:
                groups.append([i])
        return [self._curve(edge, [layers[i] for i in group]) for group in groups]

    def _curve(self, edge: PlanEdge, layers: list[Layer]) -> Lifted:
        planes = [layer.surface for layer in layers if isinstance(layer.surface, Plane)]
        if planes:
            return Lifted(layers, edge.curve, planes[0](*edge.curve.poles.T))
        for layer in layers:
            if isinstance(layer.surface, Patch):
                border, poles, _ = layer.surface.along(edge.curve)
                return Lifted(layers, border, poles)
        count = 4
        while True:
            curve = with_knots(edge.curve, count)
            t = greville(curve.knots, curve.degree)
            z = np.mean([layer.heights(curve, t) for layer in layers], axis=0)
            poles = np.asarray(np.linalg.solve(dense(curve.knots, t, curve.degree), z), dtype=np.float64)
            between = (t[1:] + t[:-1]) / 2
            there = dense(curve.knots, between, curve.degree) @ poles
            off = np.abs(np.mean([layer.heights(curve, between) for layer in layers], axis=0) - there)
            if off.max() < _ALONG or count >= _SPANS:
                return Lifted(layers, curve, poles)
            count *= 2

    def _settle_corners(self) -> None:
        """Heights of solid corners over each corner of the side view; ends of edges that nearly meet there do."""
        ends: list[list[tuple[bool, float, Lifted, int]]] = [[] for _ in self.plan.corners]
        for edge, rows in zip(self.plan.edges, self.lifted, strict=True):
            for row in rows:
                plane = any(isinstance(layer.surface, Plane) for layer in row.layers)
                ends[edge.start].append((not plane, float(row.z[0]), row, 0))
                ends[edge.end].append((not plane, float(row.z[-1]), row, 1))
        for corner, meeting in enumerate(ends):
            found: list[tuple[bool, float]] = []
            for curved, z, *_ in sorted(meeting, key=lambda row: row[:2]):
                if not any(abs(z - other) < _TOGETHER for _, other in found):
                    found.append((curved, z))
            self.heights[corner] = sorted(z for _, z in found)
            for _, z, row, which in meeting:
                nearest = int(np.abs(np.array(self.heights[corner]) - z).argmin())
                row.ends = (nearest, row.ends[1]) if which == 0 else (row.ends[0], nearest)
                if not any(isinstance(layer.surface, Plane) for layer in row.layers):
                    row.z[0 if which == 0 else -1] = self.heights[corner][nearest]

    # Edges

    def _vertex(self, corner: int, rank: int) -> TopoDS_Vertex:
        if (corner, rank) not in self.vertices:
            x, y = self.plan.corners[corner].tolist()
            self.vertices[corner, rank] = vertex(
                (x, y, self.heights[corner][rank]), max(CLOSE, float(self.plan.loose[corner]))
            )
        return self.vertices[corner, rank]

    def _make_edge(self, edge: PlanEdge, row: Lifted) -> None:
        start, end = self._vertex(edge.start, row.ends[0]), self._vertex(edge.end, row.ends[1])
        curve = row.curve
        poles = np.column_stack([curve.poles, row.z])
        self.build.MakeEdge(row.edge, curve_in_space(curve.knots, curve.degree, poles), 1e-7)
        self.build.Add(row.edge, start.Oriented(TopAbs_FORWARD))
        self.build.Add(row.edge, end.Oriented(TopAbs_REVERSED))
        self.build.Range(row.edge, *curve.ends)
        t = np.linspace(*curve.ends, _CHECKS)
        z = dense(curve.knots, t, curve.degree) @ row.z
        off = max(layer.off(curve, t, z) for layer in row.layers)
        if curve is not edge.curve:
            off = max(off, float(np.hypot(*(edge.curve(parameters_at(edge.curve, curve(t))) - curve(t)).T).max()))
        self.build.UpdateEdge(row.edge, max(1e-7, 1.2 * off))

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
        out = [self._cell_face(layer) for layer in self.layers]
        for number, edge in enumerate(self.plan.edges):
            out += self._walls(number, edge)
        return out

    def _cell_face(self, layer: Layer) -> TopoDS_Face:
        made = layer_surface(layer.surface)
        face = TopoDS_Face()
        self.build.MakeFace(face, made, 1e-7)
        for wire in self.plan.cells[layer.cell].wires:
            self.build.Add(face, self._wire(layer, wire, made))
        return face if layer.upper else TopoDS.Face(face.Reversed())

    def _wire(self, layer: Layer, steps: Sequence[tuple[int, bool]], made: Geom_Surface) -> TopoDS_Wire:
        wire = TopoDS_Wire()
        self.build.MakeWire(wire)
        rows = [next(row for row in self.lifted[number] if layer in row.layers) for number, _ in steps]
        for k, ((number, forward), lifted) in enumerate(zip(steps, rows, strict=True)):
            poles = layer.pcurve(lifted.curve)
            if poles is not None:
                pcurve = curve_on_surface(lifted.curve.knots, lifted.curve.degree, poles)
                self.build.UpdateEdge(lifted.edge, pcurve, made, _HERE, 1e-7)
            self.build.Add(wire, lifted.edge if forward else lifted.edge.Reversed())
            follower, ahead = rows[(k + 1) % len(rows)], steps[(k + 1) % len(rows)][1]
            corner = self.plan.edges[number].end if forward else self.plan.edges[number].start
            start, end = lifted.ends[1 if forward else 0], follower.ends[0 if ahead else 1]
            self._close(layer, wire, made, self._chain(corner, start, end), corner)
            if start == end and isinstance(layer.surface, Patch):
                self._pinch(
                    layer.surface, wire, made, (lifted, forward), (follower, ahead), self._vertex(corner, start)
                )
        wire.Closed(True)
        return wire

    def _close(
        self, layer: Layer, wire: TopoDS_Wire, made: Geom_Surface, chain: list[tuple[TopoDS_Edge, int]], corner: int
    ) -> None:
        """Close a wire by the upright line in which a fan ends at its tip."""
        for upright, rank in chain:
            if not isinstance(layer.surface, Patch):
                raise ValueError("a face stands at two heights at a corner")
            z = self.heights[corner]
            low, high = layer.surface.poles[0, 0, 2], layer.surface.poles[-1, 0, 2]
            f = (np.array([z[rank], z[rank + 1]]) - low) / (high - low)
            poles = np.column_stack([f, np.zeros(2)])
            size = z[rank + 1] - z[rank]
            pcurve = curve_on_surface(np.array([0.0, 0.0, size, size]), 1, poles)
            self.build.UpdateEdge(upright, pcurve, made, _HERE, 1e-7)
            self.build.Add(wire, upright)

    def _loosen(self, along: PlanCurve, row: Lifted, u: FloatArray) -> None:
        """Let the tolerance of an edge cover what its way over a wall is off by."""
        t = np.linspace(*row.curve.ends, _CHECKS)
        over = along(np.clip(dense(row.curve.knots, t, row.curve.degree) @ u, *along.ends))
        off = float(np.hypot(*(over - row.curve(t)).T).max())
        self.build.UpdateEdge(row.edge, max(1e-7, 1.2 * off))

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
        for cell in self.plan.beside.get(number, ()):
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
        made = upright_surface(edge.curve)
        face, wire = TopoDS_Face(), TopoDS_Wire()
        self.build.MakeFace(face, made, 1e-7)
        self.build.MakeWire(wire)
        for row, turned in ((low, False), (high, True)):
            if edge.curve.degree > 1:
                t = greville(row.curve.knots, row.curve.degree)
                along = parameters_at(edge.curve, row.curve(t))
                over = np.asarray(np.linalg.solve(dense(row.curve.knots, t, row.curve.degree), along), dtype=np.float64)
                poles = np.column_stack([over, row.z])
                self._loosen(edge.curve, row, over)
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
