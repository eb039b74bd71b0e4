"""Lines, arcs and splines against an independent spline and closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts
from scipy.interpolate import CubicSpline
from strategies import curves, headings, knots, vectors

from bladegeom.curves.build import arc, direction, line, spline
from bladegeom.curves.curve import Curve, Vector, curvature, derivatives, points
from bladegeom.quantities.errors import CurveError

AGREE = 1e-9
"""Two solutions of the same linear system, mm."""


@given(knots(), st.none() | headings, st.none() | headings)
def test_spline_against_an_independent_one(
    places: list[Vector], start_deg: float | None, end_deg: float | None
) -> None:
    p = np.array(places)
    h = np.hypot(*np.diff(p, axis=0).T)
    s = np.concatenate([[0.0], np.cumsum(h)])
    # Chord-length knots; first derivative a unit vector, or second derivative nil.
    ends: list[tuple[Literal[1, 2], Vector]] = [
        (2, (0.0, 0.0)) if a is None else (1, (math.cos(math.radians(a)), math.sin(math.radians(a))))
        for a in (start_deg, end_deg)
    ]
    other = CubicSpline(s, p, bc_type=(ends[0], ends[1]))
    mine = spline(places, start_deg=start_deg, end_deg=end_deg)
    assert len(mine) == len(places) - 1
    t = np.linspace(0, len(mine), 12 * len(mine) + 1)
    i = np.minimum(t.astype(int), len(mine) - 1)
    np.testing.assert_allclose(points(mine, t), other(s[i] + (t - i) * h[i]), rtol=0, atol=AGREE)


@given(knots(), st.none() | headings)
def test_spline_goes_through_its_knots_the_way_it_is_told(places: list[Vector], start_deg: float | None) -> None:
    curve = spline(places, start_deg=start_deg, end_deg=37.0)
    assert [curve.start, *map(tuple, curve.pieces[:, 3].tolist())] == [(float(x), float(y)) for x, y in places]
    np.testing.assert_allclose(
        curve.end_direction, (math.cos(math.radians(37)), math.sin(math.radians(37))), rtol=0, atol=1e-12
    )


@given(curves())
def test_spline_is_twice_continuous_at_its_knots(curve: Curve) -> None:
    # By chord length: first derivatives over h, second over h^2, agree from both sides of a knot.
    p = curve.pieces
    h = np.hypot(*(p[:, 3] - p[:, 0]).T)[:, None]
    first = 3 * (p[:, 1] - p[:, 0]) / h, 3 * (p[:, 3] - p[:, 2]) / h
    second = 6 * (p[:, 2] - 2 * p[:, 1] + p[:, 0]) / h**2, 6 * (p[:, 3] - 2 * p[:, 2] + p[:, 1]) / h**2
    np.testing.assert_allclose(first[0][1:], first[1][:-1], rtol=0, atol=1e-11)
    np.testing.assert_allclose(second[0][1:], second[1][:-1], rtol=0, atol=1e-11)


@given(knots(turn_deg=60.0))
def test_natural_end_has_no_bending(places: list[Vector]) -> None:
    curve = spline(places)
    speed = np.linalg.norm(derivatives(curve, [0.0, float(len(curve))])[0], axis=1)
    k = curvature(curve, [0.0, float(len(curve))])
    # Curvature is (P' x P'') / |P'|^3 and P'' = 0 up to rounding of a few hundred mm.
    assert (np.abs(k) * speed**2 < 1e-9).all()


@pytest.mark.parametrize("shift", [0.0, 1e4])
def test_spline_keeps_its_form_far_from_the_origin(shift: float) -> None:
    near = spline([(0, 0), (30, 8), (70, 2), (90, -11)], start_deg=20.0)
    far = spline(
        [(0 + shift, -shift), (30 + shift, 8 - shift), (70 + shift, 2 - shift), (90 + shift, -11 - shift)],
        start_deg=20.0,
    )
    # 1e4 mm are stored to 2e-12.
    np.testing.assert_allclose(far.moved(-shift, shift).pieces, near.pieces, rtol=0, atol=1e-10)


def test_two_knots_without_directions_are_a_line() -> None:
    assert spline([(1, 2), (4, 6)]) == line((1, 2), (4, 6))


@given(
    vectors(), st.floats(0.05, 500.0), headings, st.floats(0.5, 360.0), st.sampled_from([1, -1]), st.floats(0.0, 1.0)
)
def test_arc_is_true_to_its_stated_bound(
    centre: Vector, radius: float, start_deg: float, sweep_deg: float, side: int, part: float
) -> None:
    curve = arc(centre, radius, start_deg, side * sweep_deg)
    away = points(curve, part * len(curve))[0] - np.array(centre)
    # 4e-7 of the radius as stated; 1e-12 mm is the rounding of coordinates of some hundred mm.
    assert abs(float(np.hypot(*away)) - radius) <= 4e-7 * radius + 1e-12
    for angle, place, heading in (
        (start_deg, curve.start, curve.start_direction),
        (start_deg + side * sweep_deg, curve.end, curve.end_direction),
    ):
        a = math.radians(angle)
        on_circle = np.array(centre) + radius * np.array([math.cos(a), math.sin(a)])
        np.testing.assert_allclose(place, on_circle, rtol=0, atol=1e-11)
        np.testing.assert_allclose(
            heading, (-side * math.sin(a), side * math.cos(a)), rtol=0, atol=1e-11 / min(1.0, radius * 1e-2)
        )


def test_bound_of_the_arc_is_nearly_reached() -> None:
    # Error of a cubic over an angle w, handles 4/3 tan(w/4): about 2/27 sin^6(w/4) / cos^2(w/4) of the radius
    # (Goldapp 1991); at 30 degrees 3.7e-7.
    w = math.radians(30) / 4
    formula = 2 / 27 * math.sin(w) ** 6 / math.cos(w) ** 2 * 1  # as a part of the radius, in r - 1
    r = np.hypot(*points(arc((0, 0), 1.0, 0.0, 30.0), np.linspace(0, 1, 2001)).T)
    assert np.abs(r - 1).max() == pytest.approx(formula, rel=0.02)


def test_full_circle_closes() -> None:
    circle = arc((3, 4), 5.0, 90.0, -360.0)
    assert len(circle) == 12
    np.testing.assert_allclose(circle.start, circle.end, rtol=0, atol=1e-14)


@pytest.mark.parametrize(("radius", "sweep"), [(0.0, 90.0), (-1.0, 90.0), (math.nan, 90.0), (math.inf, 90.0)])
def test_arc_without_a_radius_is_refused(radius: float, sweep: float) -> None:
    with pytest.raises(CurveError) as caught:
        arc((0, 0), radius, 0.0, sweep)
    assert_facts(caught.value, value=radius, limit=0.0)


@pytest.mark.parametrize("sweep", [0.0, 360.5, -361.0, math.nan])
def test_arc_without_a_sweep_is_refused(sweep: float) -> None:
    with pytest.raises(CurveError) as caught:
        arc((0, 0), 1.0, 0.0, sweep)
    assert_facts(caught.value, value=sweep, limit=360.0)


def test_arc_with_a_place_that_is_no_number_is_refused() -> None:
    with pytest.raises(CurveError, match="not a finite number"):
        arc((math.nan, 0), 1.0, 0.0, 90.0)


@given(knots())
def test_line_runs_evenly_from_vertex_to_vertex(places: list[Vector]) -> None:
    curve = line(*places)
    v = np.array(places)
    t = np.linspace(0, len(curve), 4 * len(curve) + 1)
    i = np.minimum(t.astype(int), len(curve) - 1)
    expected = v[i] + (t - i)[:, None] * (v[i + 1] - v[i])
    np.testing.assert_allclose(points(curve, t), expected, rtol=0, atol=1e-12)


@pytest.mark.parametrize("make", [line, lambda *v: spline(v)])
@pytest.mark.parametrize(
    ("vertices", "facts"),
    [
        ([(0, 0)], {"value": 1, "limit": 2}),
        ([], {"value": 0, "limit": 2}),
        ([(0, 0, 1), (1, 2, 3)], {"value": 2, "limit": 2}),
        ([(0, 0), (1, 2), (1, 2 + 1e-7), (5, 5)], {"at": (1.0, 2.0)}),
        ([(0, 0), (1, math.nan), (5, 5)], {"value": 2, "limit": None}),
        ([(0, 0), (1, 1), (math.inf, 5)], {"value": 3, "limit": None}),
    ],
)
def test_bad_points_are_named(make: Callable[..., Curve], vertices: list[Vector], facts: dict[str, Any]) -> None:
    with pytest.raises(CurveError) as caught:
        make(*vertices)
    assert_facts(caught.value, **facts)
    assert "np." not in str(caught.value)


@pytest.mark.parametrize("turns", [-720, -360, 0, 360])
@pytest.mark.parametrize(("angle", "exact"), [(0, (1, 0)), (90, (0, 1)), (180, (-1, 0)), (270, (0, -1))])
def test_direction_is_exact_at_quarter_turns(turns: float, angle: float, exact: Vector) -> None:
    assert direction(angle + turns) == exact


def test_direction_in_between() -> None:
    # 30 degrees: cosine sqrt(3)/2, sine 1/2.
    assert direction(30.0) == pytest.approx((math.sqrt(3) / 2, 0.5), abs=1e-15)
