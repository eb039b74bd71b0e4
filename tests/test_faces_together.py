"""Several faces on one blade: each bounded to its own region, and all of it weighed, against a sum over cells."""

from __future__ import annotations

import dataclasses
import itertools
from typing import Any

import numpy as np
import pytest
from cells import blade_volumes, surface
from draws import draws
from hypothesis import assume, given
from hypothesis import strategies as st
from specimens import bar_outline, drop_point, ground

from bladegeom.checks.steel import check_steel
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.grind import STAGES, Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh

L, H, TANG = 200.0, 30.0, 100.0 * 30.0 * 4.0
"""The bar's length and height ahead of its plunge line, mm, and the volume behind it, mm3."""

D = (np.arange(20_000) + 0.5) / 20_000 * H

UPPER: tuple[Face, ...] = (
    FlatBevel(height=17.0, edge_thickness=0.6),
    AngledBevel(angle_deg=6.0, edge_thickness=0.6),
    HollowBevel(wheel_diameter=100.0, height=17.0, edge_thickness=0.6),
    HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.6),
    ConvexBevel(height=17.0, edge_thickness=0.6, bulge=0.3),
)
LOWER: tuple[Face, ...] = (
    FlatBevel(height=9.0, edge_thickness=0.25),
    AngledBevel(angle_deg=14.0),
    HollowBevel(wheel_diameter=50.0, height=8.0, edge_thickness=0.4),
    ConvexBevel(height=9.0, edge_thickness=0.2, bulge=0.3),
)


def together() -> list[tuple[Face, ...]]:
    """Every upper face with every lower one, under convex edges of several heights, and one under another."""
    out: list[tuple[Face, ...]] = list(itertools.product(UPPER, LOWER))
    for upper, (height, bulge) in itertools.product(UPPER, ((1.2, 0.02), (2.5, 0.05), (5.0, 0.1), (10.0, 0.3))):
        edge = ConvexEdge(under=upper, height=height, edge_thickness=0.25, bulge=bulge)
        out += [(edge,), (ConvexEdge(under=edge, height=height / 2, edge_thickness=0.1, bulge=bulge / 4),)]
    return out


def bar(bevel: tuple[Face, ...], **more: Any) -> Knife:
    knife = ground(bar_outline(blade=L, height=H))
    return dataclasses.replace(knife, grind=Grind(bevel=bevel, plunge=Plunge(x=0.0), **more))


def assert_as_cells(knife: Knife) -> None:
    """The steel at each stage within 5e-6 of its volume, and what sharpening takes off within 0.2 % or 0.1 mm3."""
    weighed = weigh(knife)
    rough, finished, sharp = (
        TANG + 2 * L * H * float(surface(knife, stage, D, H - D).mean()) for stage in ("rough", "finished", "sharp")
    )
    assert weighed.finished.amount == pytest.approx(finished, rel=5e-6)
    if knife.grind.rough_edge is not None:
        assert weighed.rough.amount == pytest.approx(rough, rel=5e-6)
    removed = weighed.between("finished", "sharp").volume.amount
    assert removed == pytest.approx(finished - sharp, rel=2e-3, abs=0.1)
    assert removed > -1e-6


@pytest.mark.parametrize("bevel", together(), ids=lambda bevel: Grind(bevel=bevel, plunge=Plunge(x=0.0)).kind)
def test_faces_together_weigh_what_their_cells_add_up_to(bevel: tuple[Face, ...]) -> None:
    assert_as_cells(bar(bevel, rough_edge=0.9))


heights, edges = st.floats(2.0, 28.0), st.floats(0.0, 0.8)
single = st.one_of(
    st.builds(FlatBevel, height=heights, edge_thickness=edges),
    st.builds(AngledBevel, angle_deg=st.floats(2.0, 20.0), edge_thickness=edges),
    st.builds(
        HollowBevel, wheel_diameter=st.sampled_from([50.0, 100.0, 254.0, 355.0]), height=heights, edge_thickness=edges
    ),
    st.builds(
        lambda height, edge, share: ConvexBevel(height=height, edge_thickness=edge, bulge=share * height),
        heights,
        edges,
        st.floats(0.01, 0.05),
    ),
)


