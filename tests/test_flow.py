from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts, assert_refused, assert_tells

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, FloatArray, Vector, curvature, points
from bladegeom.outline.blade import falling_nose, rounded_corner
from bladegeom.outline.corner import close_square, close_with_butt, down_to_heel, taken_off, to_length
from bladegeom.outline.flow import bow, bow_into, straight_then_bend, sway, sway_from
from bladegeom.outline.through import through
from bladegeom.quantities.errors import CurveError, ParameterError

EXACT = 1e-9  # rounding of numbers of a few hundred mm
CIRCLE = 2.8e-4  # the best quarter circle of one cubic is this part of its radius off: Riskus 2006, from memory


def dense(curve: Curve, n: int = 200) -> FloatArray:
    return np.linspace(0.0, len(curve), n * len(curve) + 1)


def heading(direction: Vector) -> float:
    return math.degrees(math.atan2(direction[1], direction[0]))


@pytest.mark.parametrize(("bend_at", "power"), [(0.0, 2.0), (0.0, 3.0), (0.3, 3.0)])
def test_the_bend_is_the_square_or_the_cube_of_the_way(bend_at: float, power: float) -> None:
    curve = straight_then_bend((10.0, -30.0), bend_at, (110.0, -12.0), power=power)
    x, y = points(curve, dense(curve)).T
    gone = np.clip((x - (10.0 + 100.0 * bend_at)) / (100.0 * (1 - bend_at)), 0.0, 1.0)
    assert np.abs(y - (-30.0 + 18.0 * gone**power)).max() < EXACT


def test_where_a_level_comes_before_the_square_a_ramp_of_20_mm_leads_into_it() -> None:
    curve = straight_then_bend((10.0, -30.0), 0.3, (110.0, -12.0), power=2.0)
    # The level ends half a ramp before 10 + 0.3 * 100 mm.
    assert tuple(points(curve, 1.0)[0]) == pytest.approx((30.0, -30.0), abs=EXACT)
    k = curvature(curve, np.concatenate([np.linspace(1.0, 2.0 - EXACT, 50), np.linspace(2.0 + EXACT, 3.0, 50)]))
    assert k[0] == pytest.approx(0.0, abs=EXACT)
    assert np.abs(np.diff(k)).max() < 0.05 * k.max()
    # It stays near the square of the way: less than half a millimetre beside it, as an edge is ground.
    x, y = points(curve, dense(curve)).T
    gone = np.clip((x - 40.0) / 70.0, 0.0, 1.0)
    assert np.abs(y - (-30.0 + 18.0 * gone**2)).max() < 0.5


@given(
    reach=st.floats(20.0, 300.0).flatmap(lambda r: st.sampled_from([r, -r])),
    rise=st.floats(-60.0, 60.0),
    bend_at=st.floats(0.0, 0.9),
    power=st.floats(1.5, 6.0),
)
def test_a_line_bends_to_one_side_and_ends_in_the_power_s_direction(
    reach: float, rise: float, bend_at: float, power: float
) -> None:
    curve = straight_then_bend((5.0, 2.0), bend_at, (5.0 + reach, 2.0 + rise), power=power)
    assert curve.start == (5.0, 2.0)
    assert curve.end == (5.0 + reach, 2.0 + rise)
    assert curve.start_direction == pytest.approx((math.copysign(1.0, reach), 0.0), abs=EXACT)
    slope = power * rise / (reach * (1 - bend_at))
    assert curve.end_direction[1] / curve.end_direction[0] == pytest.approx(slope, rel=1e-6, abs=EXACT)
    side = math.copysign(1.0, rise * reach)
    assert (side * curvature(curve, dense(curve)) >= -EXACT).all()


@given(bend_at=st.floats(0.0, 0.6), power=st.floats(2.0, 3.2), rise=st.floats(2.0, 15.0))
def test_a_belly_has_one_place_where_it_bends_most(bend_at: float, power: float, rise: float) -> None:
    curve = straight_then_bend((0.0, 0.0), bend_at, (100.0, rise), power=power)
    k = curvature(curve, np.linspace(len(curve) - 1 + 1e-9, len(curve), 400))
    falls = np.diff(k) < -EXACT
    # Once the curvature falls it never rises again.
    assert not (falls[:-1] & (np.diff(k)[1:] > EXACT)).any()


