"""Outlines made larger all round: against another library's buffer, the distance itself, and closed forms."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
import specimens
from draws import draws, quick
from hypothesis import given, reject
from hypothesis import strategies as st
from refusals import assert_facts

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.curves.fillet import filleted
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import curve_length, loop_moments
from bladegeom.curves.meet import nearest
from bladegeom.curves.offset import offset
from bladegeom.quantities.errors import CurveError

TRUE = 0.01
"""The whole cut file may be so far off, mm; what is grown here may take half of it."""


def off_buffer(rim: Curve, loop: Curve, distance: float) -> float:
    """Distance between a grown outline and GEOS's buffer of a polygon whose chords stay within 0.0005 mm."""
    buffer = shapely.buffer(shapely.Polygon(flatten(loop, 0.0005)), distance, quad_segs=256)
    assert not buffer.interiors
    one, other = shapely.LinearRing(flatten(rim, 0.0005)), buffer.exterior
    return float(shapely.hausdorff_distance(shapely.segmentize(one, 0.2), shapely.segmentize(other, 0.2)))


@st.composite
def stars(draw: st.DrawFn) -> list[Vector]:
    """Corners of a polygon that every ray from the origin meets once, with corners that turn in and out."""
    count = draw(st.integers(4, 9))
    radii = draw(st.lists(st.floats(15.0, 60.0), min_size=count, max_size=count))
    angles = np.arange(count) * math.tau / count
    return [(float(r * math.cos(a)), float(r * math.sin(a))) for r, a in zip(radii, angles, strict=True)]


@draws(15)
@given(stars(), st.floats(0.05, 2.0))
def test_sharp_corners_in_and_out(corners: list[Vector], distance: float) -> None:
    loop = line(*corners, corners[0])
    rim = offset(loop, distance)
    assert off_buffer(rim, loop, distance) <= TRUE / 2
    assert np.abs(nearest(loop, flatten(rim, 0.001)).distance - distance).max() <= TRUE / 2


@draws(12)
@given(stars(), st.floats(0.05, 2.0), st.floats(0.3, 3.0))
def test_inside_arcs_tighter_than_the_distance_vanish(corners: list[Vector], distance: float, radius: float) -> None:
    # From the middle of the first side, so that every corner is one between two curves.
    (x0, y0), (x1, y1) = corners[:2]
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    sides = [line(a, b) for a, b in itertools.pairwise([middle, *corners[1:], corners[0], middle])]
    try:
        loop = filleted(*sides, radius=radius)
    except CurveError:
        # Two sides in one line have no corner to round, and short sides no room for it.
        reject()
    assert off_buffer(offset(loop, distance), loop, distance) <= TRUE / 2


@pytest.mark.parametrize("distance", quick([0.1, 0.3, 1.0], 0.3))
@pytest.mark.parametrize("name", ["drop_point swelled", "chef birds_head", "petty straight", "recurve"])
def test_knives(name: str, distance: float) -> None:
    loop = (specimens.recurve() if name == "recurve" else specimens.profile(*name.split())).outline.loop
    rim = offset(loop, distance)
    assert off_buffer(rim, loop, distance) <= TRUE / 2
    assert np.abs(nearest(loop, flatten(rim, 0.001)).distance - distance).max() <= TRUE / 2


def test_closed_forms() -> None:
    # Steiner 1840: a convex region of area A and border P grows to A + P d + pi d^2 and P + 2 pi d.
    square = line((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0), (0.0, 0.0))
    rim = offset(square, 2.0)
    assert loop_moments(rim.pieces)[0] == pytest.approx(600.0 + 100.0 * 2.0 + math.pi * 4.0, abs=1e-4)
    assert curve_length(rim) == pytest.approx(100.0 + 2 * math.pi * 2.0, abs=1e-4)
    disc = arc((5.0, 5.0), 10.0, 0.0, 360.0)
    assert np.hypot(*(flatten(offset(disc, 0.5), 0.001) - 5.0).T) == pytest.approx(10.5, abs=0.003)


def test_a_gap_that_closes_is_refused_with_its_place() -> None:
    # A slit 1 mm wide, 20 mm deep, from the right.
    corners = [
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 10.0),
        (20.0, 10.0),
        (20.0, 11.0),
        (40.0, 11.0),
        (40.0, 30.0),
        (0.0, 30.0),
    ]
    loop = line(*corners, corners[0])
    assert off_buffer(offset(loop, 0.4), loop, 0.4) <= TRUE / 2
    mouth = [(0.0, 0.0), (40.0, 0.0), (40.0, 14.0), (30.0, 14.0), (30.0, 5.0), (10.0, 5.0), (10.0, 25.0), (30.0, 25.0)]
    mouth += [(30.0, 15.0), (40.0, 15.0), (40.0, 30.0), (0.0, 30.0)]
    with pytest.raises(CurveError) as caught:
        offset(line(*mouth, mouth[0]), 0.6)
    assert_facts(caught.value, value=0.6)
