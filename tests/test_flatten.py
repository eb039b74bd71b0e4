"""Chords stay within their tolerance, whatever the curve."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts
from strategies import arcs, curves, lines, wild_pieces

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, FloatArray, points
from bladegeom.curves.flatten import flatten, flatten_pieces
from bladegeom.quantities.errors import CurveError

ROUNDING = 1e-11
"""Rounding of points of a few hundred mm, mm."""

tolerances = st.sampled_from([1.0, 0.05, 0.01, 0.005, 0.001, 1e-4])


def from_chord(p: FloatArray, a: FloatArray, b: FloatArray) -> FloatArray:
    """Distance of points (n, m, 2) from the stretches a-b, each (n, 2)."""
    step = (b - a)[:, None]
    size = np.maximum((step**2).sum(axis=2), 1e-300)
    along = np.clip(((p - a[:, None]) * step).sum(axis=2) / size, 0, 1)
    return np.asarray(np.linalg.norm(p - a[:, None] - along[..., None] * step, axis=2))


@given(curves() | wild_pieces() | arcs() | lines(), tolerances)
def test_no_point_is_farther_from_its_chord_than_the_tolerance(curve: Curve, tolerance: float) -> None:
    vertices = flatten(curve, tolerance)
    _, index, u = flatten_pieces(curve.pieces, tolerance)
    t = np.concatenate([index + u, [float(len(curve))]])
    inside = np.linspace(0, 1, 11)[1:-1]
    places = t[:-1, None] + np.diff(t)[:, None] * inside
    sampled = points(curve, places.ravel()).reshape(*places.shape, 2)
    assert float(from_chord(sampled, vertices[:-1], vertices[1:]).max()) <= tolerance + ROUNDING


@given(curves() | wild_pieces(), tolerances)
def test_vertices_lie_on_the_curve_and_ends_and_knots_are_exact(curve: Curve, tolerance: float) -> None:
    vertices = flatten(curve, tolerance)
    xy, index, u = flatten_pieces(curve.pieces, tolerance)
    np.testing.assert_array_equal(vertices[:-1], xy)
    np.testing.assert_allclose(points(curve, index + u), xy, rtol=0, atol=1e-9)
    np.testing.assert_array_equal(vertices[[0, -1]], [curve.start, curve.end])
    np.testing.assert_array_equal(xy[u == 0], curve.pieces[:, 0])
    assert (np.diff(index + u) > 0).all()


@pytest.mark.parametrize("radius", [1.0, 30.0])
def test_number_of_chords_is_near_the_least(radius: float) -> None:
    # A chord over an angle w has the height r (1 - cos(w/2)); the least number of chords for a full circle is
    # pi / acos(1 - tol/r). Twelve cubics round up separately, and the bound is safe by a few per cent.
    tolerance = 0.001
    least = math.pi / math.acos(1 - tolerance / radius)
    chords = len(flatten(arc((0, 0), radius, 0.0, 360.0), tolerance)) - 1
    assert least <= chords <= 1.1 * least + 12


def test_line_is_one_chord() -> None:
    np.testing.assert_array_equal(flatten(line((0, 0), (300, 1), (301, 80)), 1e-6), [(0, 0), (300, 1), (301, 80)])


@pytest.mark.parametrize("tolerance", [0.0, -0.1, math.nan])
def test_tolerance_must_be_positive(tolerance: float) -> None:
    with pytest.raises(CurveError) as caught:
        flatten(line((0, 0), (3, 0)), tolerance)
    assert_facts(caught.value, value=tolerance, limit=0.0)
