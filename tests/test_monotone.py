"""The course through stations against another library's, and what it promises by itself."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.monotone import monotone

Stations = tuple[FloatArray, FloatArray]


@st.composite
def stations(draw: st.DrawFn, least: int = 2) -> Stations:
    """2 to 8 stations 1 to 80 mm apart, 1 to 20 mm high; some level."""
    n = draw(st.integers(least, 8))
    steps = draw(st.lists(st.floats(1.0, 80.0), min_size=n, max_size=n))
    level = st.sampled_from([4.0, 6.0, 8.0])
    high = draw(st.lists(level | st.floats(1.0, 20.0), min_size=n, max_size=n))
    return -150.0 + np.cumsum(steps), np.array(high)


def inside(x: FloatArray) -> FloatArray:
    return np.linspace(x[0], x[-1], 801)


@given(stations())
def test_against_another_library(given_: Stations) -> None:
    # The other one has slopes of its own at the ends. With a level station beyond either end those are elsewhere, and
    # both have the weighted harmonic mean, or nought where the course turns.
    x, y = given_
    padded = np.concatenate([[x[0] - 1.0], x, [x[-1] + 1.0]]), np.concatenate([[y[0]], y, [y[-1]]])
    at = inside(x)
    np.testing.assert_allclose(monotone(x, y)(at), PchipInterpolator(*padded)(at), rtol=1e-9, atol=1e-9)


@given(stations(least=4))
def test_the_inner_stretches_are_the_other_library_s_as_they_are(given_: Stations) -> None:
    x, y = given_
    at = np.linspace(x[1], x[-2], 401)
    np.testing.assert_allclose(monotone(x, y)(at), PchipInterpolator(x, y)(at), rtol=1e-9, atol=1e-9)


@given(stations())
def test_passes_its_stations(given_: Stations) -> None:
    x, y = given_
    np.testing.assert_allclose(monotone(x, y)(x), y, rtol=1e-12)


@given(stations())
def test_rises_and_falls_only_where_its_stations_do(given_: Stations) -> None:
    x, y = given_
    course = monotone(x, y)
    for i in range(len(x) - 1):
        z = course(np.linspace(x[i], x[i + 1], 201))
        low, high = sorted((y[i], y[i + 1]))
        assert z.min() >= low - 1e-12
        assert z.max() <= high + 1e-12
        assert (np.diff(z) * np.sign(y[i + 1] - y[i]) >= -1e-12).all()
        if y[i] == y[i + 1]:
            np.testing.assert_allclose(z, y[i], rtol=1e-13)


@given(stations())
def test_no_crease_at_any_station(given_: Stations) -> None:
    x, y = given_
    course, step = monotone(x, y), 1e-5
    before, after = (course(x) - course(x - step)) / step, (course(x + step) - course(x)) / step
    # A cubic's slope changes by at most its second derivative times the step; 12 times the mean slope over a length
    # of 1 mm or more bounds that.
    bend = 12 * np.abs(np.diff(y) / np.diff(x) ** 2).max() + 1.0
    np.testing.assert_allclose(before, after, atol=2 * bend * step)


@given(stations(), st.floats(0.0, 500.0))
def test_stays_level_outside(given_: Stations, away: float) -> None:
    x, y = given_
    course = monotone(x, y)
    assert course(np.array([x[0] - away, x[-1] + away])) == pytest.approx([y[0], y[-1]], rel=1e-13)


def test_half_way_between_two_stations() -> None:
    # Source: closed form: level at both ends the cubic is 3 t^2 - 2 t^3: at a quarter of the way 5/32 of the rise.
    course = monotone(np.array([-100.0, 0.0]), np.array([6.0, 8.0]))
    assert course(np.array([-75.0, -50.0, -25.0])) == pytest.approx([6.0 + 2 * 5 / 32, 7.0, 8.0 - 2 * 5 / 32])


def test_one_station_is_level() -> None:
    assert monotone(np.array([-40.0]), np.array([7.0]))(np.array([-90.0, -40.0, 10.0])).tolist() == [7.0] * 3
