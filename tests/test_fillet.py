"""Rounded corners: closed forms between lines, tangency and true radius between curves, errors that help."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from draws import draws
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_facts
from strategies import headings, vectors

from bladegeom.curves.build import arc, direction, line, spline
from bladegeom.curves.curve import Curve, FloatArray, Vector, directions, join, points, rotation
from bladegeom.curves.fillet import fillet, filleted
from bladegeom.curves.measure import curve_length, loop_moments
from bladegeom.quantities.errors import CurveError

ARC = 4e-7
"""How true a drawn arc's radius is, as a part of it."""

TANGENT = 1e-6
"""Greatest angle at a joint, rad."""

sides = st.sampled_from([1.0, -1.0])


def corner(turn_deg: float, arm: float = 60.0) -> tuple[Curve, Curve]:
    """Two lines of the same length along x, then turned, meeting at (arm, 0)."""
    d = direction(turn_deg)
    return line((0, 0), (arm, 0)), line((arm, 0), (arm + arm * d[0], arm * d[1]))


def angle(d: FloatArray | Vector, e: FloatArray | Vector) -> float:
    return abs(math.atan2(d[0] * e[1] - d[1] * e[0], d[0] * e[0] + d[1] * e[1]))


def centre_of(a: Curve, radius: float, side: float) -> FloatArray:
    """The centre that an arc of this radius must have to leave ``a`` tangentially at its end."""
    d = a.end_direction
    return np.array(a.end) + side * radius * np.array([-d[1], d[0]])


def assert_rounds(a: Curve, b: Curve, radius: float, parts: tuple[Curve, Curve, Curve], side: float) -> None:
    """Parts of the two curves with an arc between them, tangent at both joints, all at one distance from its centre."""
    first, rounded, second = parts
    assert (first.start, second.end) == (a.start, b.end)
    join(*parts)
    assert angle(first.end_direction, rounded.start_direction) < TANGENT
    assert angle(rounded.end_direction, second.start_direction) < TANGENT
    centre = centre_of(first, radius, side)
    away = np.hypot(*(points(rounded, np.linspace(0, len(rounded), 101)) - centre).T)
    # 1e-8: the far joint is put on the curve, where the search for it ended.
    np.testing.assert_allclose(away, radius, rtol=ARC, atol=1e-8)
    # The arc turns to the side of the corner, by less than a half circle.
    d = directions(rounded, np.linspace(0, len(rounded), 25))
    assert (side * (d[:-1, 0] * d[1:, 1] - d[:-1, 1] * d[1:, 0]) > 0).all()
    assert curve_length(rounded) < math.pi * radius


# -- lines ----------------------------------------------------------------------------------------------------------


@given(st.floats(1.0, 165.0), sides, st.floats(0.05, 5.0), headings, vectors(reach=100.0))
def test_lines_at_any_angle(turn_deg: float, side: float, radius: float, heading: float, at: Vector) -> None:
    # Tangent length r tan(turn/2); centre at the distance r / cos(turn/2) from the corner.
    turn = rotation(heading)
    turn[:, 2] = at
    a, b = (c.transformed(turn) for c in corner(side * turn_deg))
    parts = fillet(a, b, radius)
    half = math.radians(turn_deg) / 2
    assert math.dist(parts[0].end, a.end) == pytest.approx(radius * math.tan(half), abs=1e-8)
    assert math.dist(parts[2].start, b.start) == pytest.approx(radius * math.tan(half), abs=1e-8)
    centre = centre_of(parts[0], radius, side)
    assert math.dist(centre, a.end) == pytest.approx(radius / math.cos(half), abs=1e-8)
    assert curve_length(parts[1]) == pytest.approx(2 * half * radius, rel=ARC)
    assert_rounds(a, b, radius, parts, side)


def test_area_removed_at_a_right_angle() -> None:
    # A square corner loses (1 - pi/4) r^2: 5.365046 mm2 for r = 5 mm.
    a, b = line((0, 0), (20, 0)), line((20, 0), (20, 20))
    loop = join(*fillet(a, b, 5.0), line((20, 20), (0, 0)))
    removed = 200.0 - loop_moments(loop.pieces)[0]
    exact = (1 - math.pi / 4) * 5**2
    assert exact == pytest.approx(5.365046, abs=5e-7)
    assert removed == pytest.approx(exact, abs=2 * ARC * math.pi / 4 * 25)


