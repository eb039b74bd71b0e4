"""Fair curves through scattered points: within the distance asked for, near to the truth, few pieces, few waves."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
import specimens
import traces
from draws import quick_rows
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts
from scipy.interpolate import BSpline

from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curvature import course, joints
from bladegeom.curves.curve import Curve, FloatArray, curvature, join
from bladegeom.curves.fair import fair_loop
from bladegeom.curves.inflection import bends
from bladegeom.curves.meet import nearest
from bladegeom.curves.spans import Spans
from bladegeom.outline.outline import Outline
from bladegeom.quantities.errors import CurveError

NOISE, COUNT, WITHIN = 0.2, 300, 0.25
"""Picked points lie at random within 0.2 mm of the line."""


def outline_named(name: str) -> Outline:
    return {"drop_point": specimens.drop_point, "petty": specimens.petty, "chef": specimens.chef}[name]().outline


@cache
def faired(name: str, seed: int) -> tuple[tuple[Curve, ...], FloatArray]:
    points, tip = traces.traced(outline_named(name), COUNT, NOISE, seed)
    return fair_loop(points, [0, tip], WITHIN), points


SHAPES = ("drop_point", "petty", "chef")

cases = pytest.mark.parametrize(
    ("name", "seed"),
    quick_rows(((name, seed) for name in SHAPES for seed in (0, 1, 2)), ("petty", 0)),
)


@cases
def test_no_point_lies_farther_off_than_asked(name: str, seed: int) -> None:
    curves, points = faired(name, seed)
    assert nearest(join(*curves), points).distance.max() <= WITHIN + 1e-9


@cases
def test_the_line_is_near_the_truth(name: str, seed: int) -> None:
    """Within 0.3 mm everywhere, corners included, whose place only a few points tell; half of that as a rule."""
    curves, _ = faired(name, seed)
    truth = outline_named(name)
    assert traces.apart(join(*curves), truth.loop) <= 0.3
    off = nearest(truth.loop, np.array([x for c in curves for x in course(c).xy])).distance
    assert np.sqrt(np.mean(off**2)) <= 0.1


@cases
def test_few_pieces_and_smooth_between_corners(name: str, seed: int) -> None:
    curves, _ = faired(name, seed)
    assert sum(len(c) for c in curves) <= 26
    for curve in curves:
        for joint in joints(curve):
            assert abs(joint.turn_deg) < 1e-6
            assert joint.after == pytest.approx(joint.before, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "seeds"), quick_rows((("petty", (0,)), *((name, (0, 1, 2)) for name in SHAPES)), ("petty", (0,)))
)
def test_hardly_more_bends_than_the_designer_drew(name: str, seeds: tuple[int, ...]) -> None:
    truth = outline_named(name)
    drawn = len(bends(truth.edge, 0.3)) + len(
        bends(join(truth.spine, truth.handle_top, truth.butt, truth.handle_underside, truth.choil), 0.3)
    )
    found = [sum(len(bends(c, 0.3)) for c in faired(name, seed)[0]) for seed in seeds]
    assert np.median(found) <= drawn + 1


@pytest.mark.parametrize(
    ("name", "count", "within", "apart"),
    [("petty", 120, 0.1, 0.2), pytest.param("drop_point", 400, 0.04, 0.06, marks=pytest.mark.long)],
)
def test_clean_points_give_the_line_itself(name: str, count: int, within: float, apart: float) -> None:
    truth = outline_named(name)
    points, tip = traces.traced(truth, count, 0.0, 0)
    assert traces.apart(join(*fair_loop(points, [0, tip], within)), truth.loop) < apart


def test_a_point_far_off_is_named() -> None:
    points, tip = traces.traced(outline_named("petty"), 120, 0.0, 0)
    points[70] += (0.0, 9.0)
    with pytest.raises(CurveError) as caught:
        fair_loop(points, [0, tip], 0.1)
    assert_facts(caught.value, limit=0.1)


def test_a_line_that_was_faired_is_not_faired_again() -> None:
    points, tip = traces.traced(outline_named("petty"), 120, 0.0, 0)
    first = fair_loop(points, [0, tip], 0.1)
    assert fair_loop(points.copy(), (0, tip), 0.1) is first
    moved = points.copy()
    moved[30] += 0.02
    assert fair_loop(moved, [0, tip], 0.1) != first
    assert fair_loop(points, [0, tip], 0.2) is not first


@pytest.mark.parametrize("count", [3, 6000])
def test_too_few_and_too_many_points(count: int) -> None:
    with pytest.raises(CurveError) as caught:
        fair_loop(np.zeros((count, 2)), [0], 0.1)
    assert_facts(caught.value, value=count, limit=5000)


@given(
    ends=st.lists(st.floats(0.05, 1.0), min_size=1, max_size=6),
    seed=st.integers(0, 99),
)
def test_splines_agree_with_another_library(ends: list[float], seed: int) -> None:
    """External check: scipy's B-splines on the same knots."""
    stops = np.concatenate([[0.0], np.cumsum(ends)])
    at = np.random.default_rng(seed).uniform(0, stops[-1], 20)
    knots = np.concatenate([np.repeat(stops[0], 3), stops, np.repeat(stops[-1], 3)])
    theirs = BSpline.design_matrix(at, knots, 3).toarray()
    assert Spans(stops).collocation(at) == pytest.approx(theirs, abs=1e-12)
    weights = np.random.default_rng(seed).normal(size=(len(stops) + 2, 2))
    whole = BSpline(knots, weights, 3)
    pieces = (Spans(stops).beziers @ weights).reshape(-1, 4, 2)
    assert pieces[:, 0] == pytest.approx(whole(stops[:-1]), abs=1e-9)
    assert pieces[:, 3] == pytest.approx(whole(stops[1:]), abs=1e-9)
    third = whole.derivative(3)((stops[:-1] + stops[1:]) / 2) * np.diff(stops)[:, None] ** 3
    stiff = np.trace(weights.T @ Spans(stops).stiffness @ weights)
    assert stiff == pytest.approx((third**2).sum() / 36, rel=1e-6, abs=1e-9)