@pytest.mark.parametrize("bend_at", [-0.01, 1.0, math.nan])
def test_a_bend_begins_on_the_way(bend_at: float) -> None:
    with pytest.raises(CurveError) as caught:
        straight_then_bend((0.0, 0.0), bend_at, (100.0, 5.0), power=2.0)
    assert_facts(caught.value, value=bend_at, limit=1.0)


@pytest.mark.parametrize("power", [1.49, -2.0, math.nan])
def test_a_bend_needs_a_power(power: float) -> None:
    with pytest.raises(CurveError) as caught:
        straight_then_bend((0.0, 0.0), 0.2, (100.0, 5.0), power=power)
    assert_facts(caught.value, value=power, limit=1.5)


def test_a_bend_that_begins_almost_at_once_has_no_stub_of_a_line() -> None:
    curve = straight_then_bend((3.0, 1.0), 1e-10, (103.0, 9.0), power=2.0)
    assert len(curve) == 1
    assert curve.start == (3.0, 1.0)


def test_a_bow_can_be_a_quarter_circle() -> None:
    curve = bow((10.0, 0.0), (10.0, 10.0), (0.0, 10.0), fullness=(0.5523, 0.5523))
    assert np.abs(np.hypot(*points(curve, dense(curve)).T) - 10.0).max() < 10.0 * CIRCLE


def test_a_fuller_bow_comes_nearer_to_the_corner() -> None:
    gaps = [
        np.hypot(*(points(bow((10.0, 0.0), (10.0, 10.0), (0.0, 10.0), fullness=(f, f)), 0.5)[0] - 10.0))
        for f in (0.4, 0.6, 0.8, 1.0)
    ]
    assert gaps == sorted(gaps, reverse=True)


def test_a_bow_and_what_it_runs_into_share_direction_and_curvature() -> None:
    head = arc((-100.0, -15.0), 14.0, 180.0, 90.0)
    curve = bow_into((-40.0, 2.0), (-114.0, 2.0), head, fullness=0.7)
    assert curve.end == pytest.approx(head.start, abs=EXACT)
    assert curve.end_direction == pytest.approx(head.start_direction, abs=EXACT)
    assert curvature(curve, 1.0)[0] == pytest.approx(curvature(head, 0.0)[0], rel=1e-9)


def test_a_bow_needs_a_corner() -> None:
    with pytest.raises(CurveError) as caught:
        bow_into((0.0, 5.0), (0.0, 2.0), line((0.0, 0.0), (0.0, -9.0)), fullness=0.5)
    assert_facts(caught.value, at=(0.0, 5.0))


@given(start_deg=st.floats(-180.0, 180.0), end_deg=st.floats(-180.0, 180.0))
def test_a_sway_keeps_both_directions(start_deg: float, end_deg: float) -> None:
    curve = sway((1.0, 2.0), (60.0, -9.0), start_deg=start_deg, end_deg=end_deg, reach=(0.3, 0.4))
    assert (curve.start, curve.end) == ((1.0, 2.0), (60.0, -9.0))
    for got, wanted in ((curve.start_direction, start_deg), (curve.end_direction, end_deg)):
        assert (heading(got) - wanted + 180) % 360 - 180 == pytest.approx(0.0, abs=1e-6)


def test_a_sway_runs_on_with_direction_and_curvature() -> None:
    head = arc((-100.0, -15.0), 14.0, 180.0, 90.0)
    curve = sway_from(head, (-50.0, -20.0), end_deg=0.0, reach=0.6)
    assert curve.start == pytest.approx(head.end, abs=EXACT)
    assert curve.start_direction == pytest.approx(head.end_direction, abs=EXACT)
    assert curve.end_direction == pytest.approx((1.0, 0.0), abs=EXACT)
    assert curvature(curve, 0.0)[0] == pytest.approx(curvature(head, float(len(head)))[0], rel=1e-9)


def test_nothing_sways_from_a_straight_line() -> None:
    with pytest.raises(CurveError) as caught:
        sway_from(line((0.0, 0.0), (5.0, 0.0)), (20.0, 4.0), end_deg=0.0, reach=0.5)
    assert_facts(caught.value, at=(5.0, 0.0))


