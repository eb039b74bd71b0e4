"""Curve values: immutable, comparable, checked on entry; their places, directions and parts."""

from __future__ import annotations

import copy
import math
import pickle
from dataclasses import FrozenInstanceError

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_facts
from strategies import curves, wild_pieces

from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import (
    Curve,
    FloatArray,
    curvature,
    derivatives,
    directions,
    join,
    points,
    rotation,
    split,
    subdivided,
)
from bladegeom.quantities.errors import CurveError

ROUNDING = 1e-10
"""Rounding of coordinates of a few hundred mm over some tens of operations (1000 * 2.2e-16 * 100), rounded up."""

STRAIGHT = np.array([[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0]]])


# -- immutability ---------------------------------------------------------------------------------------------------


def test_attribute_cannot_be_set() -> None:
    curve = line((0, 0), (3, 0))
    with pytest.raises(FrozenInstanceError):
        curve.pieces = STRAIGHT  # type: ignore[misc]


@pytest.mark.parametrize("copied", [lambda c: c, copy.deepcopy, lambda c: pickle.loads(pickle.dumps(c))])
def test_array_cannot_be_written(copied: object) -> None:
    assert callable(copied)
    curve = copied(line((0, 0), (3, 0)))
    assert curve == line((0, 0), (3, 0))
    with pytest.raises(ValueError, match="read-only"):
        curve.pieces[0, 0, 0] = 1.0


def test_later_change_of_the_given_array_is_not_seen() -> None:
    given_array = STRAIGHT.copy()
    curve = Curve(given_array)
    given_array[0, 0, 0] = 99.0
    assert curve.start == (0.0, 0.0)


# -- equality -------------------------------------------------------------------------------------------------------


@given(curves(), curves())
def test_equality_and_hash_follow_the_control_points(a: Curve, b: Curve) -> None:
    assert a == Curve(a.pieces.copy())
    assert hash(a) == hash(Curve(a.pieces.copy()))
    assert (a == b) == (a.pieces.tolist() == b.pieces.tolist())
    assert a != a.moved(0.5, 0.0)
    assert a != a.pieces.tolist()


def test_signed_zeros_are_one_value() -> None:
    plus, minus = Curve(STRAIGHT), Curve(STRAIGHT * np.array([1.0, -1.0]))
    assert plus == minus
    assert hash(plus) == hash(minus)


# -- checks on entry ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("piece", [0, 2])
def test_coordinate_that_is_no_number_is_named(bad: float, piece: int) -> None:
    pieces = subdivided(STRAIGHT, 3)
    pieces[piece, 1, 1] = bad
    with pytest.raises(CurveError) as caught:
        Curve(pieces)
    assert_facts(caught.value, value=piece + 1, at=None)


def test_gap_is_named_with_its_place_and_size() -> None:
    pieces = np.concatenate([STRAIGHT, STRAIGHT + np.array([3.0, 0.25])])
    with pytest.raises(CurveError) as caught:
        Curve(pieces)
    assert_facts(caught.value, at=(3.0, 0.0), value=0.25)


def test_gap_below_the_joining_limit_is_closed_exactly() -> None:
    curve = Curve(np.concatenate([STRAIGHT, STRAIGHT + np.array([3.0, 5e-7])]))
    assert curve.pieces[1, 0].tolist() == curve.pieces[0, 3].tolist() == [3.0, 0.0]


@pytest.mark.parametrize("shape", [(0, 4, 2), (4, 2), (1, 3, 2), (1, 4, 3)])
def test_wrong_shape_is_named(shape: tuple[int, ...]) -> None:
    with pytest.raises(CurveError) as caught:
        Curve(np.ones(shape))
    assert_facts(caught.value, value=shape)


def test_piece_of_no_length_is_named() -> None:
    pieces = np.concatenate([STRAIGHT, np.broadcast_to([3.0, 0.0], (1, 4, 2))])
    with pytest.raises(CurveError) as caught:
        Curve(pieces)
    assert_facts(caught.value, at=(3.0, 0.0), value=2)


def test_join_needs_ends_that_meet() -> None:
    a = line((0, 0), (3, 0))
    assert join(a, line((3, 0), (3, 4))).end == (3.0, 4.0)
    with pytest.raises(CurveError) as caught:
        join(a, line((3, 1), (3, 4)))
    assert_facts(caught.value, at=(3.0, 0.0), value=1.0)


# -- images ---------------------------------------------------------------------------------------------------------


@given(curves(), st.floats(0.0, 1.0))
def test_reversed_is_the_same_line_the_other_way(curve: Curve, part: float) -> None:
    back, t = curve.reversed(), part * len(curve)
    assert back.reversed() == curve
    assert (back.start, back.end) == (curve.end, curve.start)
    # 1e-9: t and k - t round differently, and a speed of 200 mm per piece carries that into the point.
    np.testing.assert_allclose(points(back, len(curve) - t), points(curve, t), rtol=0, atol=1e-9)
    np.testing.assert_allclose(back.start_direction, -np.array(curve.end_direction), rtol=0, atol=1e-15)
    np.testing.assert_allclose(back.end_direction, -np.array(curve.start_direction), rtol=0, atol=1e-15)


