"""Faces weighed by columns against closed forms, and how the integration converges."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from bladegeom import (
    AngledBevel,
    ConvexBevel,
    FlatBevel,
    FullFlat,
    Grind,
    HollowBevel,
    Knife,
    Plunge,
    Stock,
    join_halves,
    profiles,
    weigh,
)
from bladegeom.curves.polyline import Polyline
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.side import Side
from bladegeom.solids.columns import missing
from bladegeom.solids.moments import Moments, of_layers, of_slab
from bladegeom.solids.panels import PANEL, columns_of

Array = npt.NDArray[np.float64]

VOLUME, CENTRE = 5e-4, 0.02
"""What is promised of closed forms: 0.05 % of volume, 0.02 mm of centroid."""

L, H, T, E = 200.0, 30.0, 4.0, 0.5
"""A bar along x with its edge along y = 0: length, height, thickness, edge thickness, mm."""


def side(face: Face | None, *, stock: Stock | None = None, edge: Array | None = None) -> Side:
    """One side of a bar whose edge runs along y = 0 and is ground all over."""
    return Side(
        stock=stock or Stock(steel="1084", thickness=T),
        faces=() if face is None else (face,),
        raised=0.0,
        alone=False,
        edge=Polyline(np.array([[-1.0, 0.0], [L + 1.0, 0.0]]) if edge is None else edge),
        spine=Polyline(np.array([[-1.0, H], [L + 1.0, H]])),
        foot=(-2.0, 0.0),
        ahead=(1.0, 0.0),
        plunge_radius=0.0,
    )


def steel(face: Face | None, *, stock: Stock | None = None) -> Moments:
    """The bar ground on both sides."""
    ground_side = side(face, stock=stock)
    half = ground_side.stock.thickness / 2
    area = L * H * np.array([1, L / 2, H / 2, L * L / 3, L * H / 4, H * H / 3])
    stations = tuple(x for x, _ in ground_side.stock.taper)
    right = of_slab(area, half) - of_layers(missing(shapely.box(0, 0, L, H), ground_side, half, breaks=stations))
    return right + right.mirrored()


def assert_moments(solid: Moments, volume: float, centre: tuple[float, float]) -> None:
    assert solid.amount == pytest.approx(volume, rel=VOLUME)
    assert solid.amount == pytest.approx(volume, rel=1e-8)
    assert solid.centre[:2] == pytest.approx(centre, abs=1e-6)
    assert solid.centre[2] == pytest.approx(0.0, abs=1e-12)


def test_wedge_with_edge_thickness() -> None:
    """Source: trapezoid, A = h (e + t) / 2, centroid h (e + 2 t) / (3 (e + t)) from the edge."""
    assert_moments(steel(FlatBevel(height=H, edge_thickness=E)), 13500.0, (100.0, 18.888888888889))


def test_partial_bevel() -> None:
    """Source: trapezoid and rectangle added; 17700 mm3, 18.2033898 mm from the edge."""
    solid = steel(FlatBevel(height=18.0, edge_thickness=E))
    areas = np.array([18 * (E + T) / 2, T * 12])
    heights = np.array([18 * (E + 2 * T) / (3 * (E + T)), 24.0])
    assert_moments(solid, 17700.0, (100.0, float(areas @ heights / areas.sum())))
    assert solid.centre[1] == pytest.approx(18.2033898, abs=1e-6)


def test_full_flat_is_the_wedge() -> None:
    assert steel(FullFlat(edge_thickness=E)).values == pytest.approx(
        steel(FlatBevel(height=H, edge_thickness=E)).values, rel=1e-9, abs=1e-6
    )


def test_bevel_at_an_angle_is_the_partial_bevel() -> None:
    angle = math.degrees(math.atan((T - E) / 2 / 18.0))
    assert steel(AngledBevel(angle_deg=angle, edge_thickness=E)).values == pytest.approx(
        steel(FlatBevel(height=18.0, edge_thickness=E)).values, rel=1e-9, abs=1e-6
    )


def test_hollow_segment_on_a_254_mm_wheel() -> None:
    """Source: circular segment, R = 127, chord 25: area 10.282577 mm2, centroid 126.630059 mm from the centre."""
    rise = (T - E) / 2
    height = math.sqrt(25.0**2 - rise**2)
    flat, hollow = (
        steel(FlatBevel(height=height, edge_thickness=E)),
        steel(HollowBevel(wheel_diameter=254.0, height=height, edge_thickness=E)),
    )
    taken = flat - hollow
    assert taken.amount == pytest.approx(2 * 10.282577 * L, rel=1e-6)
    off = math.sqrt(127.0**2 - 12.5**2)
    # From the chord's middle towards the steel: R - sagitta lies the chord, the segment's centroid beyond it.
    into = 126.630059 - off
    assert taken.centre[1] == pytest.approx(height / 2 + into * rise / 25.0, abs=1e-4)


def test_convex_cap() -> None:
    """Source: circular segment by chord and sagitta, R = c^2 / (8 s) + s / 2, A = R^2 (t - sin t) / 2."""
    rise, bulge = (T - E) / 2, 0.4
    height = math.sqrt(25.0**2 - rise**2)
    radius = 25.0**2 / (8 * bulge) + bulge / 2
    angle = 2 * math.asin(12.5 / radius)
    segment = radius**2 / 2 * (angle - math.sin(angle))
    added = steel(ConvexBevel(height=height, edge_thickness=E, bulge=bulge)) - steel(
        FlatBevel(height=height, edge_thickness=E)
    )
    # Where the arc rises above the stock near the grind line the stock's own face is all there is.
    past = _above_stock(height, rise, radius, bulge)
    assert added.amount == pytest.approx(2 * L * (segment - past), rel=1e-4)


def _above_stock(height: float, rise: float, radius: float, bulge: float) -> float:
    """Area between arc and stock face, by a fine midpoint rule of its own."""
    cd = height / 2 + (radius - bulge) * rise / 25.0
    cz = E / 2 + rise / 2 - (radius - bulge) * height / 25.0
    d = (np.arange(200000) + 0.5) / 200000 * height
    arc = cz + np.sqrt(radius**2 - (d - cd) ** 2)
    return float(np.maximum(arc - T / 2, 0.0).sum() * height / 200000)


def test_tapered_bar() -> None:
    """Source: V = L h (t0 + t1) / 2, centroid L (t0 + 2 t1) / (3 (t0 + t1)) from the thick end."""
    solid = steel(None, stock=Stock(steel="1084", thickness=5.0, taper=((0.0, 5.0), (L, 2.0))))
    assert_moments(solid, 21000.0, (85.714285714286, 15.0))


def test_prismatoid_taper() -> None:
    """Source: prismatoid formula, Simpson is exact: V = 12000 mm3, centroid 87.5 mm from the thick end."""
    stock = Stock(steel="1084", thickness=5.0, taper=((0.0, 5.0), (L, 2.0)))
    solid = steel(FlatBevel(height=H, edge_thickness=E), stock=stock)
    assert solid.amount == pytest.approx(12000.0, rel=1e-8)
    assert solid.centre[0] == pytest.approx(87.5, abs=1e-6)


def test_tapered_inertia_about_z() -> None:
    """Source: second moment of a tapered bar along x, integral of h t(x) x^2 with t linear."""
    solid = steel(None, stock=Stock(steel="1084", thickness=5.0, taper=((0.0, 5.0), (L, 2.0))))
    assert solid.values[4] == pytest.approx(H * (5 * L**3 / 3 - 3 / L * L**4 / 4), rel=1e-9)
    # In z: integral of h t^3 / 12.
    assert solid.values[6] == pytest.approx(H / 12 * L * (5**4 - 2**4) / (4 * 3), rel=1e-9)


@pytest.mark.parametrize("edge", [0.0, E])
def test_cone_frustum_on_a_disc_edge(edge: float) -> None:
    """A disc ground from its rim inwards: the steel taken off is a body of revolution.

    Source: Pappus-Guldinus: the triangle between face and stock, area h (t - e) / 4 a side, its centroid h / 3 from
    the rim, goes once round.
    """
    radius, height = 30.0, 12.0
    a = np.linspace(0.0, 2 * np.pi, 2001)
    rim = radius * np.stack([np.cos(a), np.sin(a)], axis=1)
    rim[-1] = rim[0]
    face = dataclasses.replace(side(FlatBevel(height=height, edge_thickness=edge), edge=rim), foot=(-100.0, 0.0))
    taken = of_layers(missing(shapely.Polygon(rim), face, T / 2))
    triangle = height * (T - edge) / 4
    assert taken.amount == pytest.approx(2 * math.pi * (radius - height / 3) * triangle, rel=VOLUME)
    assert taken.centre[:2] == pytest.approx((0.0, 0.0), abs=CENTRE)


def drop_point(face: Face, lean: float = 0.0, taper: tuple[tuple[float, float], ...] = (), thick: float = 4.0) -> Knife:
    outline = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    grind = Grind(bevel=face, plunge=Plunge(x=outline.heel[0], lean_deg=lean))
    return Knife(name="x", outline=outline, stock=Stock(steel="1084", thickness=thick, taper=taper), grind=grind)


FACES: tuple[Face, ...] = (
    FlatBevel(height=17.0, edge_thickness=0.4),
    AngledBevel(angle_deg=6.0, edge_thickness=0.4),
    FullFlat(edge_thickness=0.3),
    HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.6),
    ConvexBevel(height=17.0, edge_thickness=0.4, bulge=0.3),
)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.kind)
@pytest.mark.parametrize("lean", [0.0, 15.0, -10.0])
def test_default_panel_is_fine_enough(face: Face, lean: float) -> None:
    """The steel's volume is within 5e-5 of that with panels twenty times finer; each refinement comes nearer."""
    knife = drop_point(face, lean)
    ground_side, region = knife.side("finished", "right"), knife.bevel_region
    fine = missing(region, ground_side, 2.0, panel=PANEL / 20)[0, 0]
    errors = [abs(missing(region, ground_side, 2.0, panel=p)[0, 0] - fine) for p in (PANEL, PANEL / 8)]
    whole = weigh(knife).finished.amount / 2
    assert errors[0] < 5e-5 * whole
    assert errors[1] < 5e-6 * whole