@given(
    top_end=st.tuples(st.floats(-120.0, -90.0), st.floats(-8.0, 3.0)),
    bottom_start=st.tuples(st.floats(-120.0, -90.0), st.floats(-40.0, -20.0)),
    setback=st.floats(1.0, 20.0),
)
def test_a_butt_is_round_tangent_and_reaches_just_to_the_rear(
    top_end: Vector, bottom_start: Vector, setback: float
) -> None:
    rear = min(top_end[0], bottom_start[0]) - setback
    top, butt, underside = close_with_butt(line((0.0, 0.0), top_end), line(bottom_start, (0.0, -22.0)), rear=rear)
    assert butt.start_direction == pytest.approx(top.end_direction, abs=1e-6)
    assert butt.end_direction == pytest.approx(underside.start_direction, abs=1e-6)
    assert bounding_box(butt.pieces)[0] == pytest.approx(rear, abs=EXACT)
    assert (curvature(butt, dense(butt)) > 0).all()


@pytest.mark.parametrize(
    ("top", "underside", "rear"),
    [
        (line((0.0, 0.0), (-100.0, -30.0)), line((-100.0, -20.0), (0.0, -22.0)), -110.0),  # crossed
        (line((0.0, 0.0), (-100.0, -3.0)), line((-100.0, -25.0), (0.0, -22.0)), -100.0),  # no room for rounding
        (line((0.0, 0.0), (-90.0, 0.0), (-90.0, -3.0)), line((-100.0, -25.0), (0.0, -22.0)), -110.0),  # upright
    ],
)
def test_a_butt_needs_room(top: Curve, underside: Curve, rear: float) -> None:
    with pytest.raises(CurveError) as caught:
        close_with_butt(top, underside, rear=rear)
    assert caught.value.at is not None
    assert caught.value.at[0] == rear
    assert_facts(caught.value, limit=0.0)
    assert_tells(str(caught.value), "flare", "butt_round")


FRONT: Vector = (0.0, -22.0)


@pytest.mark.parametrize("deep", [3.0, 6.0, 12.0, 40.0])
@pytest.mark.parametrize("slope_deg", [0.0, -4.0])
@pytest.mark.parametrize("radius", [2.0, 6.5])
def test_a_choil_has_its_inside_radius_and_meets_handle_and_heel(deep: float, slope_deg: float, radius: float) -> None:
    heel = (12.0, FRONT[1] - deep)
    curve = down_to_heel(FRONT, heel, slope_deg=slope_deg, rake_deg=4.0, radius=radius)
    assert curve.start == pytest.approx(FRONT, abs=EXACT)
    assert curve.end == pytest.approx(heel, abs=EXACT)
    assert heading(curve.start_direction) == pytest.approx(slope_deg, abs=1e-6)
    k = curvature(curve, dense(curve))
    assert k.max() < EXACT
    assert k.min() == pytest.approx(-1 / radius, rel=1e-4)
    steepest = heading(curve.end_direction)
    if deep > 2 * radius:
        assert steepest == pytest.approx(-86.0, abs=1e-6)
    else:
        assert -86.0 - 1e-6 <= steepest < slope_deg


@pytest.mark.parametrize("deep", [2.0, 5.0, 12.0, 40.0])
@pytest.mark.parametrize("ahead", [6.0, 9.0, 20.0])
def test_the_largest_inside_radius_is_told_and_fits(deep: float, ahead: float) -> None:
    heel = (ahead, FRONT[1] - deep)
    with pytest.raises(ParameterError) as caught:
        down_to_heel(FRONT, heel, slope_deg=-2.0, rake_deg=4.0, radius=900.0)
    assert_refused(caught.value, "choil_radius | 0 mm")
    largest = float(caught.value.must.split("at most ")[1].split(" mm")[0])
    curve = down_to_heel(FRONT, heel, slope_deg=-2.0, rake_deg=4.0, radius=largest - 0.006)
    assert curve.start == pytest.approx(FRONT, abs=EXACT)
    assert curve.end == pytest.approx(heel, abs=EXACT)
    # So large a radius leaves no more than a stub of the straight way in front of the arc.
    assert math.dist(curve.pieces[0, 0], curve.pieces[0, 3]) < 0.05
    with pytest.raises(ParameterError):
        down_to_heel(FRONT, heel, slope_deg=-2.0, rake_deg=4.0, radius=largest + 0.006)


