"""Measures by name, against the report's numbers and against a ruler laid on the outline."""

from __future__ import annotations

import dataclasses
import math
from functools import cache

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from cells import curve_points
from orders import changed, knife
from specimens import ground, plain_tang

from bladegeom import (
    AngledBevel,
    FlatBevel,
    Grind,
    Knife,
    Plunge,
    Scales,
    Stock,
    Tube,
    inch,
    join_halves,
    measure,
    measures,
    profiles,
)
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.knife.fastener import Fastener
from bladegeom.quantities.errors import UnknownNameError

Array = npt.NDArray[np.float64]


@cache
def reported() -> dict[str, float]:
    content = report(Design(knife()))
    return {
        "overall length": content["outline"]["length"],
        "blade length": content["outline"]["blade_length"],
        "blade height": content["outline"]["blade_height"],
        "thickness": content["stock"]["thickness"],
        "edge thickness": content["grind"]["edge_thickness"],
        "bevel height": content["grind"]["height"],
        "bevel angle": content["grind"]["angle_per_side"],
        "mass": content["total"]["mass"],
        "balance": content["total"]["balance_x"],
    }


def test_as_the_report_tells_it() -> None:
    for name, told in reported().items():
        assert measure(name).of(knife()) == pytest.approx(told, rel=1e-9), name


def test_the_conventions_of_a_blade_length() -> None:
    slanted = changed(
        front_lean_deg=-10.0,
        grind=Grind(bevel=AngledBevel(angle_deg=5.0, edge_thickness=0.4), plunge=Plunge(x=20.0, lean_deg=8.0)),
    )
    tip = slanted.outline.tip[0]
    edge = flatten(slanted.outline.edge, 0.0005)
    assert measure("blade length").of(slanted) == pytest.approx(tip)
    # The front leans forward at its lower end, the plunge line at its upper one.
    assert measure("blade length to handle").of(slanted) == pytest.approx(tip - slanted.handle_front.end[0], abs=0.01)
    assert measure("blade length to plunge").of(slanted) == pytest.approx(tip - slanted.plunge_line.end[0])
    assert measure("edge length").of(slanted) == pytest.approx(np.hypot(*np.diff(edge, axis=0).T).sum(), abs=0.05)


def test_what_a_design_does_not_have() -> None:
    bare = changed(scales=None, fasteners=(), holes=())
    for name in ("scale thickness", "slab thickness", "handle girth", "handle thickness", "lanyard bore", "rough edge"):
        assert measure(name).of(bare) is None


def test_the_narrowest_way_for_a_cord() -> None:
    assert measure("lanyard bore").of(knife()) == pytest.approx(8.5)
    tube = Tube(metal="C26000", outside=inch("1/4"), inside=4.8)
    more = changed(fasteners=(*knife().fasteners, Fastener(x=-100.0, y=-15.0, hardware=tube)))
    assert measure("lanyard bore").of(more) == pytest.approx(4.8)


def test_thicker_scales_are_told_by_every_measure_of_the_handle() -> None:
    thick = changed(scales=Scales(slab="NEMA L", thickness=10.0, sanding=1.0))
    assert measure("scale thickness").of(thick) == 10.0
    assert measure("slab thickness").of(thick) == 11.0
    assert measure("handle thickness").of(thick) == pytest.approx(3.5 + 20.0)


def test_names() -> None:
    assert measure("  Blade   Length ") is measures()["blade length"]
    assert measures()["hardness"].operation == "temper"
    with pytest.raises(UnknownNameError) as caught:
        measure("mas")
    assert caught.value.suggestions[0] == "mass"


# The finished steel by itself: polygons of the curves' own points, and heights from the words of the declaration.
TAPER, HIGH, EDGE, SECOND, SECOND_EDGE, SHARPEN = ((-60.0, 3.0), (10.0, 4.0), (110.0, 2.0)), 24.0, 0.5, 10.0, 0.2, 20.0


@cache
def solid() -> Knife:
    """A skinner, tapered, with a bevel that runs out at the spine and a second one below it; no scales."""
    flat, low = FlatBevel(height=HIGH, edge_thickness=EDGE), AngledBevel(angle_deg=SECOND, edge_thickness=SECOND_EDGE)
    knife = ground(join_halves(profiles.get("skinner")(), profiles.get("swelled")()))
    plunge = Plunge(x=knife.outline.heel[0] + 2.0, lean_deg=8.0)
    grind = Grind(bevel=(flat, low), plunge=plunge, rough_edge=0.9, sharpen_deg=SHARPEN)
    return dataclasses.replace(knife, grind=grind, stock=Stock(steel="1084", thickness=4.0, taper=TAPER))


def bar_at(x: Array) -> Array:
    return np.asarray(np.interp(x, *np.array(TAPER).T))


def from_edge(x: Array, y: Array) -> Array:
    return np.asarray(shapely.distance(shapely.points(x, y), shapely.LineString(curve_points(solid().outline.edge))))


def steel_at(x: Array, y: Array, *, sharp: bool = False) -> Array:
    """Thickness of the steel ahead of the plunge line, from the declaration's words."""
    d, t = from_edge(x, y), bar_at(x)
    faces = [t, EDGE + (t - EDGE) * d / HIGH, SECOND_EDGE + 2 * d * math.tan(math.radians(SECOND))]
    facet = [2 * d * math.tan(math.radians(SHARPEN))] if sharp else []
    return np.asarray(np.minimum.reduce([*faces, *facet]))