@pytest.mark.parametrize(
    ("region", "error"),
    [
        (shapely.Point(0, 0).buffer(20, quad_segs=256), 1e-4),
        (shapely.union(shapely.box(0, 0, 60, 8), shapely.box(40, 0, 60, 30)), 1e-12),
        (shapely.union(shapely.box(0, 0, 60, 5), shapely.box(0, 10, 7, 20)), 1e-12),
        (shapely.Polygon([(0, 0), (1, 0), (0.5, 3)]), 1e-12),
        # A bay in the end, as a bowed front makes: where it is deepest its border stands upright.
        (shapely.box(0, 0, 60, 30) - shapely.Point(90, 15).buffer(33, quad_segs=256), 2e-6),
    ],
)
def test_columns_fill_a_region(region: BaseGeometry, error: float) -> None:
    """Widths times lengths add up to the area."""
    columns = columns_of(region, (), PANEL)
    assert float(columns.weight @ (columns.high - columns.low)) == pytest.approx(region.area, rel=error)


def test_parts_add_up() -> None:
    knife = drop_point(FACES[0])
    ground_side, region = knife.side("finished", "right"), knife.bevel_region
    cut = shapely.box(-500, -500, 60, 500)
    parts = [shapely.intersection(region, cut), shapely.difference(region, cut)]
    assert sum(missing(p, ground_side, 2.0)[0, 0] for p in parts) == pytest.approx(
        missing(region, ground_side, 2.0)[0, 0], rel=2e-5
    )


