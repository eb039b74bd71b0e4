"""Length and moments against closed forms, numerical integration and polygons."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts
from scipy.integrate import quad
from strategies import curves, wild_pieces

from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import Curve, FloatArray, derivatives, join, points, rotation, subdivided
from bladegeom.curves.fillet import filleted
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import curve_length, loop_moments
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import JOINED

ARC = 4e-7
"""How true a drawn arc's radius is, as a part of it."""

BLADE = [(0, 12), (60, 14), (120, 12), (165, 2), (180, 0), (140, -8), (80, -13), (30, -12), (0, -10)]


def closed(*knots: tuple[float, float]) -> FloatArray:
    """A smooth closed loop: a spline that goes round twice and a bit, cut where it repeats itself, and a chord."""
    curve = spline(knots)
    return join(curve, line(curve.end, curve.start)).pieces


# -- length ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("radius", [0.25, 5.0, 300.0])
def test_length_of_a_circle(radius: float) -> None:
    # 2 pi r; speed along the cubics differs from a circle's by as little as their radius.
    assert curve_length(arc((1, 2), radius, 0.0, 360.0)) == pytest.approx(2 * math.pi * radius, rel=ARC)


def test_length_of_a_parabola() -> None:
    # y = x^2 over [0, 1]: sqrt(5)/2 + asinh(2)/4.
    parabola = Curve(np.array([[[0, 0], [1 / 3, 0], [2 / 3, 1 / 3], [1, 1]]]))
    assert curve_length(parabola) == pytest.approx(math.sqrt(5) / 2 + math.asinh(2) / 4, abs=1e-12)


def test_length_of_a_cusp() -> None:
    # x = t^3, y = t^2, t in [-1, 1], stands still at t = 0: 2 (13 sqrt(13) - 8) / 27.
    # Bezier form in u = (t + 1) / 2 from the blossoms t1 t2 t3 and (t1 t2 + t1 t3 + t2 t3) / 3.
    cusp = Curve(np.array([[[-1, 1], [1, -1 / 3], [-1, -1 / 3], [1, 1]]]))
    assert curve_length(cusp) == pytest.approx(2 * (13 * math.sqrt(13) - 8) / 27, abs=1e-7)


@given(curves())
def test_length_against_numerical_integration(curve: Curve) -> None:
    def speed(t: float) -> float:
        return float(np.hypot(*derivatives(curve, t)[0][0]))

    total = 0.0
    for piece in range(len(curve)):
        # The integration is split where the curve is slowest and its speed may turn sharply.
        u = np.linspace(piece, piece + 1, 65)[1:-1]
        slowest = float(u[int(np.hypot(*derivatives(curve, u)[0].T).argmin())])
        for low, high in ((piece, slowest), (slowest, piece + 1)):
            total += quad(speed, low, high, epsabs=1e-10, epsrel=1e-12, limit=400)[0]
    assert curve_length(curve) == pytest.approx(total, abs=1e-7)


@given(wild_pieces())
def test_length_lies_between_chords_and_control_polygons(curve: Curve) -> None:
    # True of every curve, with cusps or without; both bounds close in on the length as the pieces get finer.
    steps = np.diff(subdivided(curve.pieces, 500), axis=1)
    polygon = float(np.hypot(steps[..., 0], steps[..., 1]).sum())
    chord = steps.sum(axis=1)
    assert float(np.hypot(chord[:, 0], chord[:, 1]).sum()) - 1e-7 <= curve_length(curve) <= polygon + 1e-7
    # From the halves' difference, of second order; where the curve turns back one part of 1/500 is lost.
    assert curve_length(curve) == pytest.approx(polygon, rel=1e-3)


@pytest.mark.parametrize("handles", [(0.0, 4.0), (9.0, -7.0), (-9.0, 9.0)])
def test_length_of_a_way_there_and_back(handles: tuple[float, float]) -> None:
    # On a line the length is the sum of the ways between the places where the speed, a quadratic, turns its sign.
    y = np.array([-5.0, *handles, 1.0])
    a, b, c = np.diff(y)
    turning = np.roots([a - 2 * b + c, 2 * (b - a), a])
    u = np.array([0.0, *sorted(float(r) for r in turning if np.isreal(r) and 0 < r < 1), 1.0])
    v = 1 - u
    exact = float(np.abs(np.diff(v**3 * y[0] + 3 * v * v * u * y[1] + 3 * v * u * u * y[2] + u**3 * y[3])).sum())
    assert len(u) > 2
    assert curve_length(Curve(np.stack([0 * y, y], axis=1)[None])) == pytest.approx(exact, abs=1e-7)


@given(curves(), st.integers(2, 5))
def test_length_does_not_depend_on_the_pieces(curve: Curve, n: int) -> None:
    assert curve_length(Curve(subdivided(curve.pieces, n))) == pytest.approx(curve_length(curve), abs=2e-7)


