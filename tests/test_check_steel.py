"""What the faces leave of the steel, and where the plunge line stands: one design for each finding, and clean ones."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from refusals import assert_tells
from specimens import bar_outline, chef, drop_point, ground, petty

from bladegeom.checks.plunge import PLUNGE_TO_FRONT, check_plunge
from bladegeom.checks.steel import check_steel
from bladegeom.curves.build import line
from bladegeom.findings.check import check
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, BevelToLine, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.finding import Finding
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Shop
from bladegeom.knife.stock import Stock
from bladegeom.quantities.units import show_length

HEEL = 10.0
FLAT = FlatBevel(height=18.0, edge_thickness=0.5)


def bar(bevel: Face | tuple[Face, ...] = FLAT, *, taper: tuple[tuple[float, float], ...] = (), **more: Any) -> Knife:
    """A bar 200 by 30 by 4 mm with its edge along y -30 from x 10 on, where the plunge line stands."""
    plunge = {"x": HEEL, **{name: more.pop(name) for name in ("x", "lean_deg", "radius") if name in more}}
    knife = ground(bar_outline(heel=HEEL), **{name: more.pop(name) for name in ("shop",) if name in more})
    grind = Grind(bevel=bevel, plunge=Plunge(**plunge), **more)
    return dataclasses.replace(knife, grind=grind, stock=Stock(steel="1084", thickness=4.0, taper=taper))


def on(knife: Knife, bevel: Face | tuple[Face, ...], **more: Any) -> Knife:
    return dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=bevel, **more))


def only(knife: Knife, code: str, severity: str) -> Finding:
    """The one finding about steel and plunge; which says where from and what to do."""
    (finding,) = [f for f in (*check_steel(knife), *check_plunge(knife)) if f.code in (code, *codes(knife))]
    assert (finding.code, finding.severity) == (code, severity)
    assert finding.source
    return finding


def codes(knife: Knife) -> list[str]:
    """All but the note on the spine of the point, which every blade has; the bar's is its upright front."""
    found = (finding.code for finding in (*check_steel(knife), *check_plunge(knife)))
    return [code for code in found if code != "bevel-reaches-spine"]


CLEAN: tuple[Knife, ...] = (
    bar(),
    bar(FullFlat(edge_thickness=0.3)),
    bar(AngledBevel(angle_deg=14.0), sharpen_deg=14.0),
    bar(HollowBevel(wheel_diameter=254.0, height=18.0, edge_thickness=0.6)),
    bar(ConvexBevel(height=18.0, edge_thickness=0.5, bulge=0.3)),
    bar((FLAT, AngledBevel(angle_deg=11.0))),
    bar(ConvexEdge(under=FLAT, height=3.0, edge_thickness=0.2, bulge=0.02)),
    bar(BevelToLine(line=line((10.0, -12.0), (200.0, -8.0)), edge_thickness=0.5)),
    bar(only="left", sharpen_deg=25.0),
    bar(rough_edge=0.5),
    bar(taper=((0.0, 4.0), (200.0, 1.5)), radius=5.0, lean_deg=15.0),
    bar(AngledBevel(angle_deg=6.0, edge_thickness=0.5), taper=((0.0, 4.0), (200.0, 1.5))),
)


@pytest.mark.parametrize("knife", CLEAN, ids=[f"{i} {k.grind.kind}" for i, k in enumerate(CLEAN)])
def test_clean(knife: Knife) -> None:
    assert codes(knife) == []


