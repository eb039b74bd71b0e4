"""The finished outside of a scale against a plain height of another making."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator
from scipy.spatial import cKDTree
from specimens import drop_point, ground, plain_tang

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.knife.knife import Knife
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.quantities.tolerances import CHORD

LENGTH, HIGH, THICK = 120.0, 25.0, 4.0
"""Of the plain tang and its steel, mm."""

TAPER = ((-120.0, 2.0), (0.0, 4.0))
DOME, EDGE, NOSE = (
    Rounding(width=12.0, depth=2.0),
    Rounding(width=2.5, depth=2.5),
    Rounding(width=1.5, depth=1.5),
)


def with_scales(base: Knife, taper: tuple[tuple[float, float], ...] = (), **more: Any) -> Knife:
    declared = Scales(**{"slab": "NEMA L", "thickness": 8.0, **more})
    return dataclasses.replace(base, stock=Stock(steel="1084", thickness=THICK, taper=taper), scales=declared)


def face_of(knife: Knife) -> ScaleFace:
    assert knife.scale_face is not None
    return knife.scale_face


def plain(taper: tuple[tuple[float, float], ...] = (), **more: Any) -> ScaleFace:
    return face_of(with_scales(ground(plain_tang(length=LENGTH)), taper, **more))


at_places = st.lists(
    st.tuples(st.floats(-LENGTH + 0.01, -0.01), st.floats(-HIGH + 0.01, -0.01)), min_size=1, max_size=20
).map(np.array)


def arc(rounding: Rounding, d: FloatArray) -> FloatArray:
    """What a rounding takes off at a distance from its border: its circle's height, from the angle."""
    r = (rounding.width**2 + rounding.depth**2) / (2 * rounding.depth)
    angle = np.arcsin(np.clip((rounding.width - d) / r, 0.0, 1.0))
    return np.asarray(r * (1 - np.cos(angle)))


@given(at_places)
def test_a_flat_scale(xy: FloatArray) -> None:
    x, y = xy.T
    face = plain(liners=(Liner(sheet="NEMA G-10", thickness=0.8),))
    np.testing.assert_allclose(face.inside(x), 2.0 + 0.8)
    np.testing.assert_allclose(face.height(x, y), 2.0 + 0.8 + 8.0)


any_rounding = st.builds(
    lambda w, share: Rounding(width=w, depth=min(w * share, 1.9)), st.floats(0.5, 14.0), st.floats(0.1, 1.0)
)


@given(at_places, st.lists(any_rounding, max_size=3), st.none() | any_rounding)
def test_roundings_of_a_rectangular_handle(xy: FloatArray, border: list[Rounding], front: Rounding | None) -> None:
    # Source: closed form: distance to the nearest of top, butt and underside, and to the front; all arcs add up.
    x, y = xy.T
    face = plain(rounding=tuple(border), front_rounding=front)
    d = np.minimum(np.minimum(-y, y + HIGH), x + LENGTH)
    off = sum((arc(rounding, d) for rounding in border), np.zeros(len(x)))
    off = off + (arc(front, -x) if front else 0.0)
    np.testing.assert_allclose(face.height(x, y), 2.0 + 8.0 - off, atol=1e-9)


def dense(curve: Curve) -> FloatArray:
    """Points about 0.01 mm apart, from the Bernstein form."""
    rows = []
    for p in curve.pieces:
        n = max(2, math.ceil(float(np.hypot(*np.diff(p, axis=0).T).sum()) / 0.01))
        u = np.linspace(0.0, 1.0, n + 1)[:, None]
        rows.append((1 - u) ** 3 * p[0] + 3 * (1 - u) ** 2 * u * p[1] + 3 * (1 - u) * u * u * p[2] + u**3 * p[3])
    return np.concatenate(rows)


