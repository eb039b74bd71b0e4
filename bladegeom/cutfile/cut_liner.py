"""Liners and scale blanks to cut: their border with its overhang in arcs, and a liner's holes."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.curves.meet import crossings
from bladegeom.curves.offset import offset
from bladegeom.curves.part import part
from bladegeom.drawing.drawing import CUT_PEN, Circle, Item, Path
from bladegeom.fasteners.alike import by_name
from bladegeom.fasteners.stack import stacks
from bladegeom.handle.parts import bare_holes
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import SHOP


def sawn_out(knife: Knife, scales: Scales) -> Curve:
    """The border of a liner or scale blank: closed, counter-clockwise, in the design frame.

    The same line as on the templates, which draw it with chords: the overhang outside the handle, and the handle front
    carried on straight.

    Raises:
        CurveError: The handle's outline runs into itself with the overhang, or the front does not leave it.
    """
    if not scales.overhang:
        return knife.handle_loop
    front, rim = knife.handle_front, offset(knife.handle_loop, scales.overhang)
    up = (-front.start_direction[0], -front.start_direction[1])
    begin, upper = _leaves(rim, front.start, up)
    end, lower = _leaves(rim, front.end, front.end_direction)
    around = part(join(rim, rim), begin, end if end > begin else end + len(rim))
    return join(line(lower, front.end), front.reversed(), line(front.start, upper), around)


def _leaves(rim: Curve, start: Vector, way: Vector) -> tuple[float, Vector]:
    """Where a straight way from inside first leaves a closed curve: the place on the curve, and the point."""
    x0, y0, x1, y1 = bounding_box(rim.pieces)
    reach = (x1 - x0) + (y1 - y0)
    hits = crossings(line(start, (start[0] + reach * way[0], start[1] + reach * way[1])), rim)
    if not hits:
        raise CurveError("the handle front, carried on straight, does not leave the scales; give it another lean")
    return hits[0].t_b, hits[0].xy


def liner_holes(knife: Knife, scales: Scales) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """A liner's through holes as on its template, and the names of those too small to be cut.

    None of a liner that is glued to its scale before both are drilled through the tang.
    """
    least = knife.shop.process.least_hole(max(liner.thickness for liner in scales.liners))
    holes = list(_holes(knife))
    if scales.glued_liners:
        return (), by_name(name for name, _, _ in holes)
    items = tuple(item for _, diameter, item in holes if diameter >= least - SHOP)
    return items, by_name(name for name, diameter, _ in holes if diameter < least - SHOP)


def _holes(knife: Knife) -> Iterator[tuple[str, float, Item]]:
    for stack in stacks(knife):
        x, y = stack.layers.fastener.x, stack.layers.fastener.y
        for cut in stack.cuts:
            if cut.bore.layer == "liner" and cut.face is None:
                d = cut.bore.diameter
                yield stack.layers.name, d, Circle(layer="CUT", x=x, y=y, radius=d / 2, pen=CUT_PEN)
    bare = bare_holes(knife)
    for name, hole in zip(knife.hole_ids, knife.openings, strict=True):
        if any(hole is opening for opening in bare):
            if isinstance(hole, Hole):
                item: Item = Circle(layer="CUT", x=hole.x, y=hole.y, radius=hole.diameter / 2, pen=CUT_PEN)
            else:
                item = Path(layer="CUT", curve=hole.outline, closed=True, pen=CUT_PEN)
            yield name, hole.diameter, item
