"""Nearest points against dense sampling and a scalar minimiser; crossings against polynomial roots."""

from __future__ import annotations

import math

import numpy as np
import pytest
from draws import draws
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from strategies import curves, headings, lines, vectors, wild_pieces

from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import Curve, FloatArray, Vector, derivatives, directions, points, rotation, subdivided
from bladegeom.curves.meet import Crossing, _roots, along_line, crossings, nearest
from bladegeom.quantities.tolerances import POINT

# -- nearest --------------------------------------------------------------------------------------------------------

SAMPLES = 4000


def densely(curve: Curve) -> tuple[FloatArray, FloatArray]:
    t = np.linspace(0, len(curve), SAMPLES * len(curve) + 1)
    return t, points(curve, t)


@given(curves() | wild_pieces(), st.lists(vectors(reach=400.0), min_size=1, max_size=8))
def test_nearest_against_dense_sampling_and_a_minimiser(curve: Curve, targets: list[Vector]) -> None:
    found = nearest(curve, targets)
    t, sampled = densely(curve)
    # A true minimum between two samples is lower by at most half the way from one to the next.
    way = np.hypot(*np.diff(sampled, axis=0).T)
    np.testing.assert_allclose(points(curve, found.t), found.xy, rtol=0, atol=POINT)
    for target, xy, distance in zip(np.array(targets), found.xy, found.distance, strict=True):
        assert distance == pytest.approx(float(np.hypot(*(xy - target))), abs=1e-12)
        away = np.hypot(*(sampled - target).T)
        i = int(away.argmin())
        assert distance <= away[i] + POINT
        assert distance >= away[i] - float(way.max())
        low, high = t[max(i - 1, 0)], t[min(i + 1, len(t) - 1)]

        def square(place: float, target: FloatArray = target) -> float:
            return float(((points(curve, place)[0] - target) ** 2).sum())

        best = minimize_scalar(square, bounds=(low, high), method="bounded", options={"xatol": 1e-9})
        assert distance <= math.sqrt(best.fun) + POINT


@given(curves(), st.floats(0.0, 1.0))
def test_point_on_the_curve_is_its_own_nearest(curve: Curve, part: float) -> None:
    (place,) = points(curve, part * len(curve))
    found = nearest(curve, [place])
    assert found.distance[0] <= POINT
    np.testing.assert_allclose(found.xy[0], place, rtol=0, atol=POINT)


@given(curves(), st.floats(0.1, 50.0), st.sampled_from([-1.0, 1.0]))
def test_foot_of_a_small_normal_step_is_where_it_started(curve: Curve, at: float, side: float) -> None:
    t = (at / 50.0) * len(curve)
    first, _ = derivatives(curve, t)
    speed = float(np.hypot(*first[0]))
    assume(speed > 0.1)
    normal = side * np.array([-first[0, 1], first[0, 0]]) / speed
    found = nearest(curve, [points(curve, t)[0] + 0.01 * normal])
    assert found.distance[0] <= 0.01 + POINT


def test_beyond_the_ends_of_a_line() -> None:
    found = nearest(line((0, 0), (10, 0)), [(-3, 4), (13, -4), (4, 2.5), (7, 0)])
    # 3-4-5 triangles beyond the ends, the foot inside, and a point of the line.
    np.testing.assert_allclose(found.distance, [5, 5, 2.5, 0], rtol=0, atol=1e-12)
    np.testing.assert_allclose(found.xy, [(0, 0), (10, 0), (4, 0), (7, 0)], rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.t, [0, 1, 0.4, 0.7], rtol=0, atol=1e-9)


@given(headings, st.floats(0.0, 100.0))
def test_nearest_of_a_circle(angle_deg: float, away: float) -> None:
    # | |P| - r |, to the drawn arc's error 4e-7 r.
    a = math.radians(angle_deg)
    found = nearest(arc((0, 0), 30.0, 0.0, 360.0), [(away * math.cos(a), away * math.sin(a))])
    assert found.distance[0] == pytest.approx(abs(away - 30.0), abs=4e-7 * 30)


