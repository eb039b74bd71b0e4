"""The cut-out of a scale and the piece it is cut from: closed forms, and what must always hold."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
import shapely
import specimens
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon
from specimens import bar_outline, drop_point, ground, plain_tang

from bladegeom.curves.curve import points
from bladegeom.curves.flatten import flatten
from bladegeom.handle.scale_blank import blanks, cut_out, smallest_box
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Rounding, Scales

TRUE = 0.012
"""Two flattenings of 0.005 mm, and the chords of the corners, mm."""


def scales(**more: Any) -> Scales:
    return Scales(**{"slab": "NEMA L", "thickness": 8.0, **more})


def outline(knife: Knife) -> Polygon:
    assert knife.scales is not None
    return Polygon(flatten(cut_out(knife, knife.scales), 0.001))


HANDLES = {
    "birds_head": specimens.chef(scales=scales()),
    "straight": specimens.petty(scales=scales()),
    "swelled": drop_point(scales=scales()),
    "plain": ground(plain_tang(), height=15.0, scales=scales()),
}


@st.composite
def knives(draw: st.DrawFn) -> Knife:
    knife = HANDLES[draw(st.sampled_from(sorted(HANDLES)))]
    over = draw(st.just(0.0) | st.floats(0.1, 6.0))
    out = dataclasses.replace(
        knife,
        scales=scales(overhang=over, margin=draw(st.floats(0.0, 10.0))),
        front_lean_deg=draw(st.just(0.0) | st.floats(0.0, 30.0)),
        front_bow=draw(st.just(0.0) | st.floats(0.1, 2.0) | st.floats(-2.0, -0.1)),
    )
    # A hollow front may cut through the underside: that handle is no region at all.
    assert out.handle_region.is_valid
    return out


@given(knives())
def test_cut_out(knife: Knife) -> None:
    assert knife.scales is not None
    over, cut, handle = knife.scales.overhang, outline(knife), knife.handle_region
    assert cut.is_valid
    assert cut.exterior.is_ccw
    assert cut.buffer(TRUE).contains(handle)
    # Away from the front, the border lies as far outside as asked.
    border = shapely.get_coordinates(cut.exterior.segmentize(0.5))
    front = LineString(flatten(knife.handle_front, 0.001))
    far = shapely.distance(shapely.points(border), front) > 1.5 * over + 0.5
    assert far.any()
    away = np.asarray(shapely.distance(shapely.points(border[far]), handle))
    assert away == pytest.approx(np.full(away.shape, over), abs=TRUE)
    # And nowhere farther.
    assert shapely.distance(shapely.points(border), handle).max() <= over + TRUE


@given(knives())
def test_the_front_is_the_handle_front(knife: Knife) -> None:
    assert knife.scales is not None
    cut = outline(knife)
    front = points(knife.handle_front, np.linspace(0.0, len(knife.handle_front), 200))
    assert shapely.distance(shapely.points(front), cut.exterior).max() < 2e-3
    # Nothing stands ahead of it. Beyond its ends, what belongs to the front is carried on straight.
    ring = shapely.get_coordinates(cut.exterior.segmentize(0.5))
    along = np.array(knife.handle_front.end) / math.hypot(*knife.handle_front.end)
    beside = (ring @ along > 0) & (ring @ along < math.hypot(*knife.handle_front.end))
    # Distances from a bowed front are told within 0.005 mm.
    assert behind_front(knife, ring[beside]).min() > -0.005 - 1e-3


def test_a_straight_front_is_one_line() -> None:
    knife = dataclasses.replace(HANDLES["plain"], front_lean_deg=12.0)
    ring = shapely.get_coordinates(outline(knife).exterior)
    # Source: closed form: all of it lies behind the line through the front, carried on both ways.
    ahead = ring @ np.array([math.cos(math.radians(12.0)), -math.sin(math.radians(12.0))])
    assert ahead.max() == pytest.approx(0.0, abs=1e-9)
    on = ring[ahead > -1e-9]
    ends = on[on[:, 1].argmax()], on[on[:, 1].argmin()]
    # Above, the upper end is the nearest of the handle; below, the underside is.
    assert ends[0][1] == pytest.approx(1.5 * math.cos(math.radians(12.0)), abs=1e-3)
    assert ends[1][1] == pytest.approx(-26.5, abs=1e-3)


def test_area_of_a_bar() -> None:
    # Source: closed form: 1.5 mm on three sides and two quarter circles.
    knife = ground(bar_outline(), scales=scales())
    assert outline(knife).area == pytest.approx(100.0 * 30.0 + 1.5 * 230.0 + math.pi * 1.5**2 / 2, abs=0.01)


def test_no_overhang_is_the_handle() -> None:
    knife = drop_point(scales=scales(overhang=0.0), front_bow=1.0)
    assert knife.scales is not None
    assert cut_out(knife, knife.scales) == knife.handle_loop


def test_a_front_that_points_at_the_beak() -> None:
    # Carried on for ever, the lower end of this front would run into the beak of the butt.
    knife = dataclasses.replace(HANDLES["birds_head"], front_lean_deg=35.0, front_bow=6.0)
    front = knife.handle_front
    ray = LineString(np.array(front.end) + np.outer([0.0, 200.0], front.end_direction))
    assert ray.intersection(knife.handle_region.buffer(-1.0)).length > 1.0
    cut = outline(knife)
    assert cut.is_valid
    assert cut.buffer(TRUE).contains(knife.handle_region)


def test_blank_of_a_bar() -> None:
    # Source: closed form: 100 and 1.5 long, 30 and 3 wide, 4 mm round it; half a millimetre is sanded off.
    knife = ground(bar_outline(), scales=scales(liners=(Liner(sheet="NEMA G-10", thickness=0.8),)))
    slab, liner = blanks(knife)
    for blank in (slab, liner):
        assert blank.length == pytest.approx(109.5, abs=1e-6)
        assert blank.width == pytest.approx(41.0, abs=1e-6)
        assert blank.grain_deg == pytest.approx(0.0, abs=1e-6)
        assert blank.pieces == 2
    assert (slab.thickness, liner.thickness) == (8.5, 0.8)
    assert (slab.part, liner.part) == ("scales", "liners")
    assert slab.material.name == "NEMA L"
    assert liner.material.name == "G-10"
    assert slab.words == (
        "Scales: 2 pieces of NEMA L, each 110 mm (4-3/8 in) long, 41 mm (1-5/8 in) wide and at least 8.50 mm "
        "(0.335 in) thick, grain along the length; brought to that thickness before drilling"
    )


def test_several_liners_have_names_of_their_own() -> None:
    knife = ground(bar_outline(), scales=scales(liners=tuple(Liner(sheet="G-10", thickness=t) for t in (0.5, 0.8))))
    assert [(blank.part, blank.thickness) for blank in blanks(knife)] == [
        ("scales", 8.5),
        ("liners 1", 0.5),
        ("liners 2", 0.8),
    ]


def test_no_scales_no_blanks() -> None:
    assert blanks(ground(bar_outline())) == ()


@given(knives())
def test_the_blank_holds_the_cut_out_with_its_margin(knife: Knife) -> None:
    assert knife.scales is not None
    cut = outline(knife)
    blank = blanks(knife)[0]
    box = Polygon(blank.corners)
    assert box.buffer(TRUE).contains(cut)
    assert box.exterior.distance(cut) == pytest.approx(knife.scales.margin, abs=TRUE)
    assert box.area == pytest.approx(blank.length * blank.width)
    assert blank.length >= blank.width
    assert all(Point(corner).distance(cut) >= knife.scales.margin - TRUE for corner in blank.corners)


@given(knives())
def test_no_turned_rectangle_is_smaller(knife: Knife) -> None:
    # A second way: turned in steps of a tenth of a degree.
    assert knife.scales is not None
    blank, margin = blanks(knife)[0], knife.scales.margin
    ring = flatten(cut_out(knife, knife.scales), 0.005)
    angles = np.radians(np.arange(0.0, 90.0, 0.1))
    spans = [
        np.ptp(ring @ np.stack([np.cos(angles + turn), np.sin(angles + turn)]), axis=0) + 2 * margin
        for turn in (0.0, math.pi / 2)
    ]
    assert blank.length * blank.width <= float((spans[0] * spans[1]).min()) + 1e-6


@given(st.floats(0.0, 180.0), st.floats(0.0, 20.0))
def test_smallest_box_of_a_turned_rectangle(angle: float, margin: float) -> None:
    # Source: closed form.
    a = math.radians(angle)
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    corners = smallest_box(np.array([[0.0, 0.0], [90.0, 0.0], [90.0, 20.0], [0.0, 20.0]]) @ turn.T, margin)
    sides = np.hypot(*np.diff(corners, axis=0).T)
    assert sorted(sides[:2]) == pytest.approx([20.0 + 2 * margin, 90.0 + 2 * margin])


def test_grain_follows_a_handle_that_falls() -> None:
    drop = 110.0 * math.tan(math.radians(10.0))
    knife = ground(specimens.tang_outline([(-110.0, -drop)], [(-110.0, -25.0 - drop)]), height=15.0, scales=scales())
    assert blanks(knife)[0].grain_deg == pytest.approx(10.0, abs=0.01)


def test_rounding_makes_no_difference() -> None:
    plain = blanks(drop_point(scales=scales()))[0]
    domed = blanks(drop_point(scales=scales(rounding=Rounding(width=9.0, depth=2.0))))[0]
    assert (plain.length, plain.width) == (domed.length, domed.width)