@st.composite
def bevels(draw: st.DrawFn) -> tuple[Face, ...]:
    """One to three faces, and perhaps convex edges under some of them or under each other."""
    faces: list[Face] = draw(st.lists(single, min_size=1, max_size=3))
    for _ in range(draw(st.integers(0, 2))):
        under, height = draw(st.sampled_from(faces)), draw(st.floats(0.5, 12.0))
        assume(under.edge_thickness > 0.05)
        edge, bulge = draw(st.floats(0.0, 0.95)) * under.edge_thickness, draw(st.floats(0.001, 0.04)) * height
        faces.append(ConvexEdge(under=under, height=height, edge_thickness=edge, bulge=bulge))
    return tuple(faces)


@draws(60)
@given(bevels(), st.floats(10.0, 25.0))
def test_any_faces_weigh_what_their_cells_add_up_to(bevel: tuple[Face, ...], sharpen: float) -> None:
    knife = bar(bevel, sharpen_deg=sharpen)
    # Where no steel is left the check says so, and nothing else is told of the blade.
    assume(float(surface(knife, "finished", D, H - D).min()) > 0)
    assert_as_cells(knife)


BENT: tuple[tuple[Face, ...], ...] = (
    (FlatBevel(height=17.0, edge_thickness=0.6), AngledBevel(angle_deg=11.0)),
    (ConvexEdge(under=FullFlat(edge_thickness=0.6), height=3.0, edge_thickness=0.25, bulge=0.05),),
    (
        ConvexEdge(
            under=HollowBevel(wheel_diameter=100.0, height=13.0, edge_thickness=0.9),
            height=5.0,
            edge_thickness=0.25,
            bulge=0.05,
        ),
    ),
    (HollowBevel(wheel_diameter=50.0, height=8.0, edge_thickness=0.6), FlatBevel(height=20.0, edge_thickness=0.4)),
)


@pytest.mark.parametrize("bevel", BENT, ids=lambda bevel: Grind(bevel=bevel, plunge=Plunge(x=0.0)).kind)
def test_so_they_do_on_a_blade_with_a_belly(bevel: tuple[Face, ...]) -> None:
    knife = drop_point()
    knife = dataclasses.replace(knife, grind=Grind(bevel=bevel, plunge=Plunge(x=knife.outline.heel[0]), rough_edge=1.0))
    weighed = weigh(knife)
    blank, rough, finished, sharp = blade_volumes(knife, STAGES)
    # 2e-4 of the steel: chords of outline and edge, and cells of the sum.
    within = 2e-4 * weighed.blank.amount
    assert weighed.between("blank", "rough").volume.amount == pytest.approx(blank - rough, abs=within)
    assert weighed.between("rough", "finished").volume.amount == pytest.approx(rough - finished, abs=within)
    assert weighed.between("finished", "sharp").volume.amount == pytest.approx(finished - sharp, rel=0.01)


@pytest.mark.parametrize("height", [1.2, 2.5, 5.0, 10.0])
@pytest.mark.parametrize("upper", UPPER, ids=lambda face: face.kind)
def test_a_convex_edge_leaves_the_face_above_its_height_alone(upper: Face, height: float) -> None:
    # Source: definition: the arc runs from the edge to its height, so all that is told of above is told of the face.
    edge = ConvexEdge(under=upper, height=height, edge_thickness=0.25, bulge=0.02)
    alone, both = (bar((face,), rough_edge=0.9) for face in (upper, edge))
    y = np.linspace(-H + height, 0.0, 500)
    x = np.full_like(y, 100.0)
    one, other = (knife.side("finished", "right").height(x, y) for knife in (alone, both))
    np.testing.assert_allclose(one, other, atol=1e-12)
    plain, sheet = GrindSheet(alone), GrindSheet(both)
    assert sheet.first.grind_line == pytest.approx(plain.first.grind_line, abs=1e-9)
    assert (sheet.uppermost, sheet.scribed_edge("finished")) == (upper, 0.6)
    (lower,) = sheet.lower
    # A hollow lies under the chord of a tall arc, which then ends before its height; how far up is told.
    short = [found.measured or 0.0 for found in check_steel(both) if found.code == "bulge-ends-low"]
    assert lower.height == pytest.approx(short[0] if short else height, abs=0.02)
    assert not short or (upper.kind == "hollow" and short[0] < height)