def test_equidistant_points_choose_one_of_the_nearest() -> None:
    wave = spline([(-20, 0), (-10, 6), (0, 0), (10, 6), (20, 0)], start_deg=60.0, end_deg=-60.0)
    found = nearest(wave, [(0.0, 30.0), (0.0, 6.5)])
    _, sampled = densely(wave)
    for target, distance in zip([(0.0, 30.0), (0.0, 6.5)], found.distance, strict=True):
        assert distance == pytest.approx(float(np.hypot(*(sampled - target).T).min()), abs=1e-5)
    # Symmetric about x = 0, so that the mirrored place is as near.
    mirrored = points(wave, len(wave) - found.t)
    np.testing.assert_allclose(mirrored * [-1, 1], found.xy, rtol=0, atol=1e-9)


def test_two_near_places_within_one_coarse_chord() -> None:
    # An S of one cubic, so flat that one chord of the coarse search stands for all of it: seen from afar its crest and
    # its end are both near, and the nearer must win.
    ripple = Curve(np.array([[[0.0, 0.0], [10.0, 0.12], [20.0, -0.12], [30.0, 0.0]]]))
    target = (15.0, 4000.0)
    _, sampled = densely(ripple)
    least = float(np.hypot(*(sampled - target).T).min())
    assert nearest(ripple, [target]).distance[0] <= least + POINT


def test_nearest_beside_a_place_where_the_curve_stands_still() -> None:
    # x = t^3, y = 2 t^3, t in [-1, 1]: a straight line, travelled without speed at t = 0. The foot of the target,
    # t^3 = 1e-9, lies within a thousandth of that place; the distance from the line is |2 x - y| / sqrt(5).
    still = Curve(np.array([[[-1.0, -2.0], [1.0, 2.0], [-1.0, -2.0], [1.0, 2.0]]]))
    foot, off = 1e-9 * np.array([1.0, 2.0]), 1e-6 * np.array([2.0, -1.0]) / math.sqrt(5)
    assert nearest(still, [foot + off]).distance[0] == pytest.approx(1e-6, abs=1e-12)


def test_nearest_far_from_the_origin() -> None:
    curve = spline([(0, 0), (30, 8), (70, 2)])
    near = nearest(curve, [(20.0, 30.0)])
    far = nearest(curve.moved(1e4, -1e4), [(10020.0, -9970.0)])
    assert far.distance[0] == pytest.approx(near.distance[0], abs=1e-9)


# -- crossings ------------------------------------------------------------------------------------------------------

SHALLOW = 1e-3
"""Crossings at a smaller angle (rad) than this count as touching."""


def roots_on_line(pieces: FloatArray, p: FloatArray, q: FloatArray) -> list[float] | None:
    """Places where pieces cross the stretch p-q, from the roots of cubic polynomials; None where it is a close call."""
    d = (q - p) / np.hypot(*(q - p))
    n = np.array([-d[1], d[0]])
    out = []
    for i, piece in enumerate(pieces):
        a = (piece - p) @ n
        power = [a[3] - 3 * a[2] + 3 * a[1] - a[0], 3 * (a[2] - 2 * a[1] + a[0]), 3 * (a[1] - a[0]), a[0]]
        slope = np.polyder(np.poly1d(power))
        turning = [u.real for u in np.atleast_1d(slope.roots) if -0.1 < u.real < 1.1 and abs(u.imag) < 0.1]
        if min((abs(np.polyval(power, u)) for u in [0.0, 1.0, *turning]), default=1.0) < 1e-3:
            return None
        for root in np.roots(power):
            if abs(root.imag) < 1e-9 and 0 < root.real < 1:
                u = float(root.real)
                v = 1 - u
                place = np.array([v**3, 3 * v * v * u, 3 * v * u * u, u**3]) @ piece
                along = float((place - p) @ d)
                speed = 3 * np.array([v * v, 2 * v * u, u * u]) @ np.diff(piece, axis=0)
                angle = abs(float(speed @ n)) / max(float(np.hypot(*speed)), 1e-12)
                if min(abs(along), abs(along - float(np.hypot(*(q - p))))) < 1e-3 or angle < SHALLOW:
                    return None
                if 0 < along < float(np.hypot(*(q - p))):
                    out.append(i + u)
    return sorted(out)