@given(curves(), st.floats(-720.0, 720.0), st.floats(-50.0, 50.0), st.floats(0.0, 1.0))
def test_affine_image_of_a_point_is_the_point_of_the_image(
    curve: Curve, angle_deg: float, shift: float, part: float
) -> None:
    matrix = rotation(angle_deg, (shift, 3.0)) @ np.array([[1.5, 0.2, 0.0], [0.0, 0.7, 0.0], [0.0, 0.0, 1.0]])
    t = part * len(curve)
    expected = points(curve, t) @ matrix[:, :2].T + matrix[:, 2]
    np.testing.assert_allclose(points(curve.transformed(matrix), t), expected, rtol=0, atol=ROUNDING)


@given(curves(), st.floats(-360.0, 360.0))
def test_rotation_turns_directions_and_keeps_curvature(curve: Curve, angle_deg: float) -> None:
    turned = curve.transformed(rotation(angle_deg, (10.0, -4.0)))
    before, after = curve.start_direction, turned.start_direction
    swept = math.atan2(after[1], after[0]) - math.atan2(before[1], before[0])
    # Modulo a full turn; 1e-9 rad for handles from 1 mm upwards under ROUNDING.
    assert math.remainder(swept - math.radians(angle_deg), math.tau) == pytest.approx(0.0, abs=1e-9)
    t = np.linspace(0, len(curve), 7)
    speed = np.linalg.norm(derivatives(curve, t)[0], axis=1)
    t = t[speed > 1.0]
    np.testing.assert_allclose(curvature(turned, t), curvature(curve, t), rtol=1e-7, atol=1e-7)


@pytest.mark.parametrize(
    ("angle_deg", "step"),
    [(0, (2, 0.5)), (90, (-0.5, 2)), (180, (-2, -0.5)), (-90, (0.5, -2)), (450, (-0.5, 2)), (-180, (-2, -0.5))],
)
def test_quarter_turns_are_exact(angle_deg: float, step: tuple[float, float]) -> None:
    turned = line((3, 1), (9, 9)).transformed(rotation(angle_deg, (1.0, 0.5)))
    assert turned.start == (1.0 + step[0], 0.5 + step[1])


def test_moved() -> None:
    assert line((0, 0), (3, 0)).moved(1.0, -2.0) == line((1, -2), (4, -2))


# -- parts ----------------------------------------------------------------------------------------------------------


@given(curves(), st.floats(0.01, 0.99), st.floats(0.0, 1.0))
def test_split_parts_rejoin_and_keep_every_point(curve: Curve, cut: float, part: float) -> None:
    t = cut * len(curve)
    first, second = split(curve, t)
    whole = join(first, second)
    assert (whole.start, whole.end) == (curve.start, curve.end)
    assert first.end == second.start
    np.testing.assert_allclose(first.end, points(curve, t)[0], rtol=0, atol=1e-9)
    # Place s of the last piece of `first` is place u * s of the whole piece, u the local place of the cut.
    i = len(first) - 1
    u = t - i
    np.testing.assert_allclose(points(first, i + part), points(curve, i + u * part), rtol=0, atol=1e-9)
    if u < 1:  # else the cut fell on a knot
        np.testing.assert_allclose(points(second, part), points(curve, t + (1 - u) * part), rtol=0, atol=1e-9)


@pytest.mark.parametrize("beside", [0.0, 1e-13, -1e-13, 1e-11, -1e-11])
def test_split_at_a_knot_adds_no_piece(beside: float) -> None:
    curve = spline([(0, 0), (5, 3), (12, 1)])
    first, second = split(curve, 1 + beside)
    assert (len(first), len(second)) == (1, 1)
    assert first.end == second.start == (5.0, 3.0)


@pytest.mark.parametrize("t", [0.0, 2.0, -0.5, 2.5, 1e-13, 2 - 1e-13, math.nan])
def test_split_at_an_end_is_refused(t: float) -> None:
    with pytest.raises(CurveError) as caught:
        split(spline([(0, 0), (5, 3), (12, 1)]), t)
    assert_facts(caught.value, value=t, limit=2)


@given(wild_pieces(), st.integers(1, 9), st.floats(0.0, 1.0))
def test_subdivided_pieces_are_the_curve(curve: Curve, n: int, part: float) -> None:
    fine = Curve(subdivided(curve.pieces, n))
    assert len(fine) == n
    np.testing.assert_allclose(points(fine, part * n), points(curve, part), rtol=0, atol=1e-9)


# -- directions and curvature ---------------------------------------------------------------------------------------


