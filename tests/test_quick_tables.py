"""Tables that leave out what cannot count, against the plain ones that leave out nothing."""

from __future__ import annotations

import numpy as np
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from strategies import tangs
from tangs import TANGS, knife_of

from bladegeom import Hole, Knife, Slot
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline
from bladegeom.holes.net_section import chords
from bladegeom.knife.hole import Opening, axis_points
from bladegeom.outline.outline import Outline
from bladegeom.placing.net_width import CELL, WidthLeft, taken
from bladegeom.placing.width_limits import apart, width_limits


def plain_distances(x: FloatArray, y: FloatArray, vertices: FloatArray) -> FloatArray:
    """From every place to every chord."""
    start, way = vertices[:-1], np.diff(vertices, axis=0)
    past = np.stack([x, y], axis=1)[:, None] - start
    share = np.clip((past * way).sum(axis=-1) / np.maximum((way * way).sum(axis=-1), 1e-300), 0.0, 1.0)
    return np.asarray(np.hypot(*np.moveaxis(past - share[..., None] * way, -1, 0)).min(axis=1))


def plain_height(outline: Outline, x: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Every upright line against every chord."""
    a = np.asarray(outline.polygon.exterior.coords)
    x0, y0, x1, y1 = a[:-1, 0], a[:-1, 1], a[1:, 0], a[1:, 1]
    at = x[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        y = np.where((x0 <= at) != (x1 <= at), y0 + (at - x0) / (x1 - x0) * (y1 - y0), np.nan)
    down = np.sort(-y, axis=1)
    return -down[:, 0], -down[:, 1]


def plain_room(width: WidthLeft, x: FloatArray) -> FloatArray:
    """Every place against every strip."""
    u = np.maximum(np.abs(x[:, None] - width.x) - CELL / 2, 0.0)
    free = np.maximum(width.left, 0.0) / 2
    return np.asarray(np.sqrt((free * free + u * u).min(axis=1, initial=np.inf)))


def plain_apart(xy: FloatArray, others: list[Opening]) -> FloatArray:
    """Every place against every opening at once."""
    axes, radius = axis_points(others), np.array([opening.diameter for opening in others]) / 2
    start, way = axes[:, 0], axes[:, 1] - axes[:, 0]
    past = xy[:, None] - start
    along = (past * way).sum(axis=-1) / np.maximum((way * way).sum(axis=-1), 1e-300)
    beside_it = past - np.clip(along, 0.0, 1.0)[..., None] * way
    return np.asarray(np.sqrt((beside_it**2).sum(axis=-1)) - radius)


def plain_taken(x: FloatArray, openings: list[Opening]) -> FloatArray:
    """Every line of every strip against every opening."""
    lines = x[:, None] + CELL * np.linspace(-0.5, 0.5, 5)
    down, up = chords(lines.ravel(), openings)
    return np.asarray(np.nan_to_num(up - down).sum(axis=1).reshape(lines.shape).max(axis=1))


def places_about(knife: Knife, count: int, seed: int) -> FloatArray:
    """Places on the tang and some way off it, some of them at one spot, in no order."""
    x0, y0, _, y1 = knife.outline.bounds
    random = np.random.default_rng(seed)
    xy = random.uniform((x0 - 20.0, y0 - 10.0), (20.0, y1 + 10.0), (count, 2))
    return np.concatenate([xy, xy[:3], [(400.0, 90.0)]])


@given(tangs(), st.integers(0, 2**32 - 1), st.sampled_from([5, 700, 3000]))
@draws(10)
def test_distances_to_a_polyline(knife: Knife, seed: int, count: int) -> None:
    x, y = places_about(knife, count, seed).T
    ring = np.asarray(knife.outline.polygon.exterior.coords)
    fine = np.repeat(ring[:-1], 4, axis=0) + np.tile([[0.0], [0.25], [0.5], [0.75]], (len(ring) - 1, 1)) * np.repeat(
        np.diff(ring, axis=0), 4, axis=0
    )
    for line in (ring, fine):
        assert Polyline(line).distances(x, y) == pytest.approx(plain_distances(x, y, line), abs=1e-9)


def test_a_distance_does_not_hang_on_the_other_places() -> None:
    # To the last digit: two places measured alone, among few in one table, and among many in squares.
    knife = knife_of("chef")
    ring = np.asarray(knife.outline.polygon.exterior.coords)
    x, y = places_about(knife, 6000, 7).T
    assert len(x) * (len(ring) - 1) > 1_000_000
    many = Polyline(ring).distances(x, y)
    for i in range(0, len(x) - 1, 331):
        assert (Polyline(ring).distances(x[i : i + 2], y[i : i + 2]) == many[i : i + 2]).all()
        assert (Polyline(ring).distances(x[i : i + 33], y[i : i + 33]) == many[i : i + 33]).all()


def test_places_without_numbers_have_no_distance() -> None:
    ring = np.asarray(knife_of("chef").outline.polygon.exterior.coords)
    x = np.linspace(-100.0, 0.0, 3000)
    x[17] = np.nan
    found = Polyline(ring).distances(x, np.zeros(3000))
    assert np.flatnonzero(np.isnan(found)).tolist() == [17]


@pytest.mark.parametrize("name", TANGS)
def test_height_of_the_tang(name: str) -> None:
    outline = knife_of(name).outline
    x0, _, x1, _ = outline.bounds
    corners = np.asarray(outline.polygon.exterior.coords)[:, 0]
    x = np.concatenate([np.linspace(x0 - 3.0, x1 + 3.0, 500)[::-1], corners, [np.nan, np.inf, 1e9], corners[:2]])
    for found, plain in zip(outline.tang_height(x), plain_height(outline, x), strict=True):
        assert np.array_equal(found, plain, equal_nan=True)
    assert all(len(found) == 0 for found in outline.tang_height(np.empty(0)))


@given(tangs(), st.integers(0, 2**32 - 1))
@draws(10)
def test_what_the_net_width_leaves(knife: Knife, seed: int) -> None:
    x0 = knife.outline.bounds[0]
    hole = Hole(x=x0 / 2, y=knife.outline.mid_line[-1, 1], diameter=9.0, purpose="lightening")
    width = WidthLeft.of(knife, [hole])
    x = np.random.default_rng(seed).uniform(x0 - 30.0, 30.0, 300)
    for at in (x, width.x[::7], np.array([1e6, -1e6]), np.empty(0)):
        assert np.array_equal(width.room(at), plain_room(width, at))


@given(st.lists(st.floats(-90.0, -5.0), max_size=9), st.floats(-20.0, 20.0))
@draws(10)
def test_what_openings_take_of_upright_strips(places: list[float], lean: float) -> None:
    x = np.arange(-100.0, 5.0, CELL)
    holes: list[Opening] = [
        Hole(x=at, y=-12.0 + i, diameter=3.0 + i, purpose="lightening") for i, at in enumerate(places)
    ]
    slot = Slot(start=(-50.0, -12.0), end=(-50.0 + lean, 4.0), diameter=5.0, purpose="lightening")
    alone: list[Opening] = [slot]
    for openings in (holes, [*holes, slot], alone):
        assert np.array_equal(taken(x, openings), plain_taken(x, openings))
    assert (taken(x, [Hole(x=60.0, y=-12.0, diameter=9.0, purpose="lightening")]) == 0.0).all()


@given(tangs(), st.integers(0, 2**32 - 1))
@draws(10)
def test_distances_to_openings(knife: Knife, seed: int) -> None:
    xy = places_about(knife, 50, seed)
    others: list[Opening] = [
        Hole(x=-30.0, y=-10.0, diameter=5.0, purpose="lightening"),
        Slot(start=(-40.0, -9.0), end=(-61.0, -12.0), diameter=6.0, purpose="lightening"),
    ]
    assert np.array_equal(apart(xy, others), plain_apart(xy, others))
    web = knife.rules.least_web(knife.stock.thickness)
    assert np.array_equal(width_limits(knife, xy, others).web, (plain_apart(xy, others) - web - 1e-9).min(axis=1))