@given(wild_pieces() | curves(), vectors(), vectors())
def test_crossings_of_a_line_against_polynomial_roots(curve: Curve, p: Vector, q: Vector) -> None:
    assume(math.dist(p, q) > 3.0)
    expected = roots_on_line(curve.pieces, np.array(p), np.array(q))
    assume(expected is not None)
    found = crossings(curve, line(p, q))
    assert [c.t_a for c in found] == pytest.approx(expected, abs=1e-6)


@given(curves(), st.floats(0.02, 0.98), st.floats(-0.3, 0.3), st.floats(0.005, 0.2))
def test_shallow_chords_cross_twice(curve: Curve, part: float, turn: float, depth: float) -> None:
    # A line nearly along the tangent, a little to the inner side: crossings close together, hard for any chord.
    t = part * len(curve)
    (first,), _ = derivatives(curve, t)
    assume(float(np.hypot(*first)) > 1.0)
    d = first / np.hypot(*first)
    c, s = math.cos(turn), math.sin(turn)
    d = np.array([c * d[0] - s * d[1], s * d[0] + c * d[1]])
    middle = points(curve, t)[0] + depth * np.array([-d[1], d[0]])
    p, q = middle - 150 * d, middle + 150 * d
    expected = roots_on_line(curve.pieces, p, q)
    assume(expected is not None)
    found = crossings(curve, line((float(p[0]), float(p[1])), (float(q[0]), float(q[1]))))
    assert [c.t_a for c in found] == pytest.approx(expected, abs=1e-6)


@given(vectors(reach=50.0), st.floats(1.0, 40.0), headings, st.floats(-0.99, 0.99))
def test_crossings_of_a_circle_and_a_line(centre: Vector, radius: float, angle_deg: float, part: float) -> None:
    # At the distance h from the centre the half chord is sqrt(r^2 - h^2).
    a = math.radians(angle_deg)
    d, n = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
    h = part * radius
    foot = np.array(centre) + h * n
    half = math.sqrt(radius**2 - h**2)
    p, q = foot - 100 * d, foot + 100 * d
    # The circle starts off the line, so that its ends are no crossing.
    circle = arc(centre, radius, angle_deg + 90.0, 360.0)
    found = crossings(line((float(p[0]), float(p[1])), (float(q[0]), float(q[1]))), circle)
    assert len(found) == 2
    # The drawn circle is true to 4e-7 r, seen under the angle acos(part).
    slack = 4e-7 * radius / math.sqrt(1 - part**2) + 1e-9
    for crossing, along in zip(found, (-half, half), strict=True):
        np.testing.assert_allclose(crossing.xy, foot + along * d, rtol=0, atol=slack)
        assert crossing.t_a == pytest.approx((100 + along) / 200, abs=slack)


@given(curves() | wild_pieces(), curves() | wild_pieces() | lines())
def test_crossings_of_pairs_are_found_from_both_sides_and_lie_on_both(a: Curve, b: Curve) -> None:
    found, other = crossings(a, b), crossings(b, a)
    for c in found:
        np.testing.assert_allclose(points(a, c.t_a)[0], c.xy, rtol=0, atol=POINT)
        np.testing.assert_allclose(points(b, c.t_b)[0], c.xy, rtol=0, atol=POINT)
    assert [c.t_a for c in found] == sorted(c.t_a for c in found)
    assert len(found) == len(other)
    for c, o in zip(found, sorted(Crossing(o.t_b, o.t_a, o.xy) for o in other), strict=True):
        np.testing.assert_allclose([c.t_a, c.t_b], [o.t_a, o.t_b], rtol=0, atol=1e-6)


