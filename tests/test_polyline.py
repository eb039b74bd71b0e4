"""Distances to lines of chords, against the library that measures them one place at a time."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline

ROUNDING = 1e-9
"""Of coordinates up to some 200 mm, squared and rooted again at a place that lies all but on the line, mm."""

SHORTEST = 1e-3
"""Chords of a curve are never so short, mm."""

numbers = st.floats(-200.0, 200.0)
lines = st.lists(st.tuples(numbers, numbers), min_size=2, max_size=40).map(np.array)
vertices = lines.filter(lambda line: bool((np.hypot(*np.diff(line, axis=0).T) > SHORTEST).all()))


def by_the_library(x: FloatArray, y: FloatArray, line: FloatArray) -> FloatArray:
    """Of each place by GEOS."""
    return np.asarray(shapely.distance(shapely.points(x, y), shapely.LineString(line)))


def table(x: FloatArray, y: FloatArray, line: FloatArray) -> FloatArray:
    """Every place by every chord in plain words, which the quick way must come to."""
    start, chord = line[:-1], np.diff(line, axis=0)
    length = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-300)
    along, across = chord / length[:, None], chord[:, ::-1] * (-1.0, 1.0) / length[:, None]
    to_along, to_across = (np.vstack([unit.T, -(start * unit).sum(axis=1)]) for unit in (along, across))
    places = np.stack([x, y, np.ones_like(x)], axis=1)
    past, beside = places @ to_along, places @ to_across
    past = past - np.clip(past, 0.0, length)
    return np.asarray(np.sqrt((past * past + beside * beside).min(axis=1)))


@given(vertices, st.lists(st.tuples(numbers, numbers), min_size=1, max_size=60).map(np.array))
def test_it_measures_as_the_library_does_and_as_the_plain_table(line: FloatArray, places: FloatArray) -> None:
    x, y = places.T
    found = Polyline(line).distances(x, y)
    assert found == pytest.approx(by_the_library(x, y, line), abs=ROUNDING)
    assert (found == table(x, y, line)).all()


@given(vertices, st.data(), st.lists(st.tuples(numbers, numbers), min_size=1, max_size=20).map(np.array))
def test_a_vertex_given_twice_changes_nothing(line: FloatArray, data: st.DataObject, places: FloatArray) -> None:
    """A closed line of a file may end where it begins twice over."""
    twice = np.insert(line, i := data.draw(st.integers(0, len(line) - 1)), line[i], axis=0)
    x, y = places.T
    assert Polyline(twice).distances(x, y) == pytest.approx(by_the_library(x, y, line), abs=ROUNDING)


@given(vertices, st.lists(st.tuples(numbers, numbers), min_size=3, max_size=8).map(np.array), st.integers(1, 3))
def test_leaving_chords_out_changes_nothing_to_the_last_bit(line: FloatArray, way: FloatArray, turns: int) -> None:
    """Many places along a way that crosses the line here and there, a few of them far apart."""
    t = np.linspace(0.0, len(way) - 1.0, 4000 * turns)
    x, y = (np.interp(t, np.arange(len(way)), column) for column in way.T)
    found = Polyline(line).distances(x, y)
    assert (found == table(x, y, line)).all()


def test_a_distance_does_not_hang_on_the_other_places() -> None:
    t = np.linspace(0.0, 3.0, 300)
    line = Polyline(np.stack([100.0 * np.cos(t), 25.0 * np.sin(t)], axis=1))
    x, y = np.random.default_rng(7).uniform((-120.0, -20.0), (120.0, 40.0), (6000, 2)).T
    many = line.distances(x, y)
    assert (many == table(x, y, line.vertices)).all()
    for i in range(0, 5900, 331):
        assert (line.distances(x[i : i + 2], y[i : i + 2]) == many[i : i + 2]).all()
        assert (line.distances(x[i : i + 33], y[i : i + 33]) == many[i : i + 33]).all()


def test_a_place_that_is_no_number_has_no_distance_and_harms_no_other() -> None:
    t = np.linspace(0.0, 3.0, 300)
    line, x = Polyline(np.stack([100.0 * np.cos(t), 25.0 * np.sin(t)], axis=1)), np.linspace(-100.0, 0.0, 3000)
    whole, x_with = line.distances(x, np.zeros(3000)), x.copy()
    x_with[17], x_with[2000] = np.nan, np.inf
    found = line.distances(x_with, np.zeros(3000))
    assert np.isnan(found[17])
    assert found[2000] == np.inf
    assert (np.delete(found, [17, 2000]) == np.delete(whole, [17, 2000])).all()


def test_no_place_and_one_place() -> None:
    line = Polyline(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]]))
    assert line.distances(np.empty(0), np.empty(0)).shape == (0,)
    assert line.distances(np.array([4.0]), np.array([-3.0])).tolist() == [3.0]
