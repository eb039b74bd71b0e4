from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.curves.curve import Curve, curvature, points
from bladegeom.outline.flow import bow
from bladegeom.outline.ramp import peaked, ramped
from bladegeom.quantities.tolerances import SMOOTH_DEG

EXACT = 1e-9  # rounding of numbers of a few hundred mm
RAMP = 20.0  # mm, what a designer asks where a line begins to bend: 15 to 25, common practice, no source


def circle_through(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> float:
    """Curvature of the circle through three places, 1/mm: four times the triangle's area over its three sides."""
    (ux, uy), (vx, vy) = b - a, c - a
    return float(2 * (ux * vy - uy * vx) / (math.dist(a, b) * math.dist(b, c) * math.dist(a, c)))


@st.composite
def noses(draw: st.DrawFn) -> tuple[float, Curve]:
    """Where a bend begins, and a bend that falls or rises from there, as full as an ellipse or nearly so."""
    begin, run = draw(st.floats(12.0, 90.0)), draw(st.floats(35.0, 90.0))
    height = draw(st.floats(0.3, 0.9)) * run * draw(st.sampled_from([-1, 1]))
    corner = draw(st.floats(0.55, 0.85)) * run
    fullness = draw(st.floats(0.52, 0.6)), draw(st.floats(0.52, 0.6))
    return begin, bow((begin, 0.0), (begin + corner, 0.0), (begin + run, height), fullness=fullness)


@given(noses())
def test_the_curvature_grows_from_nought_and_never_leaps(nose: tuple[float, Curve]) -> None:
    begin, bend = nose
    curve = ramped((0.0, 0.0), bend)
    assert (curve.start, curve.end) == ((0.0, 0.0), bend.end)
    assert curve.end_direction == pytest.approx(bend.end_direction, abs=EXACT)
    pieces = [Curve(piece[None]) for piece in curve.pieces]
    assert len(pieces) == 3
    for before, after in pairwise(pieces):
        assert curvature(after, 0.0) == pytest.approx(curvature(before, 1.0), abs=1e-7)
        (dx, dy), (ex, ey) = before.end_direction, after.start_direction
        assert math.degrees(abs(math.atan2(dx * ey - dy * ex, dx * ex + dy * ey))) < SMOOTH_DEG
    level, ramp, _ = pieces
    assert level.end == pytest.approx((begin - RAMP / 2, 0.0), abs=EXACT)
    assert ramp.end[0] == pytest.approx(begin + RAMP / 2, abs=EXACT)
    # It bends to one side only, and over the ramp ever more.
    k = np.abs(curvature(curve, np.linspace(1.0, 2.0, 40)))
    assert np.diff(k).min() > -0.1 * k.max()
    side = np.sign(bend.end[1])
    assert (side * curvature(curve, np.linspace(1.001, len(curve), 90))).min() > 0


def test_halfway_up_the_ramp_it_bends_about_half_as_much() -> None:
    bend = bow((60.0, 0.0), (100.0, 0.0), (120.0, -30.0), fullness=(0.56, 0.57))
    ramp = Curve(ramped((0.0, 0.0), bend).pieces[1][None])
    places = points(ramp, np.array([0.48, 0.5, 0.52, 0.97, 0.985, 1.0]))
    assert circle_through(*places[:3]) / circle_through(*places[3:]) == pytest.approx(0.5, abs=0.03)


def test_a_bend_without_a_level_before_it_stays_as_it_is() -> None:
    bend = bow((0.0, 0.0), (40.0, 0.0), (60.0, -30.0), fullness=(0.56, 0.57))
    assert ramped((0.0, 0.0), bend) == bend


def test_a_bend_that_begins_straight_needs_no_ramp() -> None:
    # A cubic parabola: its curvature grows from nought by itself.
    bend = Curve(np.array([[(20.0, 0.0), (40.0, 0.0), (60.0, 0.0), (80.0, -8.0)]]))
    curve = ramped((0.0, 0.0), bend)
    assert np.array_equal(curve.pieces[1], bend.pieces[0])
    assert len(curve) == 2


@given(st.floats(3.0, 90.0), st.floats(1.0, 40.0))
def test_a_corner_up_to_a_right_angle_is_rounded_with_one_peak(turn_deg: float, reach: float) -> None:
    turn = math.radians(turn_deg)
    end = (reach * math.cos(turn), -reach * math.sin(turn))
    curve = peaked((-reach, 0.0), (0.0, 0.0), end)
    assert curve.start == (-reach, 0.0)
    assert curve.end == pytest.approx(end, abs=EXACT)
    assert curve.start_direction == pytest.approx((1.0, 0.0), abs=EXACT)
    assert curve.end_direction == pytest.approx((math.cos(turn), -math.sin(turn)), abs=EXACT)
    k = -curvature(curve, np.linspace(0.0, 2.0, 201)) * reach
    assert k[[0, -1]] == pytest.approx((0.0, 0.0), abs=1e-6)
    assert k == pytest.approx(k[::-1], abs=1e-6)
    # Up to the middle it bends ever more: nothing else may stand out in the light.
    assert np.diff(k[:101]).min() > -1e-3 * k.max()
    # A circle that touches both lines at the same places is rounder than the peak.
    assert k.max() > math.tan(turn / 2)