@draws(25)
@given(curves(most=4), curves(most=4))
def test_crossings_of_pairs_against_fine_chords(a: Curve, b: Curve) -> None:
    n = 120
    va, vb = (subdivided(c.pieces, n)[:, 0] for c in (a, b))
    va, vb = np.concatenate([va, [a.end]]), np.concatenate([vb, [b.end]])
    za, zb = np.diff(va, axis=0), np.diff(vb, axis=0)
    cross = za[:, None, 0] * zb[None, :, 1] - za[:, None, 1] * zb[None, :, 0]
    gap = vb[None, :-1] - va[:-1, None]
    # Chords with a common direction do not meet transversally: their quotients are never between 0 and 1.
    cross = np.where(cross == 0, np.nan, cross)
    s = (gap[..., 0] * zb[None, :, 1] - gap[..., 1] * zb[None, :, 0]) / cross
    r = (gap[..., 0] * za[:, None, 1] - gap[..., 1] * za[:, None, 0]) / cross
    hits = (s >= 0) & (s < 1) & (r >= 0) & (r < 1)
    rows, _ = np.nonzero(hits)
    # Close calls are left out: shallow crossings (0.05 rad), and those at an end of a curve.
    size = np.hypot(*za.T)[:, None] * np.hypot(*zb.T)[None]
    near = (s > -4) & (s < 5) & (r > -4) & (r < 5)
    assume(not (near & (np.abs(cross) < 0.05 * size)).any())
    ends = np.array([0, len(za) - 1]), np.array([0, len(zb) - 1])
    assume(not near[ends[0]].any())
    assume(not near[:, ends[1]].any())
    found = crossings(a, b)
    assert len(found) == len(rows)
    # A chord's place along its stretch is true to about the stretch.
    np.testing.assert_allclose([c.t_a for c in found], (rows + s[hits]) / n, rtol=0, atol=2 / n)


def test_crossing_at_a_common_knot_counts_once() -> None:
    a = line((-10, 0), (0, 0), (10, 0))
    b = line((0, -10), (0, 0), (0, 10))
    (found,) = crossings(a, b)
    assert (found.t_a, found.t_b) == pytest.approx((1.0, 1.0), abs=1e-9)
    assert found.xy == pytest.approx((0.0, 0.0), abs=1e-9)


def test_common_end_is_a_crossing() -> None:
    (found,) = crossings(line((0, 0), (10, 0)), line((10, 0), (12, 9)))
    assert (found.t_a, found.t_b) == pytest.approx((1.0, 0.0), abs=1e-9)


def test_crossing_twice_at_one_point_of_a_loop() -> None:
    # A loop comes back through its own crossing point, where a line passes too: two places on the loop.
    loop = Curve(np.array([[[0, 0], [40, 30], [-30, 30], [10, 0]]]))
    # It is symmetric about x = 5, where it crosses itself at u and 1 - u with x(u) = 5:
    # x - 5 = -5 + 120 u - 330 u^2 + 220 u^3 = (2u - 1)(110 u^2 - 110 u + 5).
    u = (110 - math.sqrt(110**2 - 4 * 110 * 5)) / 220
    y = 90 * u * (1 - u)
    found = crossings(loop, line((-20, y - 1.0), (30, y + 1.0)))
    assert [c.t_a for c in found] == pytest.approx([u, 1 - u], abs=1e-9)
    assert [c.xy for c in found] == [pytest.approx((5.0, y), abs=1e-8)] * 2


def test_touching_is_found_once_or_not_at_all() -> None:
    # y = x^3 / 100 through the x axis, with which it is parallel where it crosses; and two curves that share a knot
    # and their direction there, but not their bend.
    cubic = Curve(np.array([[[-10, -10], [-10 / 3, 10], [10 / 3, -10], [10, 10]]]))
    a = spline([(0, 0), (4, 1), (5, -3), (3, -9)], start_deg=10.0)
    b = spline([(4, 1), (9, 9)], start_deg=math.degrees(math.atan2(*directions(a, 1.0)[0][::-1])))
    for pair, place in (((cubic, line((-9, 0), (9, 0))), (0.0, 0.0)), ((a, b), (4.0, 1.0))):
        found = crossings(*pair)
        assert len(found) <= 1
        assert [c.xy for c in found] == [pytest.approx(place, abs=1e-3)] * len(found)


def test_nothing_in_common() -> None:
    assert crossings(line((0, 0), (10, 0)), line((0, 1), (10, 1))) == ()
    assert crossings(line((0, 0), (10, 0)), line((11, -5), (11, 5))) == ()
    assert crossings(arc((0, 0), 5.0, 0.0, 360.0), arc((0, 0), 4.999, 0.0, 360.0)) == ()


