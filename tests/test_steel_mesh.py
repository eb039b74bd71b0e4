"""The steel as a mesh: closed, as heavy as it is weighed, within its tolerance of the laws, with real edges."""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import any_knives
import numpy as np
import pytest
import shapely
import specimens
from closed import creases, faults, heights, lids, seen_from_above
from draws import draws, quick_rows
from hypothesis import assume, given, reject
from hypothesis import strategies as st
from own_hollow import OwnHollow

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, HollowBevel
from bladegeom.knife.grind import STAGES, Flank, Plunge, Stage
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.knife.zone import TextureZone
from bladegeom.mass.weigh import weigh
from bladegeom.meshes.steel_mesh import steel_mesh
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError, CurveError

EXAMPLES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")
TOLERANCE = 0.02
FLANKS: tuple[Flank, ...] = ("right", "left")

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "examples"))


@cache
def example(name: str) -> Knife:
    made = __import__(name).design()
    knife = getattr(made, "knife", made)
    assert isinstance(knife, Knife)
    return knife


def places(knife: Knife, tolerance: float, count: int) -> FloatArray:
    """Places all over the steel, off its borders and off the plunge line by a tolerance, where it may stand upright."""
    x0, y0, x1, y1 = knife.outline.bounds
    xy = np.random.default_rng(7).uniform((x0, y0), (x1, y1), (6 * count, 2))
    holes = shapely.union_all([shapely.Polygon(flatten(hole.outline, 0.001)) for hole in knife.openings])
    inside = shapely.difference(knife.outline.polygon.buffer(-tolerance), holes.buffer(tolerance))
    xy = xy[shapely.contains_xy(inside, xy[:, 0], xy[:, 1])]
    past = knife.side("sharp", "right").past(xy[:, 0], xy[:, 1])
    return np.asarray(xy[np.abs(past) > tolerance][:count])


def deviation(knife: Knife, stage: Stage, tolerance: float, count: int) -> float:
    """Greatest distance, square to the face, of the mesh from the law at many places on both sides, mm.

    Where no steel is left the mesh has none, and what the laws leave there counts.
    """
    mesh = steel_mesh(knife, stage, tolerance, textured=False)
    xy = places(knife, tolerance, count)
    worst = 0.0
    for flank in FLANKS:
        side = knife.side(stage, flank)
        other = knife.side(stage, "left" if flank == "right" else "right")
        law, step = side.height(*xy.T), 1e-4
        slope = [(side.height(*(xy + h).T) - side.height(*(xy - h).T)) / (2 * step) for h in step * np.eye(2)]
        z = heights(mesh, xy, up=flank == "right") * (1 if flank == "right" else -1)
        off = np.where(np.isnan(z), (law + other.height(*xy.T)) / 2, z - law)
        worst = max(worst, float((np.abs(off) / np.sqrt(1 + slope[0] ** 2 + slope[1] ** 2)).max()))
    return worst


def leaves_steel(knife: Knife, stage: Stage) -> bool:
    """Whether no face comes out on the other side, where the weighing is rough."""
    xy = places(knife, 0.01, 4000)
    return all(
        bool((side.laws(*xy.T).min(axis=0) >= side.least(side.laws(*xy.T))).all())
        for side in (knife.side(stage, flank) for flank in FLANKS)
    )


@pytest.mark.parametrize(
    ("name", "stage"),
    quick_rows([(name, stage) for name in EXAMPLES for stage in STAGES], *((n, "sharp") for n in EXAMPLES)),
)
def test_examples_are_closed_and_as_heavy_as_they_are_weighed(name: str, stage: Stage) -> None:
    knife = example(name)
    mesh = steel_mesh(knife, stage, TOLERANCE, textured=False)
    assert faults(mesh) == []
    weighed = weigh(knife).stage(stage)
    assert mesh.moments.amount == pytest.approx(weighed.amount, rel=0.0005)
    assert mesh.moments.centre == pytest.approx(weighed.centre, abs=0.03)
    assert faults(steel_mesh(knife, stage, TOLERANCE)) == []


