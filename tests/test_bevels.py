"""Every ground face against its closed form, in a section square to a straight edge; and the values it refuses."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import bar_outline, drop_point, ground

from bladegeom.curves.build import line, spline
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, BevelToLine, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.errors import ParameterError

W, HALF = 30.0, 2.0
"""Height of the blade and half of its stock, mm."""

heights = st.floats(4.0, 40.0)
edges = st.floats(0.0, 1.5)


def sample_points(
    d: FloatArray, *, x: float | FloatArray = 100.0, half: float = HALF, alone: bool = False
) -> SamplePoints:
    """Places above an edge along y = 0, under a spine along y = W."""
    return SamplePoints(
        x=np.broadcast_to(x, d.shape).astype(np.float64),
        y=d,
        from_edge=d,
        measured=d,
        stock=np.full_like(d, half),
        spine=Polyline(np.array([[-500.0, W], [700.0, W]])),
        alone=alone,
    )


def at(face: Face, *d: float, half: float = HALF, alone: bool = False) -> FloatArray:
    return face.surface(sample_points(np.array(d), half=half, alone=alone))


def circle(d: FloatArray, z: FloatArray) -> tuple[float, float, float]:
    """Centre and radius of the circle through three points of a section."""
    (ax, bx, cx), (ay, by, cy) = d, z
    sides = np.array([[bx - ax, by - ay], [cx - ax, cy - ay]])
    right = np.array([bx**2 - ax**2 + by**2 - ay**2, cx**2 - ax**2 + cy**2 - ay**2]) / 2
    x, y = np.linalg.solve(sides, right)
    return float(x), float(y), math.hypot(ax - x, ay - y)


@given(heights, edges, st.floats(0.0, 1.0))
def test_flat_rises_evenly_from_edge_to_grind_line(height: float, edge: float, share: float) -> None:
    # Source: closed form, s = e/2 + (T/2 - e/2) d/h.
    z = at(FlatBevel(height=height, edge_thickness=edge), 0.0, share * height, height)
    np.testing.assert_allclose(z, [edge / 2, edge / 2 + (HALF - edge / 2) * share, HALF], atol=1e-12)


@given(st.floats(1.0, 40.0), edges, st.floats(0.0, 30.0))
def test_bevel_at_an_angle_has_that_angle(angle: float, edge: float, d: float) -> None:
    # Source: closed form, s = e/2 + d tan a.
    z = at(AngledBevel(angle_deg=angle, edge_thickness=edge), 0.0, d)
    np.testing.assert_allclose(z, [edge / 2, edge / 2 + d * math.tan(math.radians(angle))], atol=1e-12)


@given(edges, st.floats(0.0, 1.0))
def test_full_flat_ends_at_the_spine(edge: float, share: float) -> None:
    # Source: closed form, a plane from (0, e/2) to (W, T/2).
    z = at(FullFlat(edge_thickness=edge), 0.0, share * W, W)
    np.testing.assert_allclose(z, [edge / 2, edge / 2 + (HALF - edge / 2) * share, HALF], atol=1e-12)


def test_full_flat_under_a_falling_spine_follows_it() -> None:
    # Source: definition: in proportion to the way from the edge among the ways to edge and spine. Spine y = 30 - x/10,
    # so the way to it from (x, y) is (30 - x/10 - y) / sqrt(1.01).
    x, y = np.array([20.0, 80.0, 150.0]), np.array([5.0, 12.0, 9.0])
    places = dataclasses.replace(sample_points(y, x=x), spine=Polyline(np.array([[-100.0, 40.0], [300.0, 0.0]])))
    to_spine = (30.0 - x / 10 - y) / math.sqrt(1.01)
    expected = 0.2 + (HALF - 0.2) * y / (y + to_spine)
    np.testing.assert_allclose(FullFlat(edge_thickness=0.4).surface(places), expected, rtol=1e-12)


@given(wheel=st.floats(80.0, 900.0), height=heights, edge=st.floats(0.0, 1.0), alone=st.booleans())
def test_hollow_is_the_wheel(*, wheel: float, height: float, edge: float, alone: bool) -> None:
    face = HollowBevel(wheel_diameter=wheel, height=height, edge_thickness=edge)
    d = np.linspace(0.0, height, 41)
    z = at(face, *d, alone=alone)
    low = edge - HALF if alone else edge / 2
    np.testing.assert_allclose(z[[0, -1]], [low, HALF], atol=1e-9)
    x, y, radius = circle(d[[0, 20, 40]], z[[0, 20, 40]])
    assert radius == pytest.approx(wheel / 2, rel=1e-7)
    np.testing.assert_allclose(np.hypot(d - x, z - y), wheel / 2, rtol=1e-9)
    # Source: closed form, sagitta R - sqrt(R^2 - c^2/4), measured square to the chord and into the steel.
    rise = HALF - low
    chord = math.hypot(height, rise)
    into = ((low + rise * d / height) - z) * height / chord
    assert into.max() == pytest.approx(wheel / 2 - math.sqrt(wheel**2 / 4 - chord**2 / 4), rel=2e-3, abs=1e-6)
    assert into.min() > -1e-9


def test_hollow_of_a_254_mm_wheel_under_a_chord_of_20_mm() -> None:
    # Source: closed form; 0.39 mm a side: 127 - sqrt(127^2 - 100).
    rise = HALF - 0.3
    height = math.sqrt(400.0 - rise**2)
    (z,) = at(HollowBevel(wheel_diameter=254.0, height=height, edge_thickness=0.6), height / 2)
    # On the wheel above the chord's middle, square to the chord by a slope of rise / height: 1e-4 of the sagitta.
    assert (0.3 + rise / 2 - z) == pytest.approx(0.394, abs=0.003)


@given(st.floats(0.5, 40.0), edges, st.floats(0.01, 0.25))
def test_convex_bulges_by_what_it_says(height: float, edge: float, share: float) -> None:
    bulge = share * height
    rise = HALF - edge / 2
    chord = math.hypot(height, rise)
    # Source: closed form by chord and sagitta.
    radius = chord**2 / (8 * bulge) + bulge / 2
    face = ConvexBevel(height=height, edge_thickness=edge, bulge=bulge)
    d = np.linspace(0.0, height, 4001)
    z = at(face, *d)
    np.testing.assert_allclose(z[[0, -1]], [edge / 2, HALF], atol=1e-9)
    out = (z - (edge / 2 + rise * d / height)) * height / chord
    assert out.max() == pytest.approx(bulge, rel=1e-5)
    assert circle(d[[0, 2000, 4000]], z[[0, 2000, 4000]])[2] == pytest.approx(radius, rel=1e-6)


ABOVE: tuple[Face, ...] = (
    FlatBevel(height=18.0, edge_thickness=0.6),
    AngledBevel(angle_deg=4.0, edge_thickness=0.6),
    FullFlat(edge_thickness=0.6),
    HollowBevel(wheel_diameter=254.0, height=18.0, edge_thickness=0.6),
    BevelToLine(line=line((0.0, 22.0), (200.0, 22.0)), edge_thickness=0.6),
)


@pytest.mark.parametrize("above", ABOVE, ids=lambda face: face.kind)
@pytest.mark.parametrize("alone", [False, True])
def test_convex_edge_meets_the_face_above(above: Face, *, alone: bool) -> None:
    height, edge, bulge = 3.0, 0.2, 0.02
    face = ConvexEdge(under=above, height=height, edge_thickness=edge, bulge=bulge)
    d = np.linspace(0.0, height, 4001)
    z = at(face, *d, alone=alone)
    (low,), (top,) = at(face, 0.0, alone=alone), at(above, height, alone=alone)
    assert low == pytest.approx(edge - HALF if alone else edge / 2, abs=1e-12)
    assert z[-1] == pytest.approx(top, abs=1e-12)
    # Source: closed form, the sagitta of its arc over the chord between those two points.
    chord = math.hypot(height, top - low)
    out = (z - (low + (top - low) * d / height)) * height / chord
    assert out.max() == pytest.approx(bulge, rel=1e-5)
    radius = chord**2 / (8 * bulge) + bulge / 2
    assert circle(d[[0, 2000, 4000]], z[[0, 2000, 4000]])[2] == pytest.approx(radius, rel=1e-6)
    # Beyond, it stands over the face above, so that that one counts.
    assert (at(face, 4.0, 8.0, alone=alone) > at(above, 4.0, 8.0, alone=alone)).all()


def drawn() -> Curve:
    return spline([(-10.0, 16.0), (60.0, 19.0), (140.0, 14.0), (210.0, 22.0)])


def test_bevel_to_a_line_reaches_the_stock_on_that_line() -> None:
    points = flatten(drawn(), 0.005)
    face = BevelToLine(line=drawn(), edge_thickness=0.5)
    for lift, sign in ((0.0, 0), (0.3, 1), (-0.3, -1)):
        z = face.surface(sample_points(points[:, 1] + lift, x=points[:, 0]))
        if sign:
            assert (np.sign(z - HALF) == sign).all()
        else:
            np.testing.assert_allclose(z, HALF, atol=1e-9)
    np.testing.assert_allclose(face.surface(sample_points(np.zeros(9), x=np.linspace(0, 200, 9))), 0.25, atol=1e-12)


@given(st.floats(-50.0, 250.0), st.floats(0.0, 29.0), heights, edges)
def test_bevel_to_a_parallel_line_is_the_flat_one(x: float, d: float, height: float, edge: float) -> None:
    # The line is drawn from x 20 to 180 only: it runs on straight.
    to_line = BevelToLine(line=line((20.0, height), (180.0, height)), edge_thickness=edge)
    flat = FlatBevel(height=height, edge_thickness=edge)
    place = sample_points(np.array([d]), x=x)
    np.testing.assert_allclose(to_line.surface(place), flat.surface(place), rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("face", [*ABOVE, ConvexBevel(height=18.0, edge_thickness=0.6, bulge=0.3)], ids=repr)
@pytest.mark.parametrize("half", [1.0, 2.0, 3.5])
def test_one_sided_edge_lies_in_the_far_face(face: Face, half: float) -> None:
    # Source: definition: the other side stays at -T/2, so that the edge e is thick begins at e - T/2.
    (alone,), (both,) = at(face, 0.0, half=half, alone=True), at(face, 0.0, half=half)
    assert alone + half == pytest.approx(0.6, abs=1e-12)
    assert 2 * both == pytest.approx(0.6, abs=1e-12)


def test_zero_edge_comes_to_a_point() -> None:
    for alone in (False, True):
        (z,) = at(AngledBevel(angle_deg=12.0), 0.0, alone=alone)
        assert z == (-HALF if alone else 0.0)


def test_a_convex_edge_brings_the_face_above_with_it() -> None:
    flat = FullFlat(edge_thickness=0.4)
    convex = ConvexEdge(under=flat, height=2.0, edge_thickness=0.2, bulge=0.01)
    for bevel in (convex, (convex,), (flat, convex)):
        grind = Grind(bevel=bevel, plunge=Plunge(x=5.0))
        assert grind.faces == (flat, convex)
        assert grind.kind == "full flat over convex edge"
        assert (grind.edge_thickness, grind.first_edge) == (0.2, 0.4)


FLAT = FlatBevel(height=18.0, edge_thickness=0.5)


def steel(face: Face | tuple[Face, ...], *taper: tuple[float, float], thickness: float = 4.0, **more: object) -> Knife:
    """A bar 200 mm long and 30 mm high in front of its plunge line at x 0."""
    knife = ground(bar_outline(), thickness=thickness)
    grind = Grind(bevel=face, plunge=Plunge(x=0.0), **more)  # type: ignore[arg-type]
    return dataclasses.replace(knife, grind=grind, stock=Stock(steel="1084", thickness=thickness, taper=taper))


REFUSED: tuple[tuple[Callable[[], object], str], ...] = (
    (lambda: FlatBevel(height=0.0, edge_thickness=0.5), "flat bevel: height | 0"),
    (lambda: FlatBevel(height=9.0, edge_thickness=-1.0), "flat bevel: edge_thickness | 0"),
    (lambda: AngledBevel(angle_deg=0.0), "bevel at an angle: angle_deg | 0.1 | 60"),
    (lambda: AngledBevel(angle_deg=61.0), "bevel at an angle: angle_deg | 0.1 | 60"),
    (
        lambda: AngledBevel(angle_deg=9.0, edge_thickness=math.nan),
        "bevel at an angle: edge_thickness | 0",
    ),
    (lambda: FullFlat(edge_thickness=-0.1), "full flat bevel: edge_thickness | 0"),
    (
        lambda: BevelToLine(line=line((9.0, 0.0), (5.0, 3.0)), edge_thickness=0.5),
        "bevel to a line: line",
    ),
    (
        lambda: BevelToLine(line=line((5.0, 0.0), (9.0, 3.0)), edge_thickness=-0.5),
        "bevel to a line: edge_thickness | 0",
    ),
    (
        lambda: HollowBevel(wheel_diameter=0.0, height=9.0, edge_thickness=0.5),
        "hollow bevel: wheel_diameter | 0",
    ),
    (
        lambda: HollowBevel(wheel_diameter=15.0, height=18.0, edge_thickness=0.5),
        "hollow bevel: wheel_diameter | 18.00 mm",
    ),
    (
        lambda: ConvexBevel(height=18.0, edge_thickness=0.5, bulge=0.0),
        "convex bevel: bulge | 0",
    ),
    (
        lambda: ConvexBevel(height=18.0, edge_thickness=0.5, bulge=4.6),
        "convex bevel: bulge | 18.00 mm",
    ),
    (
        lambda: ConvexEdge(under=FLAT, height=2.0, edge_thickness=0.5, bulge=0.1),
        "convex edge: edge_thickness | 0.50 mm",
    ),
    (
        lambda: ConvexEdge(under=FLAT, height=2.0, edge_thickness=0.2, bulge=0.6),
        "convex edge: bulge | 2.00 mm",
    ),
    (
        lambda: Plunge(x=5.0, lean_deg=70.0),
        "plunge line: lean_deg | -60 | 60",
    ),
    (lambda: Plunge(x=5.0, radius=-1.0), "plunge line: radius | 0"),
    (lambda: steel(()), "grind: bevel"),
    (lambda: steel(FLAT, only="both"), "grind: only"),
    (lambda: steel(FLAT, sharpen_deg=2.0), "grind: sharpen_deg | 3 | 60"),
    (lambda: steel(FLAT, rough_edge=-1.0), "grind: rough_edge | 0"),
    (
        lambda: steel(FLAT, rough_edge=0.4),
        "grind: rough_edge | 0.50 mm",
    ),
    (
        # A second face to a zero edge does not make room for a rough edge thinner than the first face leaves.
        lambda: steel((FLAT, AngledBevel(angle_deg=14.0)), rough_edge=0.4),
        "grind: rough_edge | 0.50 mm",
    ),
    (
        lambda: steel(FLAT, rough_edge=4.0),
        "grind: rough_edge | 4.00 mm",
    ),
    (
        lambda: steel(FlatBevel(height=18.0, edge_thickness=4.0)),
        "grind: edge_thickness | 4.00 mm",
    ),
    (
        # Between stations 4 mm at x 0 and 0.4 mm at x 150: thinner than the edge from 146 mm on.
        lambda: steel(FLAT, (0.0, 4.0), (150.0, 0.4)),
        "grind: edge_thickness | 150.00 mm | 0.40 mm",
    ),
    (
        # The station lies beyond the tip at x 200: there the taper has come to 4 - 3.9 x 200/210.
        lambda: steel(FLAT, (0.0, 4.0), (210.0, 0.1)),
        "grind: edge_thickness | 200.00 mm | 0.29 mm",
    ),
    (
        lambda: steel(FLAT, (50.0, 3.0), (20.0, 2.0)),
        "stock: taper | butt",
    ),
    (
        lambda: steel(FLAT, (50.0, 3.0), (50.0, 2.0)),
        "stock: taper | butt",
    ),
    (
        lambda: steel(FLAT, (50.0, 4.5)),
        "stock: taper at x 50 mm | 4.00 mm",
    ),
    (lambda: steel(FLAT, (50.0, 0.0)), "stock: number 1 of taper | 0"),
    (lambda: steel(FLAT, (math.nan, 2.0)), "stock: number 1 of taper"),
    (
        lambda: Stock(steel="1084", thickness=4.0, taper=((50.0, 3.0, 1.0),)),  # type: ignore[arg-type]
        "stock: taper",
    ),
)


@pytest.mark.parametrize(("make", "told"), REFUSED, ids=[told[:60] for _, told in REFUSED])
def test_refused(make: Callable[[], object], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        make()
    assert_refused(caught.value, told)


def test_a_taper_behind_the_plunge_line_may_be_thinner_than_the_edge() -> None:
    knife = steel(FlatBevel(height=18.0, edge_thickness=1.5), (-100.0, 1.0), (0.0, 4.0))
    assert knife.side("finished", "right").stock.half_thickness(np.array([-100.0]))[0] == 0.5


def test_a_wheel_smaller_than_the_chord_names_the_station() -> None:
    # A wheel of 19 mm under a bevel 18 high: with a rise of (T - 0.5)/2 the circle spans it while c^2/h < 19; on a
    # bar that swells from 4 mm at x 0 to 12 mm at x 100 the chord is longest from there on.
    face = HollowBevel(wheel_diameter=19.0, height=18.0, edge_thickness=0.5)
    knife = steel(face, (0.0, 4.0), (100.0, 12.0), thickness=12.0)
    chord = math.hypot(18.0, 5.75)
    told = f"hollow bevel: wheel_diameter | {chord**2 / 18:.2f} mm ({chord**2 / 18 / 25.4:.3f} in) | x 100.00 mm"
    told = f"{told} | {chord:.2f} mm ({chord / 25.4:.3f} in)"
    x = np.linspace(0.0, 200.0, 201)
    with pytest.raises(ParameterError) as caught:
        knife.side("finished", "right").height(x, np.full_like(x, -29.0))
    assert_refused(caught.value, told)
    with pytest.raises(ParameterError) as caught:
        weigh(knife).finished  # noqa: B018
    assert (caught.value.part, caught.value.field) == ("hollow bevel", "wheel_diameter")


def test_the_usual_bevels_are_accepted() -> None:
    for face in (*ABOVE, FLAT, ConvexBevel(height=18.0, edge_thickness=0.6, bulge=0.3)):
        knife = dataclasses.replace(drop_point(), grind=Grind(bevel=face, plunge=Plunge(x=9.5), rough_edge=0.8))
        assert knife.grind.edge_thickness == face.edge_thickness