@pytest.mark.parametrize(
    "face",
    [
        FlatBevel(height=17.0, edge_thickness=0.4),
        AngledBevel(angle_deg=6.0, edge_thickness=0.4),
        FullFlat(edge_thickness=0.3),
        HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.6),
        ConvexBevel(height=17.0, edge_thickness=0.4, bulge=0.3),
    ],
    ids=lambda face: face.kind,
)
@pytest.mark.parametrize("lean", [0.0, 15.0])
def test_usual_faces_on_a_drop_point_are_no_error(face: Face, lean: float) -> None:
    knife = on(drop_point(lean=lean), face)
    for radius in (0.0, 4.0):
        grind = dataclasses.replace(knife.grind, plunge=Plunge(x=knife.outline.heel[0], lean_deg=lean, radius=radius))
        found = check(dataclasses.replace(knife, grind=grind))
        # A point comes down to the bevel's height before it ends, except where the face ends at the spine: then it
        # stays as thick as the bar.
        assert {finding.code for finding in found} <= {"bevel-reaches-spine", "tip-thick"}
        assert all(finding.severity == "note" for finding in found if finding.code != "tip-thick")
        assert any(finding.code == "tip-thick" for finding in found) == (face.kind == "full flat")


def test_thin_wall_of_a_deep_hollow_names_x_and_height() -> None:
    # Source: closed form: the wheel is lowest where it stands upright, at h/2 - rise (R - s) / c from the edge.
    wheel, edge = 120.0, 0.9
    rise = (4.0 - edge) / 2
    chord = math.hypot(18.0, rise)
    off = math.sqrt(wheel**2 / 4 - chord**2 / 4)
    at, low = 9.0 - rise * off / chord, edge / 2 + rise / 2 + 18.0 * off / chord - wheel / 2
    knife = bar(HollowBevel(wheel_diameter=wheel, height=18.0, edge_thickness=edge))
    finding = only(knife, "thin-wall", "error")
    # Seen at the stations, at places 0.05 mm apart.
    height = finding.y + 30.0 if finding.y is not None else math.nan
    assert height == pytest.approx(at, abs=0.03)
    assert finding.measured == pytest.approx(2 * low, abs=1e-4)
    assert finding.limit == edge
    assert finding.x is not None
    assert HEEL < finding.x < 200.0
    assert finding.message == (
        f"the wall is {finding.measured:.2f} mm ({(finding.measured or 0.0) / 25.4:.3f} in) at x {finding.x:.2f} mm, "
        f"{height:.2f} mm ({height / 25.4:.3f} in) above the edge, thinner than the edge itself, 0.90 mm (0.035 in); a "
        "larger wheel or a lower bevel leaves more"
    )
    (there,) = thickness(knife, "finished", np.array([finding.x]), np.array([finding.y]))
    assert finding.measured == pytest.approx(there, abs=1e-12)


def test_no_steel_left() -> None:
    finding = only(bar(HollowBevel(wheel_diameter=50.0, height=18.0, edge_thickness=0.5)), "no-steel-left", "error")
    assert finding.measured is not None
    assert finding.measured <= 0
    assert finding.message.startswith(f"the faces meet at x {finding.x:.2f} mm, ")
    assert finding.message.endswith(
        "above the edge: no steel is left there; a larger wheel, a lower bevel or a thicker edge leaves some"
    )


def test_a_hollow_is_looked_at_where_the_taper_is_thin() -> None:
    # On 4 mm the wall stands; towards the tip the chord flattens and the same wheel goes deeper than the edge.
    face = HollowBevel(wheel_diameter=200.0, height=18.0, edge_thickness=0.6)
    assert codes(bar(face)) == []
    finding = only(bar(face, taper=((10.0, 4.0), (200.0, 1.2))), "thin-wall", "error")
    assert finding.x is not None
    assert finding.x > 190.0


@pytest.mark.parametrize("radius", [0.0, 4.0])
def test_bevel_reaches_the_spine_to_the_tip(radius: float) -> None:
    # Source: closed form: drop point 28 mm high over a bevel of 16; the spine comes within 16 mm of the edge from
    # where a fine search finds it.
    knife = drop_point()
    knife = on(knife, knife.grind.faces, plunge=Plunge(x=knife.outline.heel[0], radius=radius))
    finding = only(knife, "bevel-reaches-spine", "note")
    spine = knife.spine_points
    stock = thickness(knife, "finished", spine[:, 0], spine[:, 1])
    rear = spine[stock < 4.0 - 0.01, 0].min()
    assert finding.x == pytest.approx(rear, abs=0.5 + 1.0)
    assert f"from x {finding.x:.2f} mm to the tip" in finding.message


