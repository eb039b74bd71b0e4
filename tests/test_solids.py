"""Weights of realistic curved blades against mesh solids made by booleans of another library."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import numpy.typing as npt
import pytest
from solids import Profile, properties, solid_blade

from bladegeom import (
    AngledBevel,
    ConvexBevel,
    Curve,
    FlatBevel,
    Grind,
    HollowBevel,
    Knife,
    Outline,
    Plunge,
    Stock,
    join_halves,
    profiles,
    spline,
    weigh,
)
from bladegeom.knife.grind import Flank

Array = npt.NDArray[np.float64]

MASS, CENTRE, INERTIA = 1e-3, 0.05, 3e-3
"""What a maker is promised: 0.1 % of mass, 0.05 mm of centroid, 0.3 % of inertia."""


def knife(blade: str, grind: Grind, thickness: float, *, outline: Outline | None = None) -> Knife:
    shape = outline or join_halves(profiles.get(blade)(), profiles.get("swelled")())
    return Knife(name=blade, outline=shape, stock=Stock(steel="1084", thickness=thickness), grind=grind)


def flat(edge: float, height: float, half: float) -> Profile:
    return lambda d: edge / 2 + (half - edge / 2) * d / height


def hollow(edge: float, height: float, half: float, wheel: float) -> Profile:
    """Lower arc of the circle of the wheel's diameter through (0, edge / 2) and (height, half)."""
    rise = half - edge / 2
    chord = math.hypot(height, rise)
    off = math.sqrt((wheel / 2) ** 2 - (chord / 2) ** 2)
    cd, cz = height / 2 - off * rise / chord, edge / 2 + rise / 2 + off * height / chord
    return lambda d: np.asarray(cz - np.sqrt((wheel / 2) ** 2 - (d - cd) ** 2))


def convex(edge: float, height: float, half: float, bulge: float) -> Profile:
    """Upper arc of a circle over the chord, by sagitta: R = c^2 / (8 s) + s / 2."""
    rise = half - edge / 2
    chord = math.hypot(height, rise)
    radius = chord**2 / (8 * bulge) + bulge / 2
    off = radius - bulge
    cd, cz = height / 2 + off * rise / chord, edge / 2 + rise / 2 - off * height / chord
    return lambda d: np.asarray(cz + np.sqrt(radius**2 - (d - cd) ** 2))


def recurve() -> Outline:
    """A drop point whose edge is drawn in before the belly."""
    base = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    (hx, hy), (tx, ty) = base.heel, base.tip
    edge: Curve = spline([(hx, hy), (hx + 25, hy + 2.5), (hx + 60, hy - 1.0), (tx, ty)], start_deg=0.0, end_deg=42.0)
    return dataclasses.replace(base, edge=edge)


def assert_same(k: Knife, right: Profile | None, left: Profile | None, reach: float) -> None:
    volume, centre, second = properties(solid_blade(k, right, left, reach))
    ours = weigh(k).finished
    assert ours.amount == pytest.approx(volume, rel=MASS)
    assert np.abs(np.array(ours.centre) - centre).max() < CENTRE
    own = ours.central()
    for i in range(3):
        assert own[i, i] == pytest.approx(second[i, i], rel=INERTIA)
    polar = own[0, 0] + own[1, 1]
    assert polar == pytest.approx(second[0, 0] + second[1, 1], rel=INERTIA)


@pytest.mark.parametrize("lean", [0.0, 15.0])
@pytest.mark.parametrize(
    ("blade", "thickness", "height", "edge"),
    [("drop_point", 4.0, 17.0, 0.4), ("petty", 2.0, 26.0, 0.2), ("chef", 2.5, 43.0, 0.25)],
)
def test_flat_bevel(blade: str, thickness: float, height: float, edge: float, lean: float) -> None:
    shape = join_halves(profiles.get(blade)(), profiles.get("swelled")())
    grind = Grind(bevel=FlatBevel(height=height, edge_thickness=edge), plunge=Plunge(x=shape.heel[0], lean_deg=lean))
    face = flat(edge, height, thickness / 2)
    assert_same(knife(blade, grind, thickness, outline=shape), face, face, height)


@pytest.mark.long
def test_flat_bevel_on_a_recurve() -> None:
    shape = recurve()
    grind = Grind(bevel=FlatBevel(height=14.0, edge_thickness=0.5), plunge=Plunge(x=shape.heel[0]))
    face = flat(0.5, 14.0, 2.0)
    assert_same(knife("recurve", grind, 4.0, outline=shape), face, face, 14.0)


def test_plunge_leaning_back() -> None:
    shape = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    grind = Grind(bevel=FlatBevel(height=15.0, edge_thickness=0.4), plunge=Plunge(x=shape.heel[0] + 4, lean_deg=-20.0))
    face = flat(0.4, 15.0, 2.0)
    assert_same(knife("drop_point", grind, 4.0, outline=shape), face, face, 15.0)


@pytest.mark.long
def test_hollow_bevel() -> None:
    shape = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    grind = Grind(
        bevel=HollowBevel(wheel_diameter=254.0, height=16.0, edge_thickness=0.6), plunge=Plunge(x=shape.heel[0])
    )
    face = hollow(0.6, 16.0, 2.0, 254.0)
    assert_same(knife("drop_point", grind, 4.0, outline=shape), face, face, 16.0)


@pytest.mark.long
def test_convex_bevel() -> None:
    shape = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    grind = Grind(bevel=ConvexBevel(height=16.0, edge_thickness=0.6, bulge=0.25), plunge=Plunge(x=shape.heel[0]))
    face = convex(0.6, 16.0, 2.0, 0.25)
    assert_same(knife("drop_point", grind, 4.0, outline=shape), face, face, 16.0)


@pytest.mark.parametrize("only", ["right", "left"])
def test_one_sided_bevel(only: Flank) -> None:
    shape = join_halves(profiles.get("petty")(), profiles.get("swelled")())
    grind = Grind(bevel=FlatBevel(height=14.0, edge_thickness=0.3), plunge=Plunge(x=shape.heel[0]), only=only)
    half = 1.25
    face: Profile = lambda d: (0.3 - half) + (2 * half - 0.3) * d / 14.0  # noqa: E731
    right, left = (face, None) if only == "right" else (None, face)
    assert_same(knife("petty", grind, 2 * half, outline=shape), right, left, 14.0)


@pytest.mark.long
def test_compound_bevel() -> None:
    """A secondary bevel below a primary one: the lower of two straight profiles."""
    shape = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    grind = Grind(
        bevel=(FlatBevel(height=17.0, edge_thickness=0.8), AngledBevel(angle_deg=12.0, edge_thickness=0.3)),
        plunge=Plunge(x=shape.heel[0]),
    )
    primary = flat(0.8, 17.0, 2.0)
    secondary: Profile = lambda d: 0.15 + d * math.tan(math.radians(12.0))  # noqa: E731
    face: Profile = lambda d: np.minimum(primary(d), secondary(d))  # noqa: E731
    assert_same(knife("drop_point", grind, 4.0, outline=shape), face, face, 17.0)
