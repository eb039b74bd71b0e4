"""Weights of realistic curved blades against solids of a CAD kernel, built from the same Bezier control points."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import numpy.typing as npt
import pytest

pytest.importorskip("build123d")

from breps import Law, brep_blade, properties

from bladegeom import (
    AngledBevel,
    ConvexBevel,
    FlatBevel,
    Grind,
    Hole,
    HollowBevel,
    Knife,
    Plunge,
    Stock,
    join_halves,
    profiles,
    weigh,
)
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.grind import Flank
from bladegeom.quantities.tolerances import CHORD

Array = npt.NDArray[np.float64]

MASS, CENTRE, INERTIA = 1e-3, 0.05, 3e-3
"""What a maker is promised: 0.1 % of mass, 0.05 mm of centroid, 0.3 % of inertia."""

# Measured, worst of the cases of each kind, with the library's chords and with chords a hundred times closer:
#   flat      3.9e-5  0.0061 mm  2.7e-4      4.4e-6  0.0001 mm  1.5e-5
#   hollow    1.2e-5  0.0018 mm  7.1e-5      2.8e-6  0.0001 mm  9.3e-6
#   convex    9.5e-6  0.0012 mm  4.4e-5      9.5e-7  0.0001 mm  3.0e-6
#   one side  1.6e-5  0.0023 mm  1.5e-4      3.3e-7  0.0000 mm  1.5e-6
#   tapered   6.1e-5  0.0022 mm  2.0e-4      5.6e-8  0.0001 mm  1.4e-6
# So the chords make nearly all of it: they leave out slivers of what is ground off, and the blade comes out heavier.
# The rest, most with a plunge line that leans, shrinks with the width of the integral's panels.

HANDLES = {"drop_point": "swelled", "petty": "straight", "chef": "birds_head"}

FLAT = [("drop_point", 4.0, 17.0, 0.4), ("petty", 2.0, 26.0, 0.2), ("chef", 2.5, 43.0, 0.25)]
"""Blade, stock, bevel height, edge thickness, mm: common practice, no source."""


def knife(
    blade: str,
    bevel: Face,
    thickness: float,
    *,
    lean: float = 0.0,
    ahead: float = 0.0,
    only: Flank | None = None,
    taper: tuple[tuple[float, float], ...] = (),
    holes: tuple[Hole, ...] = (),
) -> Knife:
    """A blade on its usual handle; the plunge line meets the edge ``ahead`` of the heel."""
    outline = join_halves(profiles.get(blade)(), profiles.get(HANDLES[blade])())
    return Knife(
        name=blade,
        outline=outline,
        stock=Stock(steel="1084", thickness=thickness, taper=taper),
        grind=Grind(bevel=bevel, plunge=Plunge(x=outline.heel[0] + ahead, lean_deg=lean), only=only),
        holes=holes,
    )


def straight(low: float, slope: float, half: float) -> Law:
    """Rises evenly from the edge until a millimetre past the stock's face."""
    return Law(height=lambda d: low + slope * d, reach=(half - low) / slope + 1.0)


def flat(edge: float, height: float, half: float) -> Law:
    return straight(edge / 2, (half - edge / 2) / height, half)


def hollow(edge: float, height: float, half: float, wheel: float) -> Law:
    """Lower arc of the circle of the wheel's diameter through (0, edge / 2) and (height, half)."""
    radius = wheel / 2
    rise = half - edge / 2
    chord = math.hypot(height, rise)
    off = math.sqrt(radius**2 - (chord / 2) ** 2)
    cd, cz = height / 2 - off * rise / chord, edge / 2 + rise / 2 + off * height / chord
    return Law(height=lambda d: cz - math.sqrt(radius**2 - (d - cd) ** 2), reach=height + 1.0, curved=True)


def convex(edge: float, height: float, half: float, bulge: float) -> Law:
    """Upper arc of a circle over the chord, by sagitta: R = c^2 / (8 s) + s / 2."""
    rise = half - edge / 2
    chord = math.hypot(height, rise)
    radius = chord**2 / (8 * bulge) + bulge / 2
    off = radius - bulge
    cd, cz = height / 2 + off * rise / chord, edge / 2 + rise / 2 - off * height / chord
    return Law(height=lambda d: cz + math.sqrt(radius**2 - (d - cd) ** 2), reach=height + 1.0, curved=True)