def test_bevel_reaches_the_spine_all_along() -> None:
    # Source: closed form: 30 mm up a bevel of 34: 0.5 + 3.5 x 30 / 34 mm.
    finding = only(bar(FlatBevel(height=34.0, edge_thickness=0.5)), "bevel-reaches-spine", "note")
    left = 0.5 + 3.5 * 30.0 / 34.0
    assert finding.measured == pytest.approx(left, abs=1e-6)
    assert finding.message == (
        f"the bevel reaches the spine all along: at the plunge line the spine is {left:.2f} mm "
        f"({left / 25.4:.3f} in) thick instead of 4.00 mm (0.157 in), {show_length(4 - left)} less; "
        "its declared height, 34.00 mm (1.339 in), is more than the blade has there, 30.00 mm (1.181 in)"
    )


def test_a_shallow_dip_low_on_a_tall_blade_is_seen() -> None:
    # A bevel 8 mm high at the foot of a bar 30 mm high, its wall 0.03 mm thinner than the edge 0.8 mm up.
    face = HollowBevel(wheel_diameter=44.0, height=8.0, edge_thickness=1.6)
    rise = 1.2
    chord = math.hypot(8.0, rise)
    off = math.sqrt(22.0**2 - chord**2 / 4)
    low = 0.8 + rise / 2 + 8.0 * off / chord - 22.0
    assert 2 * low < 1.6 - 0.01
    assert only(bar(face), "thin-wall", "error").measured == pytest.approx(2 * low, abs=1e-4)


@pytest.mark.parametrize("radius", [0.0, 5.0])
def test_bevel_above_the_blade(radius: float) -> None:
    # Source: closed form: 30 mm up a bevel of 90: 0.5 + 3.5 / 3 = 1.67 mm, less than half the stock.
    finding = only(bar(FlatBevel(height=90.0, edge_thickness=0.5), radius=radius), "bevel-above-blade", "error")
    assert finding.measured == pytest.approx(0.5 + 3.5 / 3, abs=1e-6)
    assert finding.limit == pytest.approx(2.0)
    assert (finding.x, finding.y) == pytest.approx((HEEL + radius, 0.0), abs=0.51)
    assert_tells(finding.message, "1.67 mm", "4.00 mm")


def test_edge_thin_before_hardening() -> None:
    shop = Shop(least_edge_before_hardening=0.7)
    finding = only(bar(rough_edge=0.6, shop=shop), "edge-thin-before-hardening", "warning")
    assert (finding.measured, finding.limit) == (0.6, 0.7)
    assert (finding.x, finding.y) == (HEEL, -30.0)
    assert_tells(finding.message, "0.60 mm", "0.70 mm", "rough_edge=None")
    assert codes(bar(rough_edge=0.7, shop=shop)) == []
    assert codes(bar(shop=shop)) == []


def test_a_bulge_that_ends_low() -> None:
    # Source: closed form: over a chord c at atan(rise / h) to the stock an arc comes in tangent with a sagitta of
    # c / 2 tan(a / 2); with a fuller one it leaves the stock where the same circle cuts it a second time.
    rise, bulge = 1.75, 0.6
    chord, angle = math.hypot(18.0, rise), math.atan(rise / 18.0)
    radius = chord**2 / (8 * bulge) + bulge / 2
    centre = 9.0 + rise * (radius - bulge) / chord
    finding = only(bar(ConvexBevel(height=18.0, edge_thickness=0.5, bulge=bulge)), "bulge-ends-low", "warning")
    assert finding.measured == pytest.approx(18.0 - 2 * (18.0 - centre), abs=1e-3)
    assert finding.limit == 18.0
    most = chord / 2 * math.tan(angle / 2)
    assert f"a bulge of {most:.3f} mm reaches as far as declared" in finding.message
    assert codes(bar(ConvexBevel(height=18.0, edge_thickness=0.5, bulge=math.floor(most * 1000) / 1000))) == []


