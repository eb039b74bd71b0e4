"""A knife's own lines: handle front, plunge line, grind line; and the values it refuses."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import (
    BLADES,
    DISC_CENTRE,
    DISC_RADIUS,
    HANDLES,
    bar_outline,
    chef,
    disc_outline,
    drop_point,
    ground,
    petty,
    pins,
    plain_tang,
    profile,
    recurve,
)

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.measure import loop_moments
from bladegeom.curves.meet import nearest
from bladegeom.fasteners.tube import Tube
from bladegeom.grinding.grind_line import grind_line
from bladegeom.knife.bevels.flat import FlatBevel
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import Outline
from bladegeom.quantities.errors import ParameterError


def dense(curve: Curve, n: int = 2000) -> FloatArray:
    """``n`` points on each piece, from the Bernstein form."""
    u = np.linspace(0.0, 1.0, n + 1)[:, None]
    rows = [
        (1 - u) ** 3 * p[0] + 3 * (1 - u) ** 2 * u * p[1] + 3 * (1 - u) * u * u * p[2] + u**3 * p[3]
        for p in curve.pieces
    ]
    return np.concatenate([rows[0], *(row[1:] for row in rows[1:])])


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (
            lambda: drop_point(edge=4.0),
            "grind: edge_thickness | 4.00 mm",
        ),
        (
            lambda: drop_point(edge=9.0),
            "grind: edge_thickness | 4.00 mm",
        ),
        (lambda: drop_point(edge=-0.1), "flat bevel: edge_thickness | 0"),
        (lambda: drop_point(edge=math.nan), "flat bevel: edge_thickness | 0"),
        (lambda: drop_point(height=0.0), "flat bevel: height | 0"),
        (lambda: drop_point(height=-16.0), "flat bevel: height | 0"),
        (lambda: drop_point(height=math.inf), "flat bevel: height | 0"),
        (lambda: drop_point(plunge=math.nan), "plunge line: x"),
        (lambda: drop_point(lean=75.0), "plunge line: lean_deg | -60 | 60"),
        (
            lambda: drop_point(front_lean_deg=50.0),
            "knife: front_lean_deg | -45 | 45",
        ),
        (
            lambda: drop_point(front_lean_deg=math.nan),
            "knife: front_lean_deg | -45 | 45",
        ),
        (
            lambda: dataclasses.replace(drop_point(), name=" "),
            "knife: name",
        ),
        (
            lambda: dataclasses.replace(drop_point(), revision=""),
            "knife: revision",
        ),
    ],
)
def test_refuses(make: Any, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        make()
    assert_refused(caught.value, told)


def test_hole_ids_run_from_front_to_rear() -> None:
    at = [(-80.0, "fastener"), (-20.0, "fastener"), (-50.0, "lightening"), (-100.0, "lanyard"), (-40.0, "lightening")]
    holes: list[Any] = [Hole(x=x, y=-12.0, diameter=5.0, purpose=p) for x, p in at]  # type: ignore[arg-type]
    holes.append(Slot(start=(-70.0, -12.0), end=(-62.0, -12.0), diameter=4.0, purpose="lightening"))
    knife = drop_point(holes=holes)
    assert knife.hole_ids == ("F2", "F1", "L2", "T1", "L1", "L3")
    assert isinstance(knife.holes, tuple)


def test_fasteners_holes_come_before_the_others_and_share_their_ids() -> None:
    tube = Tube(metal="304", outside=6.35, inside=4.8)
    fasteners = (Fastener(x=-90.0, y=-12.0, hardware=tube), Fastener(x=-30.0, y=-13.0, hardware=pins(6.0), made="cut"))
    holes = (
        Hole(x=-50.0, y=-12.0, diameter=5.0, purpose="lightening"),
        Hole(x=-20.0, y=-12.0, diameter=3.0, purpose="fastener"),
    )
    knife = drop_point(fasteners=fasteners, holes=holes)
    assert knife.openings == knife.holes_for_fasteners + holes
    told = [(fastener.x, fastener.y, fastener.purpose, fastener.made) for fastener in knife.holes_for_fasteners]
    assert told == [(-90.0, -12.0, "lanyard", "drilled"), (-30.0, -13.0, "fastener", "cut")]
    assert knife.holes_for_fasteners[1].diameter == 6.0
    assert knife.hole_ids == ("T1", "F2", "L1", "F1")


def test_hole_ids_of_equal_x_go_from_below() -> None:
    holes = tuple(Hole(x=-40.0, y=y, diameter=3.0, purpose="lightening") for y in (-6.0, -16.0))
    assert drop_point(holes=holes).hole_ids == ("L2", "L1")


def test_a_knife_cannot_be_changed() -> None:
    knife = drop_point()
    for f in dataclasses.fields(Knife):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(knife, f.name, None)
    for value in (knife.grind, FlatBevel(height=9.0, edge_thickness=0.3), knife.grind.plunge):
        for name in [f.name for f in dataclasses.fields(value)]:
            with pytest.raises(dataclasses.FrozenInstanceError):
                setattr(value, name, 1.0)


# The handle front.


def test_upright_front_ends_where_the_underside_does() -> None:
    knife = drop_point()
    assert knife.handle_front.start == (0.0, 0.0)
    assert knife.handle_front.end == knife.outline.front_bottom
    assert knife.handle_front_middle == pytest.approx((0.0, -22.5 / 2))


def test_upright_front_where_underside_and_choil_meet_elsewhere() -> None:
    plain = plain_tang()
    fields = {f.name: getattr(plain, f.name) for f in dataclasses.fields(Outline)}
    butt, origin, heel = (-120.0, -25.0), (0.0, -25.0), (6.0, -25.0)
    behind, ahead = (-8.0, -25.0), (3.0, -25.0)
    for underside, choil in (
        (line(butt, behind), line(behind, origin, heel)),
        (line(butt, origin, ahead), line(ahead, heel)),
    ):
        knife = ground(Outline(**{**fields, "handle_underside": underside, "choil": choil}))
        assert knife.handle_front.end == pytest.approx((0.0, -25.0), abs=1e-6)


@given(st.floats(0.0, 44.0))
def test_front_leans_to_the_butt_below(lean: float) -> None:
    # Source: closed form: on a level underside 25 mm down it ends 25 tan(lean) behind.
    knife = ground(plain_tang(), front_lean_deg=lean)
    assert knife.handle_front.end == pytest.approx((-25.0 * math.tan(math.radians(lean)), -25.0), abs=1e-7)


def test_front_that_leans_to_the_tip_ends_on_the_choil() -> None:
    # Source: closed form: x = 25 tan(8 deg) on a level choil 25 mm down.
    knife = ground(plain_tang(), front_lean_deg=-8.0)
    assert knife.handle_front.end == pytest.approx((25.0 * math.tan(math.radians(8.0)), -25.0), abs=1e-7)
    assert knife.handle_front.end[0] < knife.outline.heel[0]


@pytest.mark.parametrize("make", [drop_point, petty, chef])
def test_front_that_misses_underside_and_choil(make: Any) -> None:
    with pytest.raises(ParameterError) as caught:
        _ = make(front_lean_deg=-45.0).handle_front
    assert_refused(caught.value, "knife: front_lean_deg")


@pytest.mark.parametrize("lean", [0.0, -6.0, 12.0, 35.0, 45.0])
@pytest.mark.parametrize("handle", HANDLES)
def test_handle_loop_against_a_clipped_polygon(handle: str, lean: float) -> None:
    knife = profile("drop_point", handle, front_lean_deg=lean)
    a = math.radians(-90.0 - lean)
    down, back = np.array([math.cos(a), math.sin(a)]), np.array([math.sin(a), -math.cos(a)])
    far = 400.0
    half_plane = shapely.Polygon([far * down, far * down + far * back, -far * down + far * back, -far * down])
    polygon = shapely.Polygon(np.concatenate([dense(c, 400)[:-1] for c in knife.outline.curves]))
    # Behind the line that goes through the origin; the choil's notch may leave a scrap ahead of the heel.
    parts = shapely.get_parts(shapely.intersection(polygon, half_plane))
    behind = max(parts, key=lambda part: float(part.area))
    assert loop_moments(knife.handle_loop.pieces)[0] == pytest.approx(behind.area, rel=1e-6)
    assert knife.handle_loop.start == pytest.approx(knife.handle_loop.end)


# The plunge line.


@pytest.mark.parametrize("lean", [-30.0, 0.0, 15.0, 60.0])
def test_plunge_line_across_a_bar(lean: float) -> None:
    # Source: closed form: over the 30 mm from border to border it goes 30 tan(lean) ahead.
    plunge = ground(bar_outline(), plunge=60.0, lean=lean).plunge_line
    assert plunge.start == pytest.approx((60.0, -30.0), abs=1e-7)
    assert plunge.end == pytest.approx((60.0 + 30.0 * math.tan(math.radians(lean)), 0.0), abs=1e-7)


@pytest.mark.parametrize("blade", BLADES)
@pytest.mark.parametrize("lean", [-60.0, -18.0, 0.0, 18.0, 60.0])
def test_plunge_line_lies_in_the_steel(blade: str, lean: float) -> None:
    knife = profile(blade, "swelled", lean=lean)
    plunge = knife.plunge_line
    steel = shapely.Polygon(np.concatenate([dense(c, 200)[:-1] for c in knife.outline.curves]))
    drawn = shapely.LineString([plunge.start, plunge.end])
    # All of it in the steel, both ends on the border, and in line with the declared foot, here the heel.
    assert drawn.difference(steel.buffer(0.001)).is_empty
    for end in (plunge.start, plunge.end):
        assert steel.exterior.distance(shapely.Point(end)) < 0.001
        (x, y), heel = end, knife.outline.heel
        assert abs((x - heel[0]) * math.cos(math.radians(lean)) - (y - heel[1]) * math.sin(math.radians(lean))) < 1e-6
    # From the lower border to the upper one: nothing of the line is left beyond.
    upper = np.concatenate([dense(knife.outline.spine, 200), dense(knife.outline.handle_top, 200)])
    assert shapely.LineString(upper).distance(shapely.Point(plunge.end)) < 0.001


def test_plunge_line_along_an_upright_rear_border() -> None:
    outline = Outline(
        edge=line((10.0, -30.0), (150.0, -10.0)),
        spine=line((150.0, -10.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), (-100.0, 0.0)),
        butt=line((-100.0, 0.0), (-100.0, -20.0)),
        handle_underside=line((-100.0, -20.0), (0.0, -20.0)),
        choil=line((0.0, -20.0), (10.0, -20.0), (10.0, -30.0)),
    )
    # The line begins where the steel behind it does, at the notch, and ends on the spine y = -x / 15.
    plunge = ground(outline).plunge_line
    assert plunge.start == pytest.approx((10.0, -20.0), abs=1e-7)
    assert plunge.end == pytest.approx((10.0, -10.0 / 15.0), abs=1e-7)


@pytest.mark.parametrize("x", [110.5, -119.0, 1e6])
def test_plunge_line_beside_the_steel(x: float) -> None:
    with pytest.raises(ParameterError) as caught:
        _ = drop_point(plunge=x).plunge_line
    assert_refused(caught.value, "plunge line: x")


@pytest.mark.parametrize("x", [110.0, -118.0])
def test_plunge_line_at_the_very_end(x: float) -> None:
    with pytest.raises(ParameterError) as caught:
        _ = drop_point(plunge=x).plunge_line
    assert_refused(caught.value, "plunge line: x")


@pytest.mark.parametrize("lean", [-25.0, 0.0, 25.0])
def test_bevel_region_is_what_lies_ahead(lean: float) -> None:
    knife = recurve(lean=lean)
    (x0, y0), slope = knife.outline.heel, math.tan(math.radians(lean))
    rng = np.random.default_rng(7)
    p = rng.uniform([-60.0, -36.0], [142.0, 4.0], size=(4000, 2))
    ahead = p[:, 0] - x0 > slope * (p[:, 1] - y0)
    steel = shapely.contains_xy(shapely.Polygon(np.concatenate([dense(c, 400)[:-1] for c in knife.outline.curves])), p)
    found = shapely.contains_xy(knife.bevel_region, p)
    # Points within the polygon's 0.005 mm of a border may fall on either side.
    near = shapely.distance(shapely.points(p), shapely.boundary(knife.bevel_region)) < 0.006
    np.testing.assert_array_equal((found == (ahead & steel)) | near, np.ones(len(p), dtype=bool))
    assert found.sum() > 400


# The grind line.

TALL = {"drop_point": (16.0, 26.0), "petty": (10.0, 26.0), "chef": (20.0, 40.0)}


@pytest.mark.parametrize(("blade", "height"), [(b, h) for b, hs in TALL.items() for h in hs])
def test_grind_line_lies_at_the_bevel_s_height(blade: str, height: float) -> None:
    knife = profile(blade, "straight", height=height)
    edge = shapely.LineString(dense(knife.outline.edge, 4000))
    (row,) = grind_line(knife)
    along = shapely.get_coordinates(shapely.segmentize(shapely.LineString(row), 0.2))
    np.testing.assert_allclose(shapely.distance(shapely.points(along), edge), height, atol=0.02)
    # It runs forward, from the plunge line until it leaves by the spine.
    assert row[0, 0] == pytest.approx(knife.plunge_line.start[0], abs=0.05)
    assert row[-1, 0] > row[0, 0] + 20.0
    spine = shapely.LineString(dense(knife.outline.spine, 400))
    assert spine.distance(shapely.Point(row[-1])) < 0.05


@pytest.mark.parametrize(("height", "rows"), [(22.0, 1), (24.0, 2), (28.0, 2), (30.0, 1)])
def test_grind_line_of_a_recurve_whose_parallel_folds(height: float, rows: int) -> None:
    # The belly's radius is 27 mm: a parallel 30 mm in would cross itself, the true border of the bevel does not. Over
    # the hollow the bevel reaches the spine first: 24 mm in, the line is broken there.
    knife = recurve(height=height)
    edge = shapely.LineString(dense(knife.outline.edge, 4000))
    assert len(grind_line(knife)) == rows
    for row in grind_line(knife):
        np.testing.assert_allclose(shapely.distance(shapely.points(row), edge), height, atol=0.02)
        assert shapely.LineString(row).is_simple
        assert row[0, 0] < row[-1, 0]


def test_grind_line_of_a_disc_is_a_circle() -> None:
    # Source: closed form: a parallel to a circle of radius R, h inside, is a circle of radius R - h.
    knife = ground(disc_outline(), height=15.0, plunge=DISC_CENTRE)
    (row,) = grind_line(knife)
    np.testing.assert_allclose(np.hypot(row[:, 0] - DISC_CENTRE, row[:, 1]), DISC_RADIUS - 15.0, atol=0.02)


def test_no_grind_line_where_the_bevel_reaches_the_spine() -> None:
    assert grind_line(drop_point(height=40.0)) == ()


def test_bevel_of_both_sides_and_no_more() -> None:
    grind = Grind(bevel=FlatBevel(height=10.0, edge_thickness=0.4), plunge=Plunge(x=9.0))
    assert grind == dataclasses.replace(grind)
    grind.require_fit(0.41)
    with pytest.raises(ParameterError):
        grind.require_fit(0.4)


@pytest.mark.parametrize("lean", [-10.0, 0.0, 15.0])
def test_front_to_heel_begins_where_the_handle_front_ends(lean: float) -> None:
    knife = drop_point(front_lean_deg=lean)
    (border,) = knife.front_to_heel
    assert border.start == pytest.approx(knife.handle_front.end, abs=1e-9)
    assert border.end == knife.outline.heel
    far = nearest(knife.outline.loop, dense(border, 50)).distance
    assert far.max() < 1e-9