@pytest.mark.parametrize("angle_deg", [0.0, 33.0])
def test_curves_that_run_along_each_other_end(angle_deg: float) -> None:
    # No count is promised for these; they must come back, quickly, with places that both curves share.
    a = spline([(0, 0), (60, 20), (150, 10), (200, -5)]).transformed(rotation(angle_deg))
    b = Curve(subdivided(a.pieces, 3))
    for c in crossings(a, b):
        np.testing.assert_allclose(points(a, c.t_a), points(b, c.t_b), rtol=0, atol=2 * POINT)


def test_crossings_far_from_the_origin() -> None:
    a, b = spline([(0, 0), (30, 8), (70, 2)]), line((10, 20), (50, -10))
    near, far = crossings(a, b), crossings(a.moved(1e4, 1e4), b.moved(1e4, 1e4))
    assert [c.t_a for c in far] == pytest.approx([c.t_a for c in near], abs=1e-9)
    assert len(near) == 1


@given(curves(), st.floats(-150.0, 150.0), st.floats(-150.0, 150.0), st.floats(0.0, 180.0))
def test_along_line_finds_what_crossings_find(curve: Curve, x: float, y: float, angle: float) -> None:
    dx, dy = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    long = line((x - 900 * dx, y - 900 * dy), (x + 900 * dx, y + 900 * dy))
    found = along_line(curve, (x, y), angle)
    wanted = [c for c in crossings(long, curve) if _is_steep(curve, c.t_b, dx, dy)]
    for c in wanted:
        s = (c.xy[0] - x) * dx + (c.xy[1] - y) * dy
        assert np.abs(found - s).min() < 1e-5
    xy = np.array([x, y]) + found[:, None] * np.array([dx, dy])
    if len(found):
        assert nearest(curve, xy).distance.max() < 1e-4
    assert (np.diff(found) > 0).all()


HEIGHT = st.floats(-50.0, 50.0).filter(lambda height: height == 0.0 or abs(height) > 1e-80)
"""Smaller ones count as nought."""


@given(st.lists(st.tuples(*[HEIGHT] * 4), min_size=1, max_size=5))
def test_roots_of_several_cubics_are_those_of_each(heights: list[tuple[float, float, float, float]]) -> None:
    for (a, b, c, d), found in zip(heights, _roots(np.array(heights)), strict=True):
        alone = np.roots([d - 3 * c + 3 * b - a, 3 * (c - 2 * b + a), 3 * (b - a), a])
        assert found.tolist() == alone.tolist()


@given(curves(), st.floats(-150.0, 150.0), st.floats(-150.0, 150.0))
def test_an_upright_line_from_another_place_of_it_is_the_same_line(curve: Curve, x: float, y: float) -> None:
    assert (along_line(curve, (x, y), 90.0) == along_line(curve, (x, 0.0), 90.0) - y).all()


def _is_steep(curve: Curve, t: float, dx: float, dy: float) -> bool:
    (d,) = directions(curve, t)
    return bool(abs(d[0] * dy - d[1] * dx) > 0.05)


def test_along_line_counts_corners_and_ends_once() -> None:
    zigzag = line((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (20.0, 10.0))
    # Through the corner at (10, 10); along the upright side, whose ends are corners; past the end.
    assert along_line(zigzag, (10.0, 5.0), 90.0) == pytest.approx([-5.0, 5.0])
    assert along_line(zigzag, (0.0, 20.0), -45.0) == pytest.approx([math.hypot(10.0, 10.0)])
    assert along_line(zigzag, (20.0, 0.0), 90.0) == pytest.approx([10.0])
    assert not len(along_line(zigzag, (20.1, 0.0), 90.0))


@pytest.mark.parametrize("x", [5e-324, -5e-324, 1e-310, 1e-160])
def test_a_place_that_is_nearly_at_the_end_of_a_curve_is_at_its_end(x: float) -> None:
    level = line((0.0, 0.0), (10.0, 0.0))
    assert along_line(level, (x, -3.0), 90.0) == pytest.approx([3.0])
    bent = Curve(np.array([[(0.0, 0.0), (1.0, 1.0), (2.0, 1.0), (4.0, 0.0)]]))
    assert along_line(bent, (x, -3.0), 90.0) == pytest.approx([3.0])
