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

numbers = st.floats(-200.0, 200.0)
vertices = st.lists(st.tuples(numbers, numbers), min_size=2, max_size=40).map(np.array)


def by_the_library(x: FloatArray, y: FloatArray, line: FloatArray) -> FloatArray:
    """Of each place by GEOS."""
    return np.asarray(shapely.distance(shapely.points(x, y), shapely.LineString(line)))


def table(x: FloatArray, y: FloatArray, line: FloatArray) -> FloatArray:
    """Every place by every chord in plain words, the rule that the quick one must keep to the last bit."""
    start, chord = line[:-1], np.diff(line, axis=0)
    length = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-300)
    along, across = chord / length[:, None], chord[:, ::-1] * (-1.0, 1.0) / length[:, None]
    to_along, to_across = (np.vstack([unit.T, -(start * unit).sum(axis=1)]) for unit in (along, across))
    places = np.stack([x, y, np.ones_like(x)], axis=1)
    past, beside = places @ to_along, places @ to_across
    past = past - np.clip(past, 0.0, length)
    return np.asarray(np.sqrt((past * past + beside * beside).min(axis=1)))


@given(vertices, st.lists(st.tuples(numbers, numbers), min_size=1, max_size=60).map(np.array))
def test_it_measures_as_the_library_does_and_as_the_plain_table_to_the_last_bit(
    line: FloatArray, places: FloatArray
) -> None:
    x, y = places.T
    found = Polyline(line).distances(x, y)
    assert found == pytest.approx(by_the_library(x, y, line), abs=ROUNDING)
    assert (found == table(x, y, line)).all()


def test_many_places_are_measured_in_parts_as_they_are_at_once() -> None:
    line = np.stack([np.linspace(0.0, 200.0, 300), 20.0 * np.sin(np.linspace(0.0, 3.0, 300))], axis=1)
    x, y = (grid.ravel() for grid in np.meshgrid(np.linspace(-20.0, 220.0, 50), np.linspace(-30.0, 40.0, 20)))
    measured = Polyline(line)
    assert measured.distances(x, y) == pytest.approx(by_the_library(x, y, line), abs=ROUNDING)
    assert measured.distances(x[:0], y[:0]).shape == (0,)