def upright(x: Array) -> Array:
    """Lower and upper end of the steel at each x, shape (n, 2)."""
    lines = shapely.linestrings([[(at, -500.0), (at, 500.0)] for at in x.tolist()])
    loop = shapely.Polygon(curve_points(solid().outline.loop))
    return np.asarray(shapely.bounds(shapely.intersection(lines, loop)))[:, [1, 3]]


def calipers() -> dict[str, float]:
    """What calipers, rule and scale read on that solid."""
    edge, loop = curve_points(solid().outline.edge), shapely.Polygon(curve_points(solid().outline.loop))
    tip, heel, plunge = edge[-1], edge[0], solid().grind.plunge
    x = np.linspace(heel[0] + 1e-4, tip[0] - 1e-4, 4000)
    low, high = upright(x).T
    # The plunge line leans to the tip: its foremost place is its upper end.
    foot = (plunge.x, float(upright(np.array([plunge.x]))[0, 0]))
    lean = math.tan(math.radians(plunge.lean_deg))
    ray = shapely.intersection(shapely.LineString([foot, (foot[0] + 90 * lean, foot[1] + 90.0)]), loop)
    top_x, butt_x = ray.bounds[2], loop.bounds[0]
    near_tip = np.array([tip[0] - 10.0])
    # At the heel the edge runs straight along x: up from it is square to it.
    first = np.array([top_x + 1.0])
    up = np.linspace(0.0, HIGH + 2.0, 20_001)
    section = steel_at(np.broadcast_to(first, up.shape), float(upright(first)[0, 0]) + up)
    line = float(up[int((section >= bar_at(first) - 1e-9).argmax())])
    return {
        "overall length": loop.bounds[2] - butt_x,
        "blade length": float(tip[0]),
        "blade length to plunge": float(tip[0]) - top_x,
        "edge length": shapely.LineString(edge).length,
        "blade height": float((high - low).max()),
        "thickness": float(bar_at(np.array([top_x]))[0]),
        "tip thickness": float(steel_at(near_tip, upright(near_tip)[:, 1])[0]),
        "butt thickness": float(bar_at(np.array([butt_x]))[0]),
        "edge thickness": float(steel_at(edge[9:10, 0], edge[9:10, 1])[0]),
        "first edge thickness": EDGE,
        "bevel height": line,
        "bevel angle": math.degrees(math.atan((float(bar_at(first)[0]) - EDGE) / 2 / HIGH)),
    }


@pytest.mark.parametrize("name", sorted(calipers()))
def test_as_calipers_read_it_on_the_finished_steel(name: str) -> None:
    assert measure(name).of(solid()) == pytest.approx(calipers()[name], abs=0.01)


def test_knuckle_clearance_is_told_from_the_lowest_place_of_the_edge() -> None:
    edge, under = (curve_points(c) for c in (solid().outline.edge, solid().outline.handle_underside))
    assert measure("knuckle clearance").of(solid()) == pytest.approx(under[-1, 1] - edge[:, 1].min(), abs=0.01)


def test_mass_and_balance_of_the_bare_steel() -> None:
    # Source: a sum over cells of the thickness; 1084 as the table has it, 7.85 g/cm3. The front stands upright at 0.
    loop = shapely.Polygon(curve_points(solid().outline.loop))
    x0, _, x1, _ = loop.bounds
    x = x0 + (np.arange(900) + 0.5) / 900 * (x1 - x0)
    ends = upright(x)
    share = (np.arange(200) + 0.5) / 200
    y = ends[:, :1] + (ends[:, 1:] - ends[:, :1]) * share
    at = np.broadcast_to(x[:, None], y.shape)
    plunge = solid().grind.plunge
    foot = float(upright(np.array([plunge.x]))[0, 0])
    ahead = at - plunge.x - (y - foot) * math.tan(math.radians(plunge.lean_deg)) > 0
    thick = np.where(ahead, steel_at(at.ravel(), y.ravel()).reshape(at.shape), bar_at(at))
    grams = 7.85e-3 * thick * (ends[:, 1:] - ends[:, :1]) / 200 * (x1 - x0) / 900
    assert measure("mass").of(solid()) == pytest.approx(grams.sum(), rel=1e-3)
    assert measure("balance").of(solid()) == pytest.approx((grams * at).sum() / grams.sum(), abs=0.05)


def test_the_sharpened_angle_is_that_of_the_facet_or_none() -> None:
    d = np.array([0.0, 0.05])
    edge = curve_points(solid().outline.edge)[0]
    z = steel_at(edge[0] + np.array([5.0, 5.0]), edge[1] + d, sharp=True) / 2
    assert measure("sharpening angle").of(solid()) == pytest.approx(math.degrees(math.atan2(z[1] - z[0], 0.05)))
    # Faces that come to a point by themselves are not sharpened: there is no facet to lay a gauge on.
    pointed = Grind(bevel=AngledBevel(angle_deg=12.0), plunge=solid().grind.plunge)
    assert measure("sharpening angle").of(dataclasses.replace(solid(), grind=pointed)) is None


def test_one_face_leaves_one_edge() -> None:
    assert measure("first edge thickness").of(knife()) is None


def test_a_handle_of_flat_slabs() -> None:
    # Source: closed forms of a box 120 by 25 by 4 between two slabs of 7 with square borders.
    box = dataclasses.replace(ground(plain_tang()), scales=Scales(slab="NEMA L", thickness=7.0))
    expected = {"handle length": 120.0, "handle height": 25.0, "handle thickness": 18.0, "scale thickness": 7.0}
    assert {name: measure(name).of(box) for name in expected} == pytest.approx(expected, abs=0.01)
    for name in ("handle girth", "least handle girth"):
        assert measure(name).of(box) == pytest.approx(2 * (25.0 + 18.0), abs=0.05)