def test_length_far_from_the_origin() -> None:
    curve = spline([(0, 0), (30, 8), (70, 2)])
    assert curve_length(curve.moved(1e4, -1e4)) == pytest.approx(curve_length(curve), abs=1e-9)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan])
def test_length_that_cannot_be_reached_is_refused(tolerance: float) -> None:
    with pytest.raises(CurveError) as caught:
        curve_length(spline(BLADE), tolerance=tolerance)
    assert_facts(caught.value, limit=tolerance)


# -- moments: closed forms ------------------------------------------------------------------------------------------


def about_centre(m: FloatArray) -> FloatArray:
    """Area, centroid and the three second moments about it."""
    x, y = m[1] / m[0], m[2] / m[0]
    return np.array([m[0], x, y, m[3] - m[0] * x * x, m[4] - m[0] * x * y, m[5] - m[0] * y * y])


@pytest.mark.parametrize("radius", [2.0, 60.0])
def test_moments_of_a_circle(radius: float) -> None:
    found = about_centre(loop_moments(arc((30, -7), radius, 20.0, 360.0).pieces))
    area = math.pi * radius**2
    inertia = math.pi * radius**4 / 4
    np.testing.assert_allclose(found[[0, 3, 5]], [area, inertia, inertia], rtol=4 * ARC)
    np.testing.assert_allclose(found[[1, 2]], [30, -7], rtol=0, atol=1e-9)
    assert abs(found[4]) < 4 * ARC * inertia


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0), st.floats(0.0, 360.0))
def test_moments_of_an_ellipse(a: float, b: float, angle_deg: float) -> None:
    # pi a b; about its axes pi a^3 b / 4 and pi a b^3 / 4; turned by w: the tensor R diag R^T.
    ellipse = arc((0, 0), 1.0, 0.0, 360.0).transformed([[a, 0, 0], [0, b, 0]]).transformed(rotation(angle_deg))
    found = loop_moments(ellipse.moved(11, 5).pieces)
    w = math.radians(angle_deg)
    turn = np.array([[math.cos(w), -math.sin(w)], [math.sin(w), math.cos(w)]])
    area = math.pi * a * b
    tensor = turn @ np.diag([area * a * a / 4, area * b * b / 4]) @ turn.T
    found = about_centre(found)
    np.testing.assert_allclose(found[:3], [area, 11, 5], rtol=4 * ARC)
    # Parallel axes take away up to (11^2 + 5^2) of area: rounding beside the arcs' error.
    size = area * (a * a + b * b) / 4
    np.testing.assert_allclose(
        found[3:], [tensor[0, 0], tensor[0, 1], tensor[1, 1]], rtol=0, atol=4 * ARC * size + 1e-12 * area * 146
    )


def test_moments_of_a_rectangle() -> None:
    # b h, centroid at the middle, h b^3 / 12, 0, b h^3 / 12.
    b, h = 60.0, 25.0
    loop = line((10, 5), (10 + b, 5), (10 + b, 5 + h), (10, 5 + h), (10, 5))
    np.testing.assert_allclose(
        about_centre(loop_moments(loop.pieces)),
        [b * h, 10 + b / 2, 5 + h / 2, h * b**3 / 12, 0.0, b * h**3 / 12],
        rtol=1e-12,
        atol=1e-8,
    )


def test_moments_of_a_rectangle_about_the_origin() -> None:
    # Integrals over [2, 5] x [1, 3]: 6, 21, 12, (125 - 8)/3 * 2, 21/2 * 4, 3 * 26/3.
    loop = line((2, 1), (5, 1), (5, 3), (2, 3), (2, 1))
    np.testing.assert_allclose(loop_moments(loop.pieces), [6, 21, 12, 78, 42, 26], rtol=1e-13)


def test_area_of_a_rounded_rectangle() -> None:
    # b h - (4 - pi) r^2 = 25 * 18 - (4 - pi) * 25 = 428.539816...
    side = line((12.5, 0), (25, 0))
    rest = [line((25, 0), (25, 18)), line((25, 18), (0, 18)), line((0, 18), (0, 0)), line((0, 0), (12.5, 0))]
    loop = filleted(side, *rest, radius=5.0)
    found = about_centre(loop_moments(loop.pieces))
    exact = 25 * 18 - (4 - math.pi) * 5**2
    assert exact == pytest.approx(428.539816, abs=5e-7)
    # The arcs' share, pi r^2, is true to 2 * 4e-7.
    assert found[0] == pytest.approx(exact, abs=2 * ARC * math.pi * 25)
    np.testing.assert_allclose(found[1:3], [12.5, 9.0], rtol=0, atol=1e-9)
    assert curve_length(loop) == pytest.approx(2 * (25 + 18) - (8 - 2 * math.pi) * 5, rel=ARC)


# -- moments: polygons ----------------------------------------------------------------------------------------------


def chords(pieces: FloatArray, n: int) -> shapely.Polygon:
    """The polygon of ``n`` chords of equal parameter steps on each piece."""
    t = np.arange(len(pieces) * n) / n
    return shapely.Polygon(points(Curve(pieces), t))


