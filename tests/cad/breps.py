"""Blades as boundary-representation solids of a CAD kernel; only the design's control points and numbers are shared.

A face is given as a law: height z over distance d from the edge. The steel above it is one chip: its section in (d, z)
is swept along the edge, square to it; behind the heel it is turned about the heel. Nothing is cut into chords.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pytest

pytest.importorskip("build123d")

from build123d import Axis, Compound, Edge, Face, Plane, Solid, Vector, Wire

from bladegeom import Curve, Hole, Knife

Array = npt.NDArray[np.float64]

FAR = 500.0
"""More than any knife is long, mm."""

BESIDE = 1.0
"""How far a chip reaches out of the steel, past the edge and past the tip, mm."""


@dataclass(frozen=True, kw_only=True)
class Law:
    """One ground face of constant section.

    Args:
        height: Of the face over the middle plane at a distance from the edge, mm: a line or an arc of a circle.
        reach: Distance by which it has left the stock, mm.
        curved: Whether it is an arc.
    """

    height: Callable[[float], float]
    reach: float
    curved: bool = False


def brep_blade(knife: Knife, right: Law | None, left: Law | None) -> Solid:
    """The finished steel of a knife with round holes.

    Its outline, stock, plunge line and holes are used, its faces are not. The edge must run level from the heel to
    beyond the plunge line, turn left only, and less sharply than the laws reach.

    Args:
        knife: The design.
        right: Face on the right side; None is left flat.
        left: On the left side.
    """
    steel = _plate(knife)
    for law, mirrored in ((right, False), (left, True)):
        if law is not None:
            chip = _chip(knife, law)
            steel = _cut(steel, chip.mirror(Plane.XY) if mirrored else chip)
    for hole in knife.holes:
        assert isinstance(hole, Hole)
        drill = Solid.make_cylinder(hole.diameter / 2, 2 * FAR, Plane((hole.x, hole.y, -FAR)))
        steel = _cut(steel, drill)
    assert steel.is_valid
    return steel


def properties(solid: Solid) -> tuple[float, Array, Array]:
    """Volume, centroid (3,), and second moments about the centroid (3, 3).

    Source: the kernel's matrix of inertia I is about the centroid, so the integral of r r^T is tr(I) / 2 - I.
    """
    inertia = np.array(solid.matrix_of_inertia)
    centre = np.array([*solid.center()])
    return float(solid.volume), centre, np.trace(inertia) / 2 * np.eye(3) - inertia


def _plate(knife: Knife) -> Solid:
    """The outline as thick as the bar, planed to its taper."""
    thick = knife.stock.thickness
    side_view = Face(Wire(_edges(knife.outline.loop))).moved(Plane((0, 0, -thick / 2)).location)
    plate = Solid.extrude(side_view, Vector(0, 0, thick))
    if not knife.stock.taper:
        return plate
    stations = [(-FAR, knife.stock.taper[0][1]), *knife.stock.taper, (FAR, knife.stock.taper[-1][1])]
    upper = [(x, -FAR, t / 2) for x, t in stations]
    top_view = Face(Wire.make_polygon([*upper, *((x, y, -z) for x, y, z in reversed(upper))]))
    return _only(plate & Solid.extrude(top_view, Vector(0, 2 * FAR, 0)))


def _chip(knife: Knife, law: Law) -> Solid:
    """All that a face takes off ahead of the plunge line, and some air."""
    edge = knife.outline.edge
    (hx, hy), (tx, ty) = edge.start, edge.end
    (dx, dy), (ex, ey) = edge.start_direction, edge.end_direction
    square = Plane((hx, hy, 0), x_dir=(-dy, dx, 0), z_dir=(dx, dy, 0))
    section = _section(law, -BESIDE).moved(square.location)
    path = Wire([*_edges(edge), Edge.make_line((tx, ty), (tx + BESIDE * ex, ty + BESIDE * ey))])
    swept = Solid.sweep(section, path)
    # Source: Pappus; the section's centroid runs on a path that is shorter by its distance times the turn.
    turn, off = math.atan2(ey, ex) - math.atan2(dy, dx), (section.center() - Vector(hx, hy)).dot(square.x_dir)
    assert swept.volume == pytest.approx(section.area * (path.length - off * turn), rel=1e-5)
    knob = Solid.revolve(_section(law, 0.0).moved(square.location), 360, Axis((hx, hy, 0), (0, 0, 1)))
    return _only(_only(swept + knob) & _ahead(knife))


def _section(law: Law, start: float) -> Face:
    """What lies above a law from ``start`` to its reach, in the plane of d and z."""
    low, high = (start, law.height(start)), (law.reach, law.height(law.reach))
    middle = (start + law.reach) / 2
    face = (
        Edge.make_three_point_arc(low, (middle, law.height(middle)), high) if law.curved else Edge.make_line(low, high)
    )
    corner = (start, high[1])
    return Face(Wire([face, Edge.make_line(high, corner), Edge.make_line(corner, low)]))


def _ahead(knife: Knife) -> Solid:
    """The half space in front of the plunge line."""
    plunge = knife.grind.plunge
    lean = math.radians(plunge.lean_deg)
    ahead, along = Vector(math.cos(lean), -math.sin(lean)), Vector(math.sin(lean), math.cos(lean))
    corner = Vector(plunge.x, knife.outline.heel[1]) - FAR * along - Vector(0, 0, FAR)
    return Solid.make_box(2 * FAR, 2 * FAR, 2 * FAR, Plane(corner, x_dir=ahead, z_dir=(0, 0, 1)))


def _cut(steel: Solid, tool: Solid) -> Solid:
    """Steel less a tool; what is left and what is taken off, each by a boolean of its own, must make up the whole."""
    left, off = _only(steel - tool), _only(steel & tool)
    assert left.volume + off.volume == pytest.approx(steel.volume, rel=1e-6)
    return left


def _only(result: Solid | Compound | None) -> Solid:
    """The one solid that a boolean yields."""
    assert result is not None
    (solid,) = result.solids()
    assert solid.volume > 0
    return solid


def _edges(curve: Curve) -> list[Edge]:
    return [Edge.make_bezier(*((float(x), float(y), 0.0) for x, y in piece)) for piece in curve.pieces]