@pytest.mark.parametrize(
    ("name", "stage"),
    quick_rows([(name, stage) for name in EXAMPLES for stage in STAGES[1:]], *((n, "sharp") for n in EXAMPLES)),
)
def test_examples_lie_within_their_tolerance_of_the_laws(name: str, stage: Stage) -> None:
    assert deviation(example(name), stage, TOLERANCE, 10_000) <= TOLERANCE


@st.composite
def ordinary(draw: st.DrawFn) -> Knife:
    try:
        return draw(any_knives.knives())
    except BladegeomError:
        reject()


@draws(50, long=500)
@given(ordinary(), st.sampled_from(STAGES))
def test_any_knife_is_closed_as_heavy_and_as_near_as_it_must_be(knife: Knife, stage: Stage) -> None:
    mesh = steel_mesh(knife, stage, TOLERANCE)
    assert faults(mesh) == []
    assume(leaves_steel(knife, stage))
    weighed = weigh(knife).stage(stage)
    assert mesh.moments.amount == pytest.approx(weighed.amount, rel=0.0005)
    assert mesh.moments.centre == pytest.approx(weighed.centre, abs=0.03)
    assert deviation(knife, stage, TOLERANCE, 2000) <= TOLERANCE


@st.composite
def bored(draw: st.DrawFn, knife: Knife) -> tuple[Hole | Slot, ...]:
    """Holes and slots anywhere, over borders and over each other."""
    x0, y0, x1, y1 = knife.outline.bounds
    holes: list[Hole | Slot] = []
    for _ in range(draw(st.integers(0, 6))):
        x, y, d = draw(st.floats(x0, x1)), draw(st.floats(y0, y1)), draw(st.floats(1.0, 9.0))
        if draw(st.booleans()):
            holes.append(Hole(x=x, y=y, diameter=d, purpose="lightening"))
        else:
            end = (x + draw(st.floats(2.0, 20.0)), y + draw(st.floats(-4.0, 4.0)))
            holes.append(Slot(start=(x, y), end=end, diameter=d, purpose="lightening"))
    return tuple(holes)


@st.composite
def wild(draw: st.DrawFn) -> Knife:
    """Any knife with holes anywhere, any lean and radius of the plunge, edges of no thickness, faces that meet."""
    knife = draw(ordinary())
    edge = draw(st.sampled_from((0.0, 0.05, 0.3)))
    height = draw(st.floats(3.0, 40.0))
    faces: tuple[Callable[[], Any], ...] = (
        lambda: FlatBevel(height=height, edge_thickness=edge),
        lambda: (
            FlatBevel(height=height, edge_thickness=edge),
            AngledBevel(angle_deg=9.0, edge_thickness=edge / 2),
        ),
        lambda: FullFlat(edge_thickness=edge),
        lambda: HollowBevel(wheel_diameter=90.0, height=height, edge_thickness=edge),
        lambda: ConvexBevel(height=height, edge_thickness=edge, bulge=0.3),
        lambda: OwnHollow(depth=0.3, height=height, edge_thickness=edge),
    )
    try:
        plunge = Plunge(
            x=knife.outline.heel[0] + draw(st.floats(-3.0, 20.0)),
            lean_deg=draw(st.floats(-35.0, 35.0)),
            radius=draw(st.sampled_from((0.0, 0.3, 2.0, 6.0, 20.0))),
        )
        grind = dataclasses.replace(
            knife.grind,
            bevel=draw(st.sampled_from(faces))(),
            plunge=plunge,
            sharpen_deg=draw(st.floats(8.0, 35.0)),
            rough_edge=edge + 0.4,
        )
        made = dataclasses.replace(knife, grind=grind, holes=draw(bored(knife)), scales=None, fasteners=())
        made.side("finished", "right").laws(np.array([30.0]), np.array([-5.0]))
        assert made.plunge_line is not None
    except BladegeomError:
        reject()
    return made


@draws(50, long=500)
@given(wild(), st.sampled_from(STAGES[1:]), st.sampled_from((0.005, 0.02, 0.02, 0.2)))
def test_however_odd_it_is_closed(knife: Knife, stage: Stage, tolerance: float) -> None:
    try:
        mesh = steel_mesh(knife, stage, tolerance)
    except BladegeomError:
        reject()  # a wheel too small for its bevel, which the weighing says as well
    assert faults(mesh) == []