SMOOTH_LOOPS = {
    "circle": arc((40, 10), 30.0, 0.0, 360.0).pieces,
    "ellipse": arc((0, 0), 1.0, 0.0, 360.0).transformed([[90, 0, 40], [20, 14, 5]]).pieces,
    "blade": closed(*reversed(BLADE)),
    "moved blade": Curve(closed(*reversed(BLADE))).moved(50, 80).pieces,
}


@pytest.mark.parametrize("pieces", SMOOTH_LOOPS.values(), ids=SMOOTH_LOOPS.keys())
def test_moments_against_polygons(pieces: FloatArray) -> None:
    """A plain polygon is about 2e-5 too small: every chord of a convex loop lies inside.

    The gap shrinks with the square of the parameter step, so that 4/3 of the finer less 1/3 of the coarser polygon
    (Richardson) leaves fourth powers only, and 1e-6 is reached. The plain gap is bounded too: no region between curve
    and chords is wider than the tolerance.
    """
    tolerance = 0.001
    exact = loop_moments(pieces)
    assert exact[0] > 0
    plain = shapely.Polygon(flatten(Curve(pieces), tolerance))
    assert plain.is_valid
    assert 0 < abs(plain.area - exact[0]) <= curve_length(Curve(pieces)) * tolerance
    # As many equal steps on each piece as its tolerance asks for, then twice as many.
    second = np.abs(np.diff(pieces, n=2, axis=1)).max() * math.sqrt(2)
    n = math.ceil(math.sqrt(0.75 * second / tolerance))
    coarse, fine = chords(pieces, n), chords(pieces, 2 * n)
    area = (4 * fine.area - coarse.area) / 3
    assert area == pytest.approx(exact[0], rel=1e-6)
    for axis, name in ((1, "x"), (2, "y")):
        first = [getattr(p.centroid, name) * p.area for p in (fine, coarse)]
        assert (4 * first[0] - first[1]) / 3 / area == pytest.approx(exact[axis] / exact[0], rel=1e-6)


# -- moments: laws --------------------------------------------------------------------------------------------------


@st.composite
def loops(draw: st.DrawFn) -> Curve:
    """A random spline closed by its chord; it may cross itself, which changes none of the laws."""
    curve = draw(curves(most=5))
    if math.dist(curve.start, curve.end) <= JOINED:
        return curve
    return join(curve, line(curve.end, curve.start))


LAW = 1e-12
"""Rounding of the laws, as a part of the greatest term that takes part in them."""


def scale(loop: Curve, *, reach: float = 0.0) -> FloatArray:
    """Sizes of the six moments if all the loop's length stood a diameter away: what rounding is a part of."""
    far = float(np.abs(loop.pieces).max()) + reach
    return np.array([1, far, far, far**2, far**2, far**2]) * far * curve_length(loop)


@given(loops())
def test_reversal_turns_all_signs(loop: Curve) -> None:
    np.testing.assert_array_less(
        np.abs(loop_moments(loop.reversed().pieces) + loop_moments(loop.pieces)), LAW * scale(loop)
    )


@given(loops(), st.floats(-100.0, 100.0), st.floats(-100.0, 100.0))
def test_translation_follows_parallel_axes(loop: Curve, dx: float, dy: float) -> None:
    a, x, y, xx, xy, yy = loop_moments(loop.pieces)
    expected = [
        a,
        x + a * dx,
        y + a * dy,
        xx + 2 * x * dx + a * dx * dx,
        xy + x * dy + y * dx + a * dx * dy,
        yy + 2 * y * dy + a * dy * dy,
    ]
    found = loop_moments(loop.moved(dx, dy).pieces)
    np.testing.assert_array_less(np.abs(found - expected), LAW * scale(loop, reach=math.hypot(dx, dy)))


@given(loops(), st.floats(-180.0, 180.0))
def test_rotation_turns_vector_and_tensor(loop: Curve, angle_deg: float) -> None:
    a, x, y, xx, xy, yy = loop_moments(loop.pieces)
    turn = rotation(angle_deg)[:, :2]
    vector = turn @ [x, y]
    tensor = turn @ [[xx, xy], [xy, yy]] @ turn.T
    expected = np.array([a, *vector, tensor[0, 0], tensor[0, 1], tensor[1, 1]])
    found = loop_moments(loop.transformed(rotation(angle_deg)).pieces)
    np.testing.assert_array_less(np.abs(found - expected), LAW * 3 * scale(loop))


@given(loops(), st.floats(0.1, 10.0))
def test_scaling_by_k_multiplies_by_its_powers(loop: Curve, k: float) -> None:
    found = loop_moments(loop.transformed([[k, 0, 0], [0, k, 0]]).pieces)
    expected = loop_moments(loop.pieces) * np.array([k**2, k**3, k**3, k**4, k**4, k**4])
    np.testing.assert_array_less(
        np.abs(found - expected), LAW * scale(loop) * np.array([k**2, k**3, k**3, k**4, k**4, k**4])
    )