def test_a_heel_lies_below_the_falling_underside() -> None:
    with pytest.raises(ParameterError) as caught:
        down_to_heel(FRONT, (10.0, -22.4), slope_deg=-4.0, rake_deg=4.0, radius=3.0)
    assert_refused(caught.value, "height | 22.70 mm")
    least = 22.0 + 10.0 * math.tan(math.radians(4.0))
    assert f"{least:.2f}" in caught.value.must
    down_to_heel(FRONT, (10.0, -least - 0.01), slope_deg=-4.0, rake_deg=4.0, radius=3.0)


# Through places


def turns(curve: Curve) -> int:
    """Changes of side along a curve."""
    k = curvature(curve, np.linspace(EXACT, len(curve) - EXACT, 301 * len(curve)))
    side = np.sign(k[np.abs(k) > 1e-7])
    return int((np.diff(side) != 0).sum())


levels = st.lists(st.floats(1.0, 8.0), min_size=2, max_size=5)


@given(heights=levels, step=st.floats(15.0, 60.0))
def test_a_line_through_crests_and_hollows_swings_as_often_as_they_are(heights: list[float], step: float) -> None:
    knots = [(i * step, h if i % 2 else -h, 0.0) for i, h in enumerate(heights)]
    curve = through(knots)
    assert turns(curve) == len(heights) - 1
    for i, (x, y, _) in enumerate(knots):
        assert tuple(points(curve, float(i))[0]) == pytest.approx((x, y), abs=EXACT)
    # Nothing is higher than the crests or lower than the hollows.
    _, low, _, high = bounding_box(curve.pieces)
    assert (low, high) == pytest.approx((min(y for _, y, _ in knots), max(y for _, y, _ in knots)), abs=EXACT)
    # What is not far apart bends alike on both sides of each place.
    for i in range(1, len(knots) - 1):
        before, after = curvature(curve, np.array([i - EXACT, i + EXACT]))
        swings = [abs(knots[j][1] - knots[j + 1][1]) for j in (i - 1, i)]
        if max(swings) < 2.4 * min(swings):
            assert before == pytest.approx(after, rel=1e-3)


@given(start=st.floats(-60.0, 60.0), turn=st.floats(5.0, 100.0), share=st.floats(0.3, 0.7))
def test_a_span_whose_directions_meet_bends_to_one_side(start: float, turn: float, share: float) -> None:
    chord = start + share * turn
    far = (50.0 * math.cos(math.radians(chord)), 50.0 * math.sin(math.radians(chord)))
    curve = through([(0.0, 0.0, start), (*far, start + turn)])
    assert heading(curve.start_direction) == pytest.approx(start, abs=1e-6)
    assert math.remainder(heading(curve.end_direction) - start - turn, 360) == pytest.approx(0.0, abs=1e-6)
    assert curvature(curve, dense(curve)).min() > -EXACT


@given(slope=st.floats(-3.0, 3.0), along=st.floats(-3.0, 3.0))
def test_almost_straight_spans_have_no_kink(slope: float, along: float) -> None:
    """Directions that meet at an end of the span, or hardly at all, are what a range of values runs through."""
    end = (40.0, 40.0 * math.tan(math.radians(along)))
    curve = through([(0.0, 0.0, 0.0), (*end, slope)])
    assert np.abs(curvature(curve, dense(curve))).max() < 1 / 80


@pytest.mark.parametrize(
    ("knots", "facts"),
    [
        ([(0.0, 0.0, 0.0)], {"value": 1, "limit": 2}),
        ([(0.0, 0.0, 0.0), (math.nan, 1.0, 0.0)], {"value": None, "at": None}),
        ([(1.0, 2.0, 0.0), (1.0, 2.0, 9.0), (3.0, 2.0, 0.0)], {"value": None, "at": (1.0, 2.0)}),
    ],
)
def test_places_that_make_no_line(knots: list[tuple[float, float, float]], facts: dict[str, Any]) -> None:
    with pytest.raises(CurveError) as caught:
        through(knots)
    assert_facts(caught.value, **facts)


# Square butts


