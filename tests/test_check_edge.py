"""Edges that stay thick, faces that do nothing, and plunge radii that are too large, on a bar 200 by 30 by 4 mm."""

from __future__ import annotations

import dataclasses

import pytest
from specimens import bar_outline, chef, drop_point, ground, petty, recurve

from bladegeom.checks.edge import check_edge
from bladegeom.checks.plunge import check_plunge
from bladegeom.curves.build import line
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, BevelToLine, FlatBevel
from bladegeom.knife.bevels.round import ConvexEdge
from bladegeom.knife.finding import Finding
from bladegeom.knife.grind import Flank, Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.quantities.units import show_length

HEEL = 10.0
FLAT = FlatBevel(height=17.0, edge_thickness=0.3)


def bar(*faces: Face, radius: float = 0.0, only: Flank | None = None) -> Knife:
    grind = Grind(bevel=faces, plunge=Plunge(x=HEEL, radius=radius), only=only)
    return dataclasses.replace(ground(bar_outline(heel=HEEL)), grind=grind)


def one(knife: Knife) -> Finding:
    (finding,) = check_edge(knife)
    return finding


@pytest.mark.parametrize("only", [None, "right"])
@pytest.mark.parametrize("radius", [0.0, 5.0])
def test_a_drawn_line_below_the_edge_grinds_nothing(radius: float, only: Flank | None) -> None:
    drawn = BevelToLine(line=line((10.0, -40.0), (100.0, -40.0)), edge_thickness=0.4)
    finding = one(bar(drawn, radius=radius, only=only))
    assert (finding.code, finding.severity) == ("edge-not-ground", "error")
    assert (finding.measured, finding.limit) == pytest.approx((4.0, 0.4))
    assert finding.y == -30.0
    assert finding.x is not None
    assert HEEL <= finding.x <= 199.0
    assert f"at x {finding.x:.2f} mm {show_length(4.0)} are left" in finding.message
    assert finding.message.endswith(
        "the drawn grind line lies on or below the edge there; draw it above the edge all the way"
    )


def test_a_drawn_line_that_starts_under_the_edge() -> None:
    # Source: closed form: from y -40 at x 10 to y -20 at x 110 it crosses y -30 at x 60.
    finding = one(bar(BevelToLine(line=line((10.0, -40.0), (110.0, -20.0)), edge_thickness=0.4)))
    assert finding.code == "edge-not-ground"
    assert finding.message.startswith("from x 10.50 to 60.00 mm the edge does not come down to 0.40 mm (")


def test_a_face_that_never_shows() -> None:
    finding = one(bar(FLAT, AngledBevel(angle_deg=12.0, edge_thickness=0.6)))
    assert (finding.code, finding.severity) == ("face-never-shows", "warning")
    assert (finding.measured, finding.limit) == (0.6, 0.3)
    assert finding.message == (
        f"the second face, flat at an angle with an edge of {show_length(0.6)}, never touches the steel: the others "
        "take more off everywhere; it is left out. Change its angle or its edge, or remove it"
    )


def test_of_two_faces_alike_the_second_never_shows() -> None:
    assert one(bar(FLAT, FLAT)).message.startswith("the second face")


@pytest.mark.parametrize(
    "knife",
    [
        bar(FLAT),
        bar(FLAT, AngledBevel(angle_deg=12.0, edge_thickness=0.28)),
        bar(FLAT, AngledBevel(angle_deg=20.0, edge_thickness=0.28), only="left"),
        bar(ConvexEdge(under=FLAT, height=3.0, edge_thickness=0.2, bulge=0.02)),
        bar(BevelToLine(line=line((10.0, -12.0), (200.0, -29.0)), edge_thickness=0.4), radius=5.0),
        drop_point(lean=15.0),
        drop_point(lean=-15.0),
        petty(),
        chef(),
        recurve(),
    ],
)
def test_clean(knife: Knife) -> None:
    assert list(check_edge(knife)) == []


def test_a_plunge_radius_that_takes_the_place_of_the_bevel() -> None:
    (finding,) = check_plunge(bar(FLAT, radius=500.0))
    assert (finding.code, finding.severity) == ("plunge-radius-large", "warning")
    assert (finding.measured, finding.limit) == pytest.approx((500.0, 190.0 / 4))
    assert finding.message.startswith(
        f"the plunge radius of {show_length(500.0)} is more than a quarter of the blade ahead of the plunge line, "
        f"{show_length(190.0)}: "
    )
    assert f"stay below {show_length(47.5)}" in finding.message
    assert list(check_plunge(bar(FLAT, radius=47.5))) == []