@pytest.mark.parametrize("tolerance", [0.2, 0.05, 0.005])
def test_the_tolerance_is_kept_and_finer_ones_take_more_triangles(tolerance: float) -> None:
    knife = example("kindling_knife")
    assert deviation(knife, "finished", tolerance, 10_000) <= tolerance
    rings = shapely.union_all([shapely.Polygon(flatten(hole.outline, 0.0005)) for hole in knife.openings])
    plan = shapely.difference(shapely.Polygon(flatten(knife.outline.loop, 0.0005)), rings)
    mesh = steel_mesh(knife, "finished", tolerance)
    assert shapely.hausdorff_distance(seen_from_above(mesh).boundary, plan.boundary) <= tolerance
    coarser = steel_mesh(knife, "finished", 3 * tolerance)
    assert len(mesh.triangles) > len(coarser.triangles)


@pytest.mark.parametrize("name", ["rigging_knife", "kindling_knife", "traced_knife"])
def test_grind_lines_and_plunge_line_are_edges_of_the_mesh(name: str) -> None:
    knife = example(name)
    lines = creases(steel_mesh(knife, "sharp", TOLERANCE, textured=False))
    for row in grind_line(knife, "sharp"):
        # Where it runs out, and over the hollow along the plunge line, a face meets the stock at a tangent.
        past = knife.side("sharp", "right").past(*row.T)
        inner = row[(past > knife.grind.plunge.radius) & (row[:, 0] < row[-1, 0] - 1.0)]
        assert len(inner) > 50
        assert shapely.distance(shapely.points(inner), lines).max() < TOLERANCE
    side = knife.side("sharp", "right")
    (x0, y0), (x1, y1) = knife.plunge_line.start, knife.plunge_line.end
    share = np.linspace(0.02, 0.3, 20)
    at = np.stack([x0 + share * (x1 - x0), y0 + share * (y1 - y0)], axis=1)
    assert (side.height(*(at + 0.001 * np.array(side.ahead)).T) < side.height(*at.T)).all()
    assert shapely.distance(shapely.points(at), lines).max() < 0.001


def test_the_two_sides_meet_in_the_edge_of_a_sharp_blade() -> None:
    knife = example("rigging_knife")
    mesh = steel_mesh(knife, "sharp", TOLERANCE)
    edge = knife.outline.edge_line().vertices
    plunge = knife.plunge_line.start[0]
    for place in edge[edge[:, 0] > plunge + 5.0]:
        at = np.flatnonzero(np.hypot(*(mesh.vertices[:, :2] - place).T) < 0.001)
        assert len(at) == 1
        assert mesh.vertices[at[0], 2] == pytest.approx(0.0, abs=1e-4)


def test_a_sharp_step_stands_upright_along_the_plunge_line() -> None:
    knife = specimens.drop_point()
    stepped = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, plunge=Plunge(x=20.0, radius=0.0)))
    mesh = steel_mesh(stepped, "finished", TOLERANCE)
    assert faults(mesh) == []
    foot = np.array(stepped.plunge_line.start)
    (at,) = np.nonzero(np.hypot(*(mesh.vertices[:, :2] - foot).T) < 0.01)
    bar, edge = stepped.stock.thickness / 2, stepped.grind.edge_thickness / 2
    # The stock behind, the edge ahead: the wall of the outline is split where the step ends in it.
    assert sorted(mesh.vertices[at, 2]) == pytest.approx([-bar, -edge, edge, bar], abs=0.002)


@pytest.mark.parametrize(
    "hole",
    [
        Hole(x=-30.0, y=-2.55, diameter=5.0, purpose="lightening"),
        Hole(x=60.0, y=-8.0, diameter=6.0, purpose="lightening"),
        Hole(x=6.0, y=-10.0, diameter=6.0, purpose="lightening"),
        Slot(start=(30.0, -16.0), end=(70.0, -5.0), diameter=3.0, purpose="lightening"),
    ],
    ids=["0.05 mm from the border", "over the grind line", "over the plunge line", "a slot over the grind line"],
)
@pytest.mark.parametrize("stage", ["finished", "sharp"])
def test_a_hole_may_lie_anywhere(hole: Hole | Slot, stage: Stage) -> None:
    knife = specimens.drop_point(holes=(hole,))
    mesh = steel_mesh(knife, stage, TOLERANCE)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(weigh(knife).stage(stage).amount, rel=0.0005)
    assert shapely.get_num_interior_rings(seen_from_above(mesh)) == 1
    assert deviation(knife, stage, TOLERANCE, 5000) <= TOLERANCE