@pytest.mark.parametrize("taper", [(), TAPER])
@pytest.mark.parametrize("bow", [0.0, -2.0, 2.0])
def test_a_real_handle(bow: float, taper: tuple[tuple[float, float], ...]) -> None:
    swell = ((-118.0, 7.5), (-70.0, 8.0), (-30.0, 7.0), (0.0, 7.4))
    base = drop_point(front_lean_deg=10.0, front_bow=bow)
    knife = with_scales(base, taper, swell=swell, rounding=(DOME, EDGE), front_rounding=NOSE)
    face = face_of(knife)
    rng = np.random.default_rng(11)
    x0, y0, x1, y1 = knife.handle_region.bounds
    xy = np.stack([rng.uniform(x0, x1, 4000), rng.uniform(y0, y1, 4000)], axis=1)
    # Within a chord of the border a quarter circle is upright: there a hair aside is a great deal down.
    inner = knife.handle_region.buffer(-0.25)
    xy = xy[shapely.contains_xy(inner, xy[:, 0], xy[:, 1])]
    loop = knife.handle_loop
    steps = [dense(Curve(piece[None])) for piece in loop.pieces]
    heads = len(knife.handle_front)
    front, border = np.concatenate(steps[:heads]), np.concatenate(steps[heads:])
    to_border, to_front = (np.asarray(cKDTree(points).query(xy)[0]) for points in (border, front))
    stations = np.array([(-119.0, 7.5), *swell, (1.0, 7.4)])
    flat = PchipInterpolator(*stations.T)(np.clip(xy[:, 0], -118.0, 0.0))
    half = np.interp(xy[:, 0], *np.array(taper).T) / 2 if taper else 2.0
    wanted = half + flat - arc(DOME, to_border) - arc(EDGE, to_border) - arc(NOSE, to_front)
    # At 0.25 mm from the border the quarter circle falls by tan(64 deg) = 2.1, the nose by 1.5.
    np.testing.assert_allclose(face.height(*xy.T), wanted, atol=4 * CHORD)


@given(at_places)
def test_on_a_tapered_tang_inside_and_outside_follow_the_taper(xy: FloatArray) -> None:
    x, y = xy.T
    more: dict[str, Any] = {"rounding": DOME, "liners": (Liner(sheet="NEMA G-10", thickness=0.8),)}
    even, tapered = plain(**more), plain(TAPER, **more)
    # Source: closed form: 1 mm to 2 mm half thick over 120 mm.
    half = 1.0 + (x + 120.0) / 120.0
    np.testing.assert_allclose(tapered.inside(x), half + 0.8, rtol=1e-12)
    # The scale is as thick everywhere as on an even tang, so it fits without a gap.
    for face in (even, tapered):
        np.testing.assert_allclose(face.inside(x), face.stock.half_thickness(x) + 0.8)
    np.testing.assert_allclose(tapered.height(x, y) - tapered.inside(x), even.height(x, y) - even.inside(x), atol=1e-12)


@given(st.lists(any_rounding, min_size=1, max_size=3), st.none() | any_rounding)
def test_the_least_law_is_the_face(border: list[Rounding], front: Rounding | None) -> None:
    face = plain(rounding=tuple(border), front_rounding=front)
    x, y = np.linspace(-119.0, -1.0, 60), np.linspace(-24.0, -0.5, 60)
    laws = face.laws(x, y)
    assert laws.shape == ((len(border) + 1) * (2 if front else 1), 60)
    np.testing.assert_array_equal(laws.min(axis=0), face.height(x, y))


def test_lowest_and_highest_over_a_disc() -> None:
    # Source: closed form: 12.5 mm from top and underside and away from the ends, a disc of 5 mm on the crest of a dome.
    face = plain(rounding=Rounding(width=12.0, depth=2.0))
    low, high = face.over_disc(-60.0, -12.5, 5.0)
    assert high == pytest.approx(10.0)
    # Its rim is 7.5 mm from the border: 4.5 mm down the arc of radius 37.
    assert low == pytest.approx(10.0 - (37.0 - math.sqrt(37.0**2 - 4.5**2)))
    # Beside the crest, the lowest is on the side of the border: 3 mm from it, the highest 9 mm.
    low, high = face.over_disc(-60.0, -6.0, 3.0)
    assert low == pytest.approx(10.0 - (37.0 - math.sqrt(37.0**2 - 9.0**2)))
    assert high == pytest.approx(10.0 - (37.0 - math.sqrt(37.0**2 - 3.0**2)))


def test_over_a_disc_on_a_taper() -> None:
    # Source: closed form: the face leans by 1 in 120.
    low, high = plain(TAPER).over_disc(-60.0, -12.5, 6.0)
    assert (low, high) == pytest.approx((1.5 + 8.0 - 0.05, 1.5 + 8.0 + 0.05))


def test_where_the_slope_changes_along_x() -> None:
    face = plain(TAPER, swell=((-100.0, 6.0), (-10.0, 7.0)))
    assert sorted(face.breaks) == [-120.0, -100.0, -10.0, 0.0]


def test_a_sheet_lies_on_the_taper() -> None:
    stock = Stock(steel="1084", thickness=4.0, taper=TAPER)
    sheet, x = LaidSheet(stock=stock, lift=0.5, thickness=0.8), np.array([-120.0, -60.0, 0.0])
    assert sheet.inside(x).tolist() == pytest.approx([1.5, 2.0, 2.5])
    assert sheet.height(x, x).tolist() == pytest.approx([2.3, 2.8, 3.3])
    np.testing.assert_array_equal(sheet.laws(x, x), sheet.height(x, x)[None])
    assert sheet.breaks == (-120.0, 0.0)


def test_no_scales_no_face() -> None:
    assert drop_point().scale_face is None