def test_bends_of_known_curves() -> None:
    circle = arc((0, 0), 10, 0, 120)
    (bend,) = bends(circle, 0.1)
    assert bend.turn_deg == pytest.approx(120, abs=1e-3)
    s = spline([(0, 0), (10, 5), (20, 0), (30, -5), (40, 0)])
    assert [round(math.copysign(1, b.turn_deg)) for b in bends(s, 0.5)] == [-1, 1]
    assert bends(line((0, 0), (5, 0), (5, 5)), 0.1) == ()


def test_weak_bends_count_for_nothing() -> None:
    # Left by 30 degrees, right by 0.2, left by 10: with weak bends left out, left by 40.
    first = arc((0.0, 10.0), 10.0, 240.0, 30.0)
    weak = arc((0.0, -50.0), 50.0, 90.0, -0.2)
    a = math.radians(-0.2)
    centre = (weak.end[0] - 20.0 * math.sin(a), weak.end[1] + 20.0 * math.cos(a))
    last = arc(centre, 20.0, 269.8, 10.0)
    assert [b.turn_deg > 0 for b in bends(join(first, weak, last), 0.1)] == [True, False, True]
    (bend,) = bends(join(first, weak, last), 0.5)
    assert bend.turn_deg == pytest.approx(40.0, abs=0.1)


def test_course_and_joints() -> None:
    c = join(line((0, 0), (10, 0)), arc((10, 5), 5, 270, 90))
    along = course(c)
    assert along.along[-1] == pytest.approx(10 + 5 * math.pi / 2, abs=1e-4)
    assert along.bend[-1] == pytest.approx(0.2, rel=1e-3)
    (tangent, *_) = joints(c)
    assert tangent.turn_deg == pytest.approx(0.0, abs=1e-9)
    assert (tangent.before, tangent.after) == pytest.approx((0.0, 0.2), abs=1e-3)
    assert curvature(c, 1.5)[0] == pytest.approx(0.2, rel=1e-3)