@pytest.mark.parametrize(
    "bevel",
    [
        OwnHollow(depth=0.2, height=14.0, edge_thickness=0.4),
        (FlatBevel(height=14.0, edge_thickness=0.5), AngledBevel(angle_deg=14.0, edge_thickness=0.3)),
        HollowBevel(wheel_diameter=150.0, height=12.0, edge_thickness=0.3),
    ],
    ids=["of a maker's own", "two faces", "hollow"],
)
@pytest.mark.parametrize("only", [None, "left"])
def test_any_face_on_one_side_or_both(bevel: Any, only: Flank | None) -> None:
    knife = specimens.drop_point()
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=bevel, only=only))
    mesh = steel_mesh(knife, "sharp", TOLERANCE)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(weigh(knife).sharp.amount, rel=0.0005)
    assert deviation(knife, "sharp", TOLERANCE, 5000) <= TOLERANCE
    if only:
        flat = mesh.vertices[mesh.triangles[lids(mesh, up=True)]][..., 2]
        assert flat == pytest.approx(np.full_like(flat, knife.stock.thickness / 2), abs=1e-4)


@pytest.mark.parametrize("thickness", [1.8, 2.0])
def test_a_tall_full_flat_in_thin_steel_holds_what_it_is_weighed(thickness: float) -> None:
    """Its spine turns down over the front, where a triangle's sides lie on the face and its middle does not."""
    outline = join_halves(get("cleaver")(height=65.0, front_height=18.0), get("birds_head")())
    knife = specimens.ground(outline, thickness=thickness, plunge=outline.heel[0] + 1.0)
    bevel = FullFlat(edge_thickness=0.2)
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=bevel))
    mesh = steel_mesh(knife, "finished", TOLERANCE)
    assert faults(mesh) == []
    assert mesh.moments.amount == pytest.approx(weigh(knife).finished.amount, rel=0.0004)


def test_a_hollow_that_meets_its_other_side_leaves_a_sound_rest() -> None:
    """The wheel cuts through half way up the bevel: what is left is the edge, by itself, and the blade above."""
    knife = specimens.drop_point()
    bevel = HollowBevel(wheel_diameter=40.0, height=18.0, edge_thickness=0.4)
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=bevel))
    mesh = steel_mesh(knife, "finished", TOLERANCE)
    assert faults(mesh) == []
    side = knife.side("finished", "right")
    xy = places(knife, TOLERANCE, 5000)
    gone, left = side.height(*xy.T) == 0, side.height(*xy.T) > 2 * TOLERANCE
    z = heights(mesh, xy, up=True)
    assert gone.any()
    assert np.isfinite(z[left]).all()
    assert np.nan_to_num(z[gone]).max() <= TOLERANCE
    fine = steel_mesh(knife, "finished", 0.005)
    assert fine.moments.amount == pytest.approx(weigh(knife).finished.amount, rel=1e-4)


def test_textures_take_out_of_the_mesh_what_they_are_told_to() -> None:
    knife = example("rigging_knife")
    told = sum(placed.mass for placed in placed_zones(knife)) / (knife.stock.material.density_g_cm3 * 1e-3)
    assert told > 40.0
    plain, textured = (steel_mesh(knife, "finished", TOLERANCE, textured=deep) for deep in (False, True))
    whole = weigh(knife).finished.amount
    assert plain.moments.amount - textured.moments.amount == pytest.approx(told, abs=5e-5 * whole)
    rough = [steel_mesh(knife, "rough", TOLERANCE, textured=deep).moments.amount for deep in (False, True)]
    assert rough[0] == rough[1]


