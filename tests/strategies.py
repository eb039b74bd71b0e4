"""Random values that the library must cope with, one strategy for each kind."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st
from specimens import BLADES, HANDLES, ground

from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import Curve, Vector
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.outline.outline import join_halves
from bladegeom.outline.parameter import parameters
from bladegeom.profiles import get
from bladegeom.quantities.drills import drill_index
from bladegeom.quantities.errors import BladegeomError

headings = st.floats(0.0, 360.0)


@st.composite
def vectors(draw: st.DrawFn, reach: float = 200.0) -> Vector:
    """A point whose coordinates are at most ``reach`` from nought, mm."""
    return draw(st.floats(-reach, reach)), draw(st.floats(-reach, reach))


@st.composite
def knots(draw: st.DrawFn, *, most: int = 6, turn_deg: float = 120.0, reach: float = 200.0) -> list[Vector]:
    """2 to ``most`` knots, each 3 mm or more from the one before, all within ``reach`` mm in x and y.

    The walk turns by at most ``turn_deg`` at each knot.
    """
    longest = reach * 0.75 / (most - 1)
    place = np.array(draw(vectors(reach=reach / 4)))
    heading = draw(headings)
    out: list[Vector] = [(float(place[0]), float(place[1]))]
    for _ in range(draw(st.integers(1, most - 1))):
        size = draw(st.floats(3.0, longest))
        a = math.radians(heading)
        place = place + size * np.array([math.cos(a), math.sin(a)])
        out.append((float(place[0]), float(place[1])))
        heading += draw(st.floats(-turn_deg, turn_deg))
    return out


@st.composite
def curves(draw: st.DrawFn, *, most: int = 6, turn_deg: float = 120.0) -> Curve:
    """A spline through random knots; each end may have a direction, within 90 degrees of its first or last chord."""
    places = draw(knots(most=most, turn_deg=turn_deg))
    ends: list[float | None] = []
    for p, q in (places[:2], places[-2:]):
        chord_deg = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
        bend = draw(st.none() | st.floats(-90.0, 90.0))
        ends.append(None if bend is None else chord_deg + bend)
    return spline(places, start_deg=ends[0], end_deg=ends[1])


@st.composite
def lines(draw: st.DrawFn) -> Curve:
    """One straight line, 3 mm long or more."""
    first, last = draw(knots(most=2))
    return line(first, last)


@st.composite
def arcs(draw: st.DrawFn) -> Curve:
    """A circular arc of radius 0.5 to 100 mm that sweeps 5 to 350 degrees either way."""
    sweep = draw(st.floats(5.0, 350.0)) * draw(st.sampled_from([-1.0, 1.0]))
    return arc(draw(vectors(reach=100.0)), draw(st.floats(0.5, 100.0)), draw(headings), sweep)


@st.composite
def wild_pieces(draw: st.DrawFn) -> Curve:
    """One cubic with any control points: loops, cusps, handles of no length, points that coincide.

    Only a piece of no length at all is left out.
    """
    kind = draw(st.sampled_from(["any", "cusp", "start doubled", "end doubled", "both doubled", "tripled"]))
    a, b, c, d = (np.array(draw(vectors())) for _ in range(4))
    d = a + 3.0 if np.hypot(*(d - a)) < 3.0 else d
    control = {
        "any": [a, b, c, d],
        # B'(1/2) = 3/4 (d - a + c - b) is nil for b = c + d - a.
        "cusp": [a, c + d - a, c, d],
        "start doubled": [a, a, c, d],
        "end doubled": [a, b, d, d],
        "both doubled": [a, a, d, d],
        "tripled": [a, a, a, d],
    }[kind]
    return Curve(np.array([control]))


@st.composite
def tangs(draw: st.DrawFn) -> Knife:
    """Any blade on any handle, some parameters anywhere in their sensible range, under any rules, with any drills."""
    halves: list[Any] = []
    try:
        for names in (BLADES, HANDLES):
            cls: Any = get(draw(st.sampled_from(names)))
            chosen = draw(st.lists(st.sampled_from(parameters(cls)), max_size=4, unique=True))
            halves.append(cls(**{p.name: draw(st.floats(p.low, p.high)) for p in chosen}))
        outline = join_halves(*halves)
    except BladegeomError:
        assume(False)  # noqa: FBT003
    rules = HoleRules(
        name="drawn",
        edge_distance_per_diameter=draw(st.sampled_from([0.0, 1.0, 1.2, 1.5, 2.0])),
        rim=draw(st.floats(0.5, 5.0)),
        web=draw(st.floats(0.5, 6.0)),
        per_thickness=draw(st.sampled_from([0.0, 1.0, 1.5])),
        clear_strip=draw(st.floats(0.0, 15.0)),
        net_width=draw(st.floats(0.0, 0.9)),
    )
    return ground(
        outline,
        thickness=draw(st.floats(1.5, 6.0)),
        edge=0.2,
        rules=rules,
        shop=Shop(drills=drill_index(draw(st.sampled_from(["fractional", "metric", "number"])))),
        front_lean_deg=draw(st.sampled_from([0.0, -6.0, 10.0, 30.0])),
    )