def test_a_row_of_corners() -> None:
    # Perimeter of an open U with two right angles: 10 + 30 + 10 - 2 (2 r - pi r / 2).
    sides_of_u = line((0, 10), (0, 0)), line((0, 0), (30, 0)), line((30, 0), (30, 10))
    rounded = filleted(*sides_of_u, radius=4.0)
    assert curve_length(rounded) == pytest.approx(50 - 2 * (2 * 4.0 - math.pi * 4.0 / 2), abs=ARC * 4 * math.pi)
    assert (rounded.start, rounded.end) == ((0.0, 10.0), (30.0, 10.0))


# -- curves ---------------------------------------------------------------------------------------------------------


@st.composite
def bent_corners(draw: st.DrawFn) -> tuple[Curve, Curve, float]:
    """Two gently bent curves that meet at a corner of 10 to 150 degrees, and the side to which it turns."""
    turn_deg, side = draw(st.floats(10.0, 150.0)), draw(sides)
    bends = st.floats(-25.0, 25.0)
    arm = draw(st.floats(20.0, 80.0)), draw(st.floats(20.0, 80.0))
    d = direction(side * turn_deg)
    far = arm[1] * d[0], arm[1] * d[1]
    a = spline([(-arm[0], 0), (0, 0)], start_deg=draw(bends), end_deg=0.0)
    b = spline([(0, 0), far], start_deg=side * turn_deg, end_deg=side * turn_deg + draw(bends))
    turn = rotation(draw(headings))
    turn[:, 2] = draw(vectors(reach=100.0))
    return a.transformed(turn), b.transformed(turn), side


@given(bent_corners(), st.floats(0.01, 3.0))
def test_curves_are_met_tangentially(corner_of: tuple[Curve, Curve, float], radius: float) -> None:
    a, b, side = corner_of
    try:
        parts = fillet(a, b, radius)
    except CurveError as error:
        # 3 mm of radius need up to 3 tan(75 deg) = 11.2 mm of each arm of 20 mm or more, bent by 25 degrees: it fits
        # but where the corner is sharp and the arms bend away from their tangents.
        (limit,) = re.findall(r"about (\d+\.\d+) mm", str(error))
        assume(float(limit) >= radius * 0.1)
        assert float(limit) < radius
        return
    assert_rounds(a, b, radius, parts, side)


@draws(16)  # each tries two dozen radii
@given(bent_corners())
def test_largest_radius_is_named_and_fits(corner_of: tuple[Curve, Curve, float]) -> None:
    a, b, side = corner_of
    try:
        parts = fillet(a, b, 1000.0)
    except CurveError as error:
        refused = str(error)
    else:
        # Arms that bend until they are nearly parallel take any radius.
        assert_rounds(a, b, 1000.0, parts, side)
        return
    found = re.fullmatch(
        r"a fillet of radius 1000 mm does not fit .*; the largest that does is about (\d+\.\d\d) mm", refused
    )
    assert found is not None
    limit = float(found[1])
    assert limit > 1.0
    assert_rounds(a, b, limit * 0.99, fillet(a, b, limit * 0.99), side)
    assert_rounds(a, b, limit, fillet(a, b, limit), side)


@draws(16)
@given(st.floats(5.0, 160.0), sides, st.floats(5.0, 50.0))
def test_largest_radius_between_lines(turn_deg: float, side: float, arm: float) -> None:
    # The tangent length may be at most the arm: r = arm / tan(turn/2), told to the hundredth below.
    a, b = corner(side * turn_deg, arm)
    exact = arm / math.tan(math.radians(turn_deg) / 2)
    with pytest.raises(CurveError) as e:
        fillet(a, b, exact * 1.001 + 0.001)
    limit = e.value.limit
    assert limit is not None
    assert exact - 0.011 < limit <= exact
    assert_rounds(a, b, exact * 0.9999, fillet(a, b, exact * 0.9999), side)