def assert_same(k: Knife, right: Law | None, left: Law | None) -> None:
    """As a maker weighs it; and, with chords a hundred times closer to the curves, to a hundredth of the promise."""
    solid = properties(brep_blade(k, right, left))
    assert_within(1.0, k, *solid)
    with pytest.MonkeyPatch.context() as patch:
        for module in ("outline.outline", "knife.knife"):
            patch.setattr(f"bladegeom.{module}.CHORD", CHORD / 100)
        fresh = dataclasses.replace(k, outline=dataclasses.replace(k.outline))
        assert_within(0.01, fresh, *solid)


def assert_within(share: float, k: Knife, volume: float, centre: Array, second: Array) -> None:
    """The inertia about each axis is a sum of two second moments, so at least as true; products count likewise."""
    ours = weigh(k).finished
    spread = np.sqrt(np.diag(second))
    assert abs(ours.amount / volume - 1) < share * MASS
    assert np.abs(np.array(ours.centre) - centre).max() < share * CENTRE
    assert np.abs((ours.central() - second) / np.outer(spread, spread)).max() < share * INERTIA


@pytest.mark.parametrize(("lean", "ahead"), [(0.0, 0.0), (15.0, 0.0), (-20.0, 4.0)])
@pytest.mark.parametrize(("blade", "thickness", "height", "edge"), FLAT)
def test_flat_bevel(blade: str, thickness: float, height: float, edge: float, lean: float, ahead: float) -> None:
    face = flat(edge, height, thickness / 2)
    bevel = FlatBevel(height=height, edge_thickness=edge)
    assert_same(knife(blade, bevel, thickness, lean=lean, ahead=ahead), face, face)


@pytest.mark.parametrize(("lean", "ahead"), [(0.0, 0.0), (-20.0, 4.0)])
def test_hollow_bevel(lean: float, ahead: float) -> None:
    face = hollow(0.6, 16.0, 2.0, 254.0)
    bevel = HollowBevel(wheel_diameter=254.0, height=16.0, edge_thickness=0.6)
    assert_same(knife("drop_point", bevel, 4.0, lean=lean, ahead=ahead), face, face)


@pytest.mark.parametrize(("lean", "ahead"), [(0.0, 0.0), (-20.0, 4.0)])
def test_convex_bevel(lean: float, ahead: float) -> None:
    face = convex(0.6, 16.0, 2.0, 0.25)
    bevel = ConvexBevel(height=16.0, edge_thickness=0.6, bulge=0.25)
    assert_same(knife("drop_point", bevel, 4.0, lean=lean, ahead=ahead), face, face)


@pytest.mark.parametrize("only", ["right", "left"])
def test_one_sided_bevel(only: Flank) -> None:
    """The edge lies in the other face: the face rises from there through the whole stock."""
    face = straight(0.3 - 1.25, (2.5 - 0.3) / 14.0, 1.25)
    right, left = (face, None) if only == "right" else (None, face)
    assert_same(knife("petty", FlatBevel(height=14.0, edge_thickness=0.3), 2.5, only=only), right, left)


def test_tapered_stock_with_holes() -> None:
    """A distal and a tang taper, a bevel at a constant angle, two holes through the tapered tang."""
    face = straight(0.2, math.tan(math.radians(4.0)), 2.0)
    taper = ((-115.0, 2.2), (-5.0, 4.0), (15.0, 4.0), (105.0, 1.6))
    holes = tuple(Hole(x=x, y=y, diameter=6.35, purpose="fastener") for x, y in ((-30.0, -11.0), (-85.0, -12.0)))
    bevel = AngledBevel(angle_deg=4.0, edge_thickness=0.4)
    assert_same(knife("drop_point", bevel, 4.0, lean=15.0, taper=taper, holes=holes), face, face)