def test_a_texture_on_one_side_leaves_the_other_alone() -> None:
    knife = specimens.drop_point(zones=(TextureZone(start=15.0, end=60.0, depth=0.4, margin=1.0, side="left"),))
    (placed,) = placed_zones(knife)
    mesh = steel_mesh(knife, "finished", TOLERANCE)
    assert faults(mesh) == []
    inside = placed.region.buffer(-0.1)
    xy = places(knife, TOLERANCE, 5000)
    xy = xy[shapely.contains_xy(inside, *xy.T)]
    law = knife.side("finished", "right").height(*xy.T)
    zone = placed.zone
    assert isinstance(zone, TextureZone)
    assert len(xy) > 100
    assert heights(mesh, xy, up=True) == pytest.approx(law, abs=1e-9)
    floor = zone.depth * zone.share * zone.mean_depth
    assert -heights(mesh, xy, up=False) == pytest.approx(law - floor, rel=0.01)


@pytest.mark.parametrize("name", ["galley_chef", "kindling_knife"])
def test_directions_are_those_of_the_laws(name: str) -> None:
    knife = example(name)
    mesh = steel_mesh(knife, "finished", TOLERANCE)
    assert np.linalg.norm(mesh.normals, axis=2) == pytest.approx(np.ones((len(mesh.triangles), 3)))
    a, b, c = mesh.vertices[mesh.triangles].transpose(1, 0, 2)
    facet = np.cross(b - a, c - a)
    longest = np.linalg.norm([b - a, c - b, a - c], axis=2).max(axis=0)
    # A sliver less than a micrometre wide in the plan may lean as it likes; walls have no width there at all.
    seen = (np.abs(facet[:, 2]) > 1e-3 * longest) | (np.abs(mesh.normals[:, 0, 2]) < 0.01)
    assert seen.mean() > 0.99
    facet /= np.linalg.norm(facet, axis=1)[:, None]
    assert np.einsum("ij,inj->in", facet, mesh.normals)[seen].min() > 0.8
    up = lids(mesh, up=True)
    corners, side, step = mesh.vertices[mesh.triangles[up]][..., :2], knife.side("finished", "right"), 1e-3
    # Just inside each triangle, where the law is smooth.
    at = (corners + 0.05 * (corners.mean(axis=1, keepdims=True) - corners)).reshape(-1, 2)
    slopes = [(side.height(*(at + h).T) - side.height(*(at - h).T)) / (2 * step) for h in step * np.eye(2)]
    normals = mesh.normals[up].reshape(-1, 3)
    off = np.hypot(*(-normals[:, :2] / normals[:, 2:] - np.stack(slopes, axis=1)).T)
    assert np.quantile(off, 0.99) < 0.02
    assert np.median(off) < 1e-3


def test_a_taper_makes_other_surfaces_between_its_stations() -> None:
    knife = dataclasses.replace(
        specimens.drop_point(), stock=Stock(steel="1084", thickness=3.0, taper=((-60.0, 1.5), (0.0, 3.0)))
    )
    lines = creases(steel_mesh(knife, "finished", TOLERANCE))
    for x in (-60.0, 0.0):
        assert shapely.distance(shapely.Point(x, -10.0), lines) < 1e-3
    assert faults(steel_mesh(knife, "finished", TOLERANCE)) == []


def test_the_hollow_along_the_plunge_line_is_a_surface_of_its_own() -> None:
    """Flat, bevel, and between them the hollow: its border is drawn, and lit, as where two surfaces meet."""
    knife = specimens.drop_point()
    for radius, surfaces in ((0.0, 2), (6.0, 3)):
        plunge = dataclasses.replace(knife.grind.plunge, radius=radius)
        grind = dataclasses.replace(knife.grind, plunge=plunge)
        mesh = steel_mesh(dataclasses.replace(knife, grind=grind), "finished", TOLERANCE)
        up = mesh.patches[(mesh.normals[:, :, 2] > 0.5).all(axis=1)]
        assert len(np.unique(up)) == surfaces


@pytest.mark.parametrize("tolerance", [0.0, -0.1])
def test_a_tolerance_must_be_positive(tolerance: float) -> None:
    with pytest.raises(CurveError, match="must be positive"):
        steel_mesh(specimens.drop_point(), "finished", tolerance)