@given(lean=st.floats(-20.0, 20.0), reach=st.floats(1.0, 10.0), flare=st.floats(-6.0, 6.0))
def test_a_square_butt_is_a_straight_cut_between_two_circles(lean: float, reach: float, flare: float) -> None:
    upper, lower = (-110.0, 1.0), (-110.0 + 24.0 * math.tan(math.radians(lean)), -23.0)
    curves = close_square(line((0.0, 0.0), upper), line(lower, (0.0, -22.0 + flare)), reach=reach)
    assert math.dist(curves.top.end, upper) == pytest.approx(reach, abs=1e-6)
    assert math.dist(curves.underside.start, lower) == pytest.approx(reach, abs=1e-6)
    chain = [curves.top, *(Curve(piece[None]) for piece in curves.butt.pieces), curves.underside]
    for before, after in itertools.pairwise(chain):
        turn = math.remainder(heading(after.start_direction) - heading(before.end_direction), 360)
        assert abs(turn) < 0.01
    # Own measurement: a cubic of up to 130 degrees with a circle's arms keeps its curvature within 12 %.
    for i in (0, 2):
        k = curvature(curves.butt, np.linspace(i + EXACT, i + 1 - EXACT, 50))
        assert k.min() > 0.88 * k.max()
    # How far the corner that stands out moves ahead.
    rear = min(upper[0], lower[0])
    into, out = (heading(curves.top.end_direction), 270.0 + lean) if lean > 0 else (270.0 + lean, 0.0)
    out = out if lean > 0 else 360.0 + heading(curves.underside.start_direction)
    told = taken_off(into % 360, out, reach=reach)
    assert bounding_box(curves.butt.pieces)[0] - rear == pytest.approx(told, abs=0.01)


def test_a_handle_is_stretched_to_its_length() -> None:
    curves = close_square(line((0.0, 0.0), (-100.0, 0.0)), line((-100.0, -22.0), (0.0, -22.0)), reach=5.0)
    longer = to_length(curves, 100.25)
    assert bounding_box(longer.butt.pieces)[0] == pytest.approx(-100.25, abs=EXACT)
    assert longer.top.end == pytest.approx((curves.top.end[0] * 1.0025, 0.0), abs=EXACT)


def test_roundings_that_do_not_fit_a_square_butt_are_refused() -> None:
    top, underside = line((0.0, 0.0), (-100.0, 0.0)), line((-100.0, -20.0), (0.0, -20.0))
    with pytest.raises(CurveError) as caught:
        close_square(top, underside, reach=10.0)
    assert_facts(caught.value, value=10.0, limit=20.0)
    with pytest.raises(CurveError) as caught:
        close_square(line((-95.0, 0.0), (-100.0, 0.0)), underside, reach=9.0)
    assert_facts(caught.value, value=9.0)


# Points


@given(nose=st.floats(1.1, 2.0), tip_deg=st.floats(50.0, 90.0))
def test_a_nose_falls_in_one_round(nose: float, tip_deg: float) -> None:
    spine = falling_nose((100.0, -24.0), height=26.0, nose=nose, tip_deg=tip_deg)
    assert (spine.start, spine.end) == ((0.0, 0.0), (100.0, -24.0))
    assert heading(spine.end_direction) == pytest.approx(-tip_deg, abs=1e-6)
    # It is level to half a ramp before the nose: 10 mm, or three tenths of a short nose.
    half = min(10.0, 0.3 * nose * 26.0)
    assert tuple(points(spine, 1.0)[0]) == pytest.approx((100.0 - nose * 26.0 - half, 0.0), abs=EXACT)
    assert curvature(spine, dense(spine)).max() < EXACT


def test_a_nose_that_is_too_short_for_its_steepness_is_refused() -> None:
    with pytest.raises(ParameterError) as caught:
        falling_nose((100.0, -24.0), height=26.0, nose=0.5, tip_deg=45.0)
    assert_refused(caught.value, "nose | 0.923")


def test_a_corner_is_rounded_as_far_before_it_as_behind() -> None:
    following = line((63.0, -4.0), (80.0, -26.0))
    rounded = rounded_corner((60.0, 0.0), following)
    assert tuple(points(rounded, 1.0)[0]) == pytest.approx((55.0, 0.0), abs=EXACT)
    crisp = rounded_corner((60.0, 0.0), line((60.0, 0.0), (80.0, -26.0)))
    assert len(crisp) == 2