@given(
    edge=st.floats(0.0, 0.8),
    height=st.floats(6.0, 24.0),
    more=st.floats(0.5, 8.0),
    lean=st.floats(-15.0, 25.0),
    tip=st.floats(1.5, 4.0),
)
def test_more_bevel_never_weighs_more(edge: float, height: float, more: float, lean: float, tip: float) -> None:
    taper = ((20.0, 4.0), (110.0, tip))
    low = weigh(drop_point(FlatBevel(height=height, edge_thickness=edge), lean, taper)).finished.amount
    high = weigh(drop_point(FlatBevel(height=height + more, edge_thickness=edge), lean, taper)).finished.amount
    assert high < low


@given(x=st.floats(12.0, 100.0), up=st.floats(0.0, 1.0), face=st.sampled_from(FACES), tip=st.floats(1.5, 4.0))
def test_thickness_stays_between_edge_and_stock(x: float, up: float, face: Face, tip: float) -> None:
    knife = drop_point(face, taper=((20.0, 4.0), (110.0, tip)))
    upper, lower = knife.outline.tang_height(np.array([x]))
    ground_side = knife.side("finished", "right")
    z = ground_side.height(np.array([x]), lower + up * (upper - lower))
    assert z[0] <= ground_side.stock.half_thickness(np.array([x]))[0] + 1e-12
    if face.kind != "hollow":
        assert z[0] >= face.edge_thickness / 2 - 1e-9
