"""Scales as boundary-representation solids of a CAD kernel; only control points and declared numbers are shared.

The slab is the handle's loop extruded. Its border is rounded by the kernel's own fillet, or by a section that is swept
along it; bores are cylinders and cones.
"""

from __future__ import annotations

import pytest

pytest.importorskip("build123d")

from breps import _cut, _edges, _only
from build123d import Edge, Face, Plane, Solid, Vector, Wire

from bladegeom import Curve, Knife, Rounding, ShoulderedBolt, StandoffScrews, join
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks

FAR = 100.0


def brep_scale(knife: Knife, *, fillet: float | None = None, dome: Rounding | None = None) -> Solid:
    """The right scale of even thickness on an even tang, with the bores of its fasteners.

    Args:
        knife: Its handle's loop, thicknesses and fasteners are used, its scale's face is not.
        fillet: Radius of the kernel's fillet along top, butt and underside, mm; they must run on smoothly.
        dome: An arc along the same, swept; as long as it does not meet itself.
    """
    assert knife.scales is not None
    low = knife.stock.thickness / 2 + knife.scales.liner
    side_view = Face(Wire(_edges(knife.handle_loop))).moved(Plane((0, 0, low)).location)
    slab = Solid.extrude(side_view, Vector(0, 0, knife.scales.thickness))
    if dome is not None:
        slab = _cut(slab, _swept(_border(knife), dome, low + knife.scales.thickness))
    if fillet is not None:
        top = low + knife.scales.thickness
        upper = [edge for edge in slab.edges() if top - 1e-6 < edge.center().Z and not _at_front(edge)]
        slab = _only(slab.fillet(fillet, upper))
    for stack in stacks(knife):
        for tool in _tools(stack):
            slab = _cut(slab, tool)
    assert slab.is_valid
    return slab


def _border(knife: Knife) -> Curve:
    return join(knife.outline.handle_top, knife.outline.butt, knife.outline.handle_underside)


def _at_front(edge: Edge) -> bool:
    """Whether an edge is the upright front through the origin."""
    return all(abs(vertex.X) < 1e-6 for vertex in edge.vertices())


def _swept(border: Curve, dome: Rounding, top: float) -> Solid:
    """What an arc takes off along a border, and some air beside it; the solid lies to the border's left."""
    (x, y), (dx, dy) = border.start, border.start_direction
    square = Plane((x, y, 0), x_dir=(-dy, dx, 0), z_dir=(dx, dy, 0))
    w, deep = dome.width, dome.depth
    radius = (w * w + deep * deep) / (2 * deep)

    def face(d: float) -> tuple[float, float]:
        return d, top - radius + (radius**2 - (w - d) ** 2) ** 0.5

    start = -0.02 * w
    arc = Edge.make_three_point_arc(face(start), face(w / 2), face(w))
    corner = (start, top)
    section = Face(Wire([arc, Edge.make_line(face(w), corner), Edge.make_line(corner, face(start))]))
    return Solid.sweep(section.moved(square.location), Wire(_edges(border)))


def _tools(stack: Stack) -> list[Solid]:
    """What is drilled, from the diameters and depths on the drill card."""
    x, y, numbers = stack.layers.fastener.x, stack.layers.fastener.y, stack.numbers
    base = stack.layers.inside.nominal
    slab = base + stack.layers.slab.nominal
    bores = {bore.shape: bore.diameter / 2 for bore in stack.layers.bores if bore.layer == "scale"}

    def drill(radius: float, low: float, high: float) -> Solid:
        return Solid.make_cylinder(radius, high - low, Plane((x, y, low)))

    out = [drill(bores["through hole"], -FAR, FAR)]
    match stack.layers.fastener.hardware:
        case StandoffScrews() as screws:
            seat, narrow = (slab - numbers[name].nominal for name in ("seat_depth", "countersink_depth"))
            out.append(drill(bores["pocket"], -FAR, base + numbers["pocket_depth"].nominal))
            wide = screws.screw_head.sharp_diameter / 2
            cone = Solid.make_cone(bores["through hole"], wide, seat - narrow, Plane((x, y, narrow)))
            out += [cone, drill(bores["countersink"], seat, FAR)]
        case ShoulderedBolt():
            out.append(drill(bores["counterbore"], slab - numbers["counterbore_depth"].nominal, FAR))
    return out