def test_a_radius_that_would_use_up_an_arm_is_refused() -> None:
    # r tan(45 deg) = 10 mm is all of the arm.
    with pytest.raises(CurveError) as caught:
        fillet(*corner(90.0, 10.0), 10.0)
    assert_facts(caught.value, value=10.0, at=(10.0, 0.0), limit=9.99)


def test_the_hollow_of_an_arm_limits_the_radius() -> None:
    # An arm that is an arc of 8 mm about (0, 8), and the line that comes down on its end from inside the bend: a circle
    # inside touches both only while it is smaller than the arc.
    hollow = arc((0, 8), 8.0, -90.0, 150.0)
    end = hollow.end
    # From the arc's end straight back towards its own middle.
    back = line(end, (end[0] - 14, end[1] - 4))
    small = fillet(hollow, back, 1.0)
    assert_rounds(hollow, back, 1.0, small, 1.0)
    with pytest.raises(CurveError) as e:
        fillet(hollow, back, 9.0)
    limit = e.value.limit
    assert limit is not None
    assert 1.0 < limit < 8.0
    assert_rounds(hollow, back, 0.99 * limit, fillet(hollow, back, 0.99 * limit), 1.0)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize("turn_deg", [0.3, 1.0, 5.0])
@pytest.mark.parametrize("bend_deg", [-20.0, 20.0])
@pytest.mark.parametrize("radius", [0.05, 1.0, 20.0])
def test_shallow_corner_of_curves(turn_deg: float, side: float, bend_deg: float, radius: float) -> None:
    # The chords of a bent arm differ in direction from its tangent by more than this corner turns.
    a = spline([(-50, 0), (0, 0)], start_deg=bend_deg, end_deg=0.0)
    d = direction(side * turn_deg)
    b = spline([(0, 0), (50 * d[0], 50 * d[1])], start_deg=side * turn_deg, end_deg=side * turn_deg - bend_deg)
    assert_rounds(a, b, radius, fillet(a, b, radius), side)


@pytest.mark.parametrize("shift", [0.0, 1e4])
def test_far_from_the_origin(shift: float) -> None:
    a = spline([(-50, 3), (-20, -1), (0, 0)]).moved(shift, -shift)
    b = spline([(0, 0), (-5, 20), (3, 60)]).moved(shift, -shift)
    assert_rounds(a, b, 4.0, fillet(a, b, 4.0), 1.0)


def test_corner_with_doubled_control_points() -> None:
    a = Curve(np.array([[[-40, 5], [-20, 0], [0, 0], [0, 0]]]))
    b = Curve(np.array([[[0, 0], [0, 0], [1, 20], [0, 40]]]))
    assert_rounds(a, b, 2.0, fillet(a, b, 2.0), 1.0)


# -- errors ---------------------------------------------------------------------------------------------------------


def test_curves_that_do_not_meet() -> None:
    with pytest.raises(CurveError) as caught:
        fillet(line((0, 0), (10, 0)), line((10.5, 0), (10.5, 9)), 1.0)
    assert_facts(caught.value, at=(10.0, 0.0), value=0.5)


@pytest.mark.parametrize("turn_deg", [0.0, 0.09, -0.09])
def test_no_corner(turn_deg: float) -> None:
    with pytest.raises(CurveError) as caught:
        fillet(*corner(turn_deg), 1.0)
    assert_facts(caught.value, at=(60.0, 0.0), value=None)


@pytest.mark.parametrize("radius", [0.0, -1.0, math.nan, math.inf])
def test_radius_must_be_positive(radius: float) -> None:
    with pytest.raises(CurveError) as caught:
        fillet(*corner(90.0), radius)
    assert_facts(caught.value, value=radius, limit=0.0)


def test_way_straight_back_has_no_fillet() -> None:
    with pytest.raises(CurveError) as caught:
        fillet(line((0, 0), (10, 0)), line((10, 0), (2, 0)), 1.0)
    assert_facts(caught.value, value=1.0, limit=0.0)