def test_a_convex_edge_that_ends_low() -> None:
    finding = only(bar(ConvexEdge(under=FLAT, height=5.0, edge_thickness=0.3, bulge=0.1)), "bulge-ends-low", "warning")
    # Source: closed form: the chord under the flat, both planes; the largest bulge comes in tangent to it.
    rise = 0.25 + 1.75 * 5.0 / 18.0 - 0.15
    angle = math.atan(rise / 5.0) - math.atan(1.75 / 18.0)
    most = math.hypot(5.0, rise) / 2 * math.tan(angle / 2)
    assert f"a bulge of {most:.3f} mm reaches as far as declared" in finding.message
    assert finding.measured is not None
    # Where the arc meets the flat, both stand at the same height.
    radius = (25.0 + rise**2) / 0.8 + 0.05
    chord = math.hypot(5.0, rise)
    cd, cz = 2.5 + rise * (radius - 0.1) / chord, 0.15 + rise / 2 - 5.0 * (radius - 0.1) / chord
    arc = cz + math.sqrt(radius**2 - (finding.measured - cd) ** 2)
    assert arc == pytest.approx(0.25 + 1.75 * finding.measured / 18.0, abs=1e-5)


def test_an_edge_sharpened_flatter_than_the_bevel() -> None:
    finding = only(bar(AngledBevel(angle_deg=20.0), sharpen_deg=18.0), "facet-flatter-than-bevel", "warning")
    assert (finding.measured, finding.limit) == pytest.approx((18.0, 20.0))
    assert_tells(finding.message, "18 degrees", "20 degrees")
    assert codes(bar((FLAT, AngledBevel(angle_deg=20.0)), sharpen_deg=18.0)) == ["facet-flatter-than-bevel"]
    assert codes(bar((FLAT, AngledBevel(angle_deg=20.0)), sharpen_deg=20.0)) == []


def test_plunge_ahead_of_the_heel() -> None:
    finding = only(bar(x=13.0), "plunge-ahead-of-heel", "warning")
    assert (finding.measured, finding.limit) == pytest.approx((3.0, 0.5))
    assert (finding.x, finding.y) == pytest.approx((13.0, -30.0))
    assert_tells(finding.message, "3.00 mm", "10.00 mm")
    assert codes(bar(x=10.5)) == []


def test_plunge_near_the_scales() -> None:
    # Leaning back by a over 30 mm its upper end stands at 10 - 30 tan a.
    lean = math.degrees(math.atan(9.0 / 30.0))
    finding = only(bar(lean_deg=-lean), "plunge-near-scales", "warning")
    assert (finding.measured, finding.limit) == pytest.approx((1.0, PLUNGE_TO_FRONT))
    assert (finding.x, finding.y) == pytest.approx((1.0, 0.0), abs=1e-6)
    assert_tells(finding.message, "0.00", "1.00 mm")
    assert codes(bar(lean_deg=-math.degrees(math.atan(8.0 / 30.0)))) == []


def test_plunge_under_the_scales() -> None:
    lean = math.degrees(math.atan(14.0 / 30.0))
    finding = only(bar(lean_deg=-lean), "plunge-under-scales", "error")
    assert finding.measured == pytest.approx(-4.0)
    assert_tells(finding.message, "-4.00", "0.00", "6.00 mm")


@pytest.mark.parametrize("make", [drop_point, petty, chef])
def test_profiles_as_they_come_are_clean(make: Any) -> None:
    assert codes(make()) == []
