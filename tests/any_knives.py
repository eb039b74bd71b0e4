"""Random knives of every profile, face, taper and handle, for tests that must hold for all of them."""

from __future__ import annotations

import dataclasses
from typing import Any

from hypothesis import strategies as st

from bladegeom.fasteners.pin import Pin
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.outline.parameter import parameters
from bladegeom.placing.place import add_fasteners
from bladegeom.profiles import get, half, names
from bladegeom.quantities.units import inch

BLADES = [name for name in names() if half(get(name)) == "blade"]
HANDLES = [name for name in names() if half(get(name)) == "handle"]


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """Any blade on any handle, a few of their parameters anywhere in their sensible range."""
    halves: list[Any] = []
    for pool in (BLADES, HANDLES):
        kind = get(draw(st.sampled_from(pool)))
        moved = draw(st.sets(st.sampled_from([parameter.name for parameter in parameters(kind)]), max_size=3))
        values = {
            parameter.name: draw(st.floats(parameter.low, parameter.high))
            for parameter in parameters(kind)
            if parameter.name in moved
        }
        halves.append(kind(**values))
    return join_halves(*halves)


@st.composite
def bevels(draw: st.DrawFn, height: float, edge: float) -> Any:
    """A face of any kind, or two together."""
    flat = FlatBevel(height=height, edge_thickness=edge)
    return draw(
        st.sampled_from(
            (
                flat,
                AngledBevel(angle_deg=4.0, edge_thickness=edge),
                FullFlat(edge_thickness=edge),
                HollowBevel(wheel_diameter=254.0, height=height, edge_thickness=edge),
                ConvexBevel(height=height, edge_thickness=edge, bulge=0.15),
                (flat, AngledBevel(angle_deg=12.0, edge_thickness=0.8 * edge)),
                ConvexEdge(under=flat, height=3.0, edge_thickness=0.7 * edge, bulge=0.02),
            )
        )
    )


@st.composite
def knives(draw: st.DrawFn) -> Knife:
    """A knife as a maker may declare it; one that cannot be raises the library's own error."""
    outline = draw(outlines())
    x0, y0, x1, _ = outline.bounds
    thickness = draw(st.floats(1.6, 5.0))
    taper = draw(
        st.sampled_from(((), ((x0, 0.6), (0.0, 1.0)), ((0.0, 1.0), (x1, 0.4)), ((x0, 0.5), (0, 1.0), (x1, 0.5))))
    )
    edge = draw(st.sampled_from((0.2, 0.4, 0.6)))
    height = draw(st.floats(0.4, 0.95)) * -y0 * 0.7
    knife = Knife(
        name="Any knife",
        outline=outline,
        stock=Stock(steel="1084", thickness=thickness, taper=tuple((x, share * thickness) for x, share in taper)),
        grind=Grind(
            bevel=draw(bevels(height, edge)),
            plunge=Plunge(x=outline.heel[0] + 1.0, lean_deg=draw(st.sampled_from((0.0, 10.0, -10.0))), radius=3.0),
            rough_edge=draw(st.sampled_from((None, edge + 0.4))),
            only=draw(st.sampled_from((None, None, "right"))),
        ),
        front_lean_deg=draw(st.sampled_from((0.0, 8.0))),
        hand_breadth=draw(st.sampled_from((None, 88.0))),
    )
    if not has_hidden_tang(outline.profiles) and draw(st.booleans()):
        scales = Scales(
            slab="NEMA L",
            thickness=draw(st.floats(6.0, 10.0)),
            liners=draw(st.sampled_from(((), (Liner(sheet="NEMA G-10", thickness=0.8),)))),
            rounding=(Rounding(width=2.5, depth=2.5),),
        )
        knife = dataclasses.replace(knife, scales=scales)
        knife = add_fasteners(knife, Pin(rod="C26000", diameter=inch("3/16")), count=2)
    return knife
