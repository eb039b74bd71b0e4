"""Distances of holes against a densely sampled outline."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree
from specimens import chef, drop_point, ground, petty, plain_tang, recurve

from bladegeom.curves.curve import FloatArray
from bladegeom.holes.clearance import along_x, behind_front, clearances
from bladegeom.knife.hole import Hole, Opening, Slot
from bladegeom.knife.knife import Knife

KNIVES = [drop_point(), petty(), chef(), recurve()]


def border(knife: Knife) -> FloatArray:
    """The outline as points about 0.02 mm apart, from the Bernstein form."""
    rows = []
    for p in knife.outline.loop.pieces:
        n = max(2, math.ceil(float(np.hypot(*np.diff(p, axis=0).T).sum()) / 0.02))
        u = (np.arange(n) / n)[:, None]
        rows.append((1 - u) ** 3 * p[0] + 3 * (1 - u) ** 2 * u * p[1] + 3 * (1 - u) * u * u * p[2] + u**3 * p[3])
    return np.concatenate(rows)


TREES = [cKDTree(border(knife)) for knife in KNIVES]
POLYGONS = [shapely.Polygon(border(knife)) for knife in KNIVES]

openings = st.lists(
    st.one_of(
        st.builds(
            Hole,
            x=st.floats(-115.0, 60.0),
            y=st.floats(-34.0, 4.0),
            diameter=st.floats(1.0, 12.0),
            purpose=st.just("lightening"),
        ),
        st.builds(
            lambda x, y, run, turn, d: Slot(
                start=(x, y), end=(x + run * math.cos(turn), y + run * math.sin(turn)), diameter=d, purpose="lightening"
            ),
            st.floats(-115.0, 60.0),
            st.floats(-34.0, 4.0),
            st.floats(1.0, 15.0),
            st.floats(0.0, 6.28),
            st.floats(1.0, 8.0),
        ),
    ),
    min_size=1,
    max_size=3,
)


def axis_samples(opening: Opening) -> FloatArray:
    a, b = opening.axis
    return np.asarray(a + np.linspace(0.0, 1.0, 101)[:, None] * (b - a))


def crosses(polygon: shapely.Polygon, opening: Opening) -> bool:
    inside = shapely.contains_xy(polygon, axis_samples(opening))
    return bool(inside.any() and not inside.all())


@given(st.sampled_from(range(4)), openings, st.floats(-20.0, 30.0))
def test_against_a_dense_outline(which: int, holes: list[Opening], lean: float) -> None:
    base = KNIVES[which]
    knife = ground(base.outline, holes=tuple(holes), front_lean_deg=lean)
    tree, polygon = TREES[which], POLYGONS[which]
    for hole, clear in zip(holes, clearances(knife), strict=True):
        samples = axis_samples(hole)
        away = float(np.min(tree.query(samples)[0]))
        outside = not shapely.contains_xy(polygon, samples).all()
        if crosses(polygon, hole):
            assert clear.edge_distance == 0.0
        else:
            # Samples lie up to 0.01 mm off the nearest place along the outline, and 0.075 mm along a slot; a slot is
            # measured to a polygon within 0.005 mm.
            slack = 0.011 + (0.08 if isinstance(hole, Slot) else 0.0)
            assert clear.edge_distance == pytest.approx(-away if outside else away, abs=slack)
        assert clear.rim == pytest.approx(clear.edge_distance - hole.diameter / 2, abs=1e-12)
        # The front runs down from the origin: a point's distance from it is x cos(lean) - y sin(lean), ahead.
        a = math.radians(lean)
        ahead = max(x * math.cos(a) - y * math.sin(a) for x, y in hole.axis)
        assert clear.behind_front == pytest.approx(-ahead - hole.diameter / 2, abs=1e-9)


@given(openings)
def test_webs_against_dense_rims(holes: list[Opening]) -> None:
    knife = ground(KNIVES[0].outline, holes=tuple(holes))
    found = clearances(knife)
    if len(holes) == 1:
        assert found[0].web is None
        assert found[0].web_to is None
        return
    for i, hole in enumerate(holes):
        webs = {
            knife.hole_ids[j]: min(
                float(np.hypot(*(axis_samples(hole)[:, None] - axis_samples(other)[None]).reshape(-1, 2).T).min()), 1e9
            )
            - (hole.diameter + other.diameter) / 2
            for j, other in enumerate(holes)
            if j != i
        }
        # Slots sampled every 0.15 mm: 0.075 mm along either.
        assert found[i].web == pytest.approx(min(webs.values()), abs=0.15)
        assert webs[str(found[i].web_to)] == pytest.approx(min(webs.values()), abs=0.15)


def test_a_hole_in_a_bar_by_hand() -> None:
    # Source: plain arithmetic in a tang 25 mm high: 10 mm below the top, 6 mm wide, 40 mm behind the front.
    holes = (
        Hole(x=-40.0, y=-10.0, diameter=6.0, purpose="fastener"),
        Slot(start=(-60.0, -15.0), end=(-52.0, -15.0), diameter=4.0, purpose="lightening"),
    )
    one, two = clearances(ground(plain_tang(), holes=holes))
    assert (one.edge_distance, one.rim, one.behind_front) == pytest.approx((10.0, 7.0, 37.0))
    assert (two.edge_distance, two.rim, two.behind_front) == pytest.approx((10.0, 8.0, 50.0))
    assert one.web == two.web == pytest.approx(13.0 - 5.0)
    assert (one.web_to, two.web_to) == ("L1", "F1")


def test_holes_on_and_beyond_the_outline() -> None:
    at = [(0.0, 0.0), (3.0, 3.0), (-3.0, -3.0)]
    holes = tuple(Hole(x=-30.0 - 20 * i, y=y, diameter=4.0, purpose="lightening") for i, (y, _) in enumerate(at))
    found = clearances(ground(plain_tang(), holes=holes))
    assert [c.edge_distance for c in found] == pytest.approx([0.0, -3.0, 3.0], abs=1e-9)
    assert [c.rim for c in found] == pytest.approx([-2.0, -5.0, 1.0], abs=1e-9)


def test_a_slot_across_the_outline_has_no_distance() -> None:
    slot = Slot(start=(-40.0, -5.0), end=(-40.0, 5.0), diameter=4.0, purpose="lightening")
    (found,) = clearances(ground(plain_tang(), holes=(slot,)))
    assert (found.edge_distance, found.rim) == (0.0, -2.0)


def test_no_holes() -> None:
    assert clearances(drop_point()) == ()


@given(st.floats(-45.0, 45.0), st.floats(-100.0, 100.0), st.floats(-30.0, 5.0), st.floats(0.0, 20.0))
def test_moving_along_x_gains_the_distance(lean: float, x: float, y: float, gain: float) -> None:
    knife = ground(plain_tang(), front_lean_deg=lean)
    moved = behind_front(knife, np.array([[x, y], [x - along_x(knife, gain), y]]))
    assert moved[1] - moved[0] == pytest.approx(gain, abs=1e-9)