@given(curves(), st.data())
def test_direction_is_the_limit_of_chords(curve: Curve, data: st.DataObject) -> None:
    # A chord over 2h of one piece differs from the tangent by at most h^2/6 of the third over the first derivative,
    # 1e-10/6 * 6 * 1600 / 1, and its ends are rounded to 1e-13 / (2e-5 * 1).
    h = 1e-5
    t = data.draw(st.integers(0, len(curve) - 1)) + data.draw(st.floats(h, 1 - h))
    assume(float(np.linalg.norm(derivatives(curve, t)[0])) > 1.0)
    ahead, behind = points(curve, t + h)[0], points(curve, t - h)[0]
    chord = (ahead - behind) / np.linalg.norm(ahead - behind)
    np.testing.assert_allclose(directions(curve, t)[0], chord, rtol=0, atol=2e-7)


@pytest.mark.parametrize(
    ("pieces", "start", "end"),
    [
        ([(0, 0), (0, 0), (3, 4), (9, 4)], (0.6, 0.8), (1, 0)),
        ([(0, 0), (3, 4), (9, 4), (9, 4)], (0.6, 0.8), (1, 0)),
        ([(0, 0), (0, 0), (6, 8), (6, 8)], (0.6, 0.8), (0.6, 0.8)),
        ([(0, 0), (0, 0), (0, 0), (3, 4)], (0.6, 0.8), (0.6, 0.8)),
        ([(0, 0), (3, 4), (3, 4), (3, 4)], (0.6, 0.8), (0.6, 0.8)),
    ],
)
@pytest.mark.parametrize("shift", [0.0, 1e4])
def test_direction_at_doubled_control_points(
    pieces: list[tuple[float, float]], start: tuple[float, float], end: tuple[float, float], shift: float
) -> None:
    # The first control point that differs shows the way. Turned about a far point, doubled ones differ by rounding.
    turn = rotation(30.0, (shift, -shift))
    curve = Curve(np.array([pieces], dtype=float)).transformed(turn)
    wanted = np.array([start, end]) @ turn[:, :2].T
    np.testing.assert_allclose([curve.start_direction, curve.end_direction], wanted, rtol=0, atol=1e-9)
    np.testing.assert_allclose(directions(curve, [0.0, 1.0]), wanted, rtol=0, atol=1e-9)


@pytest.mark.parametrize("radius", [0.5, 5.0, 80.0])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_curvature_of_an_arc_is_one_over_its_radius(radius: float, side: float) -> None:
    # One cubic over w = 30 degrees with handles h = 4/3 tan(w/4): its curvature is farthest from 1 at its ends,
    # 2/3 of the distance of the third control point from the end's tangent over h^2 (r = 1): 0.99971.
    w = math.radians(30)
    h = 4 / 3 * math.tan(w / 4)
    least = 2 / 3 * (1 - math.cos(w) - h * math.sin(w)) / h**2
    curve = arc((10, 20), radius, 15.0, side * 210.0)
    k = curvature(curve, np.linspace(0, len(curve), 71)) * radius * side
    assert k.min() == pytest.approx(least, rel=1e-9)
    assert k.max() < 1 + (1 - least)


def test_curvature_of_a_parabola() -> None:
    # y = x^2 for x in [0, 1] in Bezier form; curvature 2 / (1 + 4 x^2)^1.5.
    parabola = Curve(np.array([[[0, 0], [1 / 3, 0], [2 / 3, 1 / 3], [1, 1]]]))
    x = np.linspace(0, 1, 11)
    np.testing.assert_allclose(curvature(parabola, x), 2 / (1 + 4 * x**2) ** 1.5, rtol=1e-12)


def test_curvature_of_a_line_is_nil() -> None:
    assert np.abs(curvature(line((0, 0), (30, 40)), [0.0, 0.3, 1.0])).max() < 1e-15


# -- sound at one glance --------------------------------------------------------------------------------------------


@given(wild_pieces(), st.sampled_from([0.0, 1e-12, 1e-7, 1.0, math.nan, math.inf, -math.inf]), st.integers(0, 7))
def test_a_piece_is_refused_as_one_of_many_is(piece: Curve, size: float, place: int) -> None:
    """A single piece is looked at by another way than several."""
    shrunk = piece.pieces * (size if math.isfinite(size) else 1.0)
    if not math.isfinite(size):
        shrunk[0, place // 2, place % 2] = size
    after = line((0.0, 0.0), (10.0, 0.0)).pieces + np.nan_to_num(shrunk[0, 3], posinf=0.0, neginf=0.0)
    assert refusal(shrunk) == refusal(np.concatenate([shrunk, after]))


def refusal(pieces: FloatArray) -> str:
    """What a curve of these pieces is refused for; "" where it is not."""
    try:
        Curve(pieces)
    except CurveError as refused:
        return str(refused)
    return ""
