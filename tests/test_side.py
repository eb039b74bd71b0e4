"""One side of the steel: tapers, and the plunge line with and without a radius."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import bar_outline, ground

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.bevels.by_heights import ByHeights
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.side import Side, square_to
from bladegeom.knife.stock import Stock
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.errors import ParameterError

HALF, PLUNGE = 2.0, 20.0


@dataclass(frozen=True)
class Shelf(ByHeights):
    """A face at one height all over, so that a plunge radius can be seen by itself."""

    depth: float
    edge_thickness: float = 0.0
    height: ClassVar[None] = None
    kind: ClassVar[str] = "shelf"

    def surface(self, at: SamplePoints) -> FloatArray:
        return at.stock - self.depth


def side(
    face: Face | None, *, radius: float = 0.0, lean: float = 0.0, taper: tuple[tuple[float, float], ...] = ()
) -> Side:
    """One side of a bar 4 mm thick and 30 mm high, its edge along y = 0, its plunge line at x 20."""
    return Side(
        stock=Stock(steel="1084", thickness=2 * HALF, taper=taper),
        faces=() if face is None else (face,),
        raised=0.0,
        alone=False,
        edge=Polyline(np.array([[-500.0, 0.0], [500.0, 0.0]])),
        spine=Polyline(np.array([[500.0, 30.0], [-500.0, 30.0]])),
        foot=(PLUNGE, 0.0),
        ahead=square_to(lean),
        plunge_radius=radius,
    )


def across(ground_side: Side, past: FloatArray, *, up: float = 8.0, lean: float = 0.0) -> FloatArray:
    """Heights along a line square to the plunge line that leaves it ``up`` mm above its foot."""
    a = math.radians(lean)
    x0, y0 = PLUNGE + up * math.sin(a), up * math.cos(a)
    return ground_side.height(x0 + past * math.cos(a), y0 - past * math.sin(a))


@given(st.floats(0.5, 8.0), st.floats(0.05, 1.9), st.floats(-25.0, 25.0))
def test_plunge_radius_is_an_arc_tangent_to_the_face(radius: float, depth: float, lean: float) -> None:
    ground_side = side(Shelf(depth), radius=radius, lean=lean)
    low = HALF - depth
    # Source: closed form, an arc of radius r that ends tangent climbs t over a way of sqrt(2 r t - t^2).
    climb = min(depth, radius)
    way = math.sqrt(2 * radius * climb - climb**2)
    past = np.linspace(way * 1e-6, way, 101)
    z = across(ground_side, past, lean=lean)
    np.testing.assert_allclose(np.hypot(past - way, z - (low + radius)), radius, rtol=1e-9)
    # At its foot it is tangent: over a short step s it rises by no more than s^2 / 2r.
    step = way / 100
    (rise,) = across(ground_side, np.array([way - step]), lean=lean) - low
    assert rise == pytest.approx(step**2 / (2 * radius), rel=1e-3)
    # Ahead of it stands the face.
    np.testing.assert_allclose(across(ground_side, np.array([way, way + 0.01, way + 50.0]), lean=lean), low, atol=1e-12)


@given(st.floats(0.0, 8.0), st.floats(-25.0, 25.0), st.floats(0.0, 29.0), st.floats(1e-9, 30.0))
def test_behind_the_plunge_line_stands_the_stock(radius: float, lean: float, up: float, behind: float) -> None:
    ground_side = side(FlatBevel(height=18.0, edge_thickness=0.5), radius=radius, lean=lean)
    assert across(ground_side, np.array([-behind]), up=up, lean=lean)[0] == HALF


@given(st.floats(2.0, 8.0), st.floats(0.0, 29.0))
def test_a_radius_comes_up_to_the_stock_at_the_plunge_line(radius: float, up: float) -> None:
    ground_side = side(FlatBevel(height=18.0, edge_thickness=0.5), radius=radius)
    # The arc is as steep as (depth / way) at most there: 1e-9 mm ahead of the line it has left the stock by less
    # than 1e-4 mm even where it stands upright.
    assert across(ground_side, np.array([1e-9]), up=up)[0] == pytest.approx(HALF, abs=1e-4)


def test_a_radius_smaller_than_the_step_leaves_a_wall() -> None:
    # Source: closed form: an arc of 0.5 climbs 0.5; of a step of 1.5 the rest of 1.0 stands upright.
    (z,) = across(side(Shelf(1.5), radius=0.5), np.array([1e-12]))
    assert z == pytest.approx(HALF - 1.0, abs=1e-5)


def test_no_radius_is_a_sharp_step() -> None:
    ground_side = side(Shelf(1.5))
    np.testing.assert_array_equal(across(ground_side, np.array([-1e-9, 0.0])), HALF)
    np.testing.assert_allclose(across(ground_side, np.array([1e-9, 10.0])), HALF - 1.5)


def arc_area(radius: float, depth: FloatArray) -> FloatArray:
    """Area between face and arc, in a section: r w - (r^2 asin(w/r) + w sqrt(r^2 - w^2)) / 2 over the way w."""
    climb = np.minimum(depth, radius)
    way = np.sqrt(2 * radius * climb - climb**2)
    return np.asarray(radius * way - (radius**2 * np.arcsin(way / radius) + way * np.sqrt(radius**2 - way**2)) / 2)


@pytest.mark.parametrize("radius", [1.0, 3.0, 6.0])
def test_what_the_radius_leaves_is_weighed(radius: float) -> None:
    # A bar whose plunge line stands upright on a straight edge. Source: arc_area over the depth (T - e)/2 (1 - d/h).
    knife = ground(bar_outline(), height=18.0, edge=0.5)
    plain = weigh(knife).finished.amount
    grind = dataclasses.replace(knife.grind, plunge=Plunge(x=0.0, radius=radius))
    more = weigh(dataclasses.replace(knife, grind=grind)).finished.amount - plain
    d = (np.arange(100_000) + 0.5) / 100_000 * 18.0
    expected = 2 * arc_area(radius, 1.75 * (1 - d / 18.0)).sum() * 18.0 / 100_000
    # Asked for: 0.05 % of the steel, that is 12 mm3; measured: 0.021 mm3 or less.
    assert more == pytest.approx(expected, abs=0.05)


STATIONS = ((-100.0, 2.0), (0.0, 4.0), (150.0, 1.0))


@given(st.floats(-150.0, 250.0))
def test_tapers_run_straight_between_stations(x: float) -> None:
    # Source: closed form: 2 mm up to x -100, 4 mm at 0, 1 mm from 150 on.
    expected = 2.0 + 2.0 * (x + 100) / 100 if x < 0 else 4.0 - 3.0 * x / 150
    expected = 2.0 if x < -100 else 1.0 if x > 150 else expected
    ground_side = side(None, taper=STATIONS)
    (z,) = ground_side.height(np.array([x]), np.array([10.0]))
    assert 2 * z == pytest.approx(expected, abs=1e-12)


@given(st.floats(25.0, 145.0), st.floats(0.0, 1.0))
def test_faces_follow_the_taper(x: float, share: float) -> None:
    half = (4.0 - 3.0 * x / 150) / 2
    at = np.array([x])
    # Source: closed forms. A bevel of one height gets flatter, one of an angle gets lower.
    flat = side(FlatBevel(height=18.0, edge_thickness=0.5), taper=STATIONS)
    assert flat.height(at, np.array([share * 18.0]))[0] == pytest.approx(0.25 + (half - 0.25) * share, abs=1e-12)
    angled = side(AngledBevel(angle_deg=5.0, edge_thickness=0.5), taper=STATIONS)
    top = (half - 0.25) / math.tan(math.radians(5.0))
    assert angled.height(at, np.array([share * top]))[0] == pytest.approx(0.25 + (half - 0.25) * share, abs=1e-12)
    assert angled.height(at, np.array([top + 0.01]))[0] == pytest.approx(half, abs=1e-12)


def tapered(**more: object) -> Knife:
    knife = ground(bar_outline(), plunge=20.0)
    grind = dataclasses.replace(knife.grind, **more)  # type: ignore[arg-type]
    return dataclasses.replace(knife, grind=grind, stock=Stock(steel="1084", thickness=4.0, taper=STATIONS))


def test_the_blank_has_no_taper() -> None:
    x = np.array([-100.0, 0.0, 150.0, 199.0])
    for flank in ("right", "left"):
        np.testing.assert_array_equal(tapered().side("blank", flank).height(x, np.full(4, -29.0)), 2.0)
        # A blade that is hardened unground is not tapered until then either.
        np.testing.assert_array_equal(tapered().side("rough", flank).height(x, np.full(4, -29.0)), 2.0)
        bare = tapered(rough_edge=0.9).side("rough", flank).height(np.array([-100.0, 0.0]), np.full(2, -29.0))
        np.testing.assert_array_equal(bare, [1.0, 2.0])


def test_the_side_that_is_left_flat_has_no_faces() -> None:
    knife = tapered(only="left")
    y = np.full(3, -25.0)
    x = np.array([30.0, 75.0, 140.0])
    np.testing.assert_allclose(knife.side("sharp", "right").height(x, y), (4.0 - 3.0 * x / 150) / 2)
    assert (knife.side("finished", "left").height(x, y) < (4.0 - 3.0 * x / 150) / 2).all()


def test_raised_faces() -> None:
    # Source: definition: before hardening every face leaves the rough edge, half of it on a side, all of it on one.
    faces = (FlatBevel(height=18.0, edge_thickness=0.5), AngledBevel(angle_deg=15.0))
    both = Grind(bevel=faces, plunge=Plunge(x=20.0), rough_edge=0.9)
    assert both.raised_at("rough") == pytest.approx((0.2, 0.45))
    grind = dataclasses.replace(both, only="right")
    assert grind.raised_at("rough") == pytest.approx((0.4, 0.9))
    assert both.raised_at("finished") == 0.0
    assert dataclasses.replace(both, rough_edge=None).raised_at("rough") == 0.0


def test_a_plunge_line_off_the_steel_is_refused() -> None:
    with pytest.raises(ParameterError) as caught:
        ground(bar_outline(), plunge=500.0).plunge_line  # noqa: B018
    assert_refused(caught.value, "plunge line: x")
