"""A mock-up to print: closed, blunt, on its bed, and as heavy in the hand as it says; measured by other libraries."""

from __future__ import annotations

import dataclasses
import functools
import io
import itertools
import math
import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
import trimesh
from any_knives import knives
from draws import draws, quick
from hypothesis import given, reject
from hypothesis import strategies as st
from manifold3d import CrossSection, Error, Manifold, Mesh64, OpType
from refusals import assert_refused
from specimens import bar_outline, drop_point, ground
from test_solid_files import mesh_objects, model_in

from bladegeom.commands.mockup import Mockup, mockup
from bladegeom.design.design import Design
from bladegeom.knife.hole import Hole
from bladegeom.knife.scales import Scales
from bladegeom.mass.weigh import weigh
from bladegeom.mockups.ballast import Balance, Ballast, find_ballast, wished
from bladegeom.mockups.body import area_of, printed_body
from bladegeom.mockups.dowels import dowel_length
from bladegeom.mockups.infill import printed_balance
from bladegeom.mockups.pieces import pocket_of
from bladegeom.mockups.printing import Printing
from bladegeom.mockups.room import Inside
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.print_beds import PrintBed, print_bed
from bladegeom.settings.settings import Settings
from bladegeom.solids.mesh import Mesh
from bladegeom.writers.stl import stl

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")

every_example = pytest.mark.parametrize("name", quick(NAMES, "rigging_knife"))
"""The one that is cut across, and the one with a bar and screws; the rest when there is time."""

LIGHT = Printing(fill=0.3)
"""As usual prints are: a third of the inside is plastic."""

G_PER_MM3 = 1e-3
PLA = Printing().made_of.density_g_cm3 * G_PER_MM3


@cache
def design_of(name: str) -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py")


@cache
def made(name: str, printing: Printing = LIGHT, **more: Any) -> Mockup:
    return mockup(design_of(name), printing=printing, **more)


def read(mesh: Mesh) -> trimesh.Trimesh:
    """In the library that measures."""
    return trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)


def region(mesh: trimesh.Trimesh, z: float) -> Any:
    """What a plane cuts out of it."""
    sections: Any = trimesh.intersections
    cut = sections.mesh_plane(mesh, [0.0, 0.0, 1.0], [0.0, 0.0, z])[:, :, :2].round(6)
    lines = shapely.line_merge(shapely.MultiLineString([line for line in cut.tolist() if line[0] != line[1]]))
    loops: list[Any] = [shapely.Polygon(line.coords) for line in shapely.get_parts(lines)]
    assert all(line.is_ring for line in shapely.get_parts(lines))
    return functools.reduce(shapely.symmetric_difference, loops)


def halves_of(mock: Mockup) -> dict[str, trimesh.Trimesh]:
    return {piece.name: read(piece.mesh) for piece in mock.pieces if "half" in piece.name}


@every_example
def test_every_piece_is_closed_for_two_libraries_in_every_file(name: str) -> None:
    mock = made(name)
    files = mock.files()
    stls = [data for file, data in files.items() if file.endswith(".stl")]
    assert len(stls) == len(mock.pieces)
    for piece, data in zip(mock.pieces, stls, strict=True):
        for mesh in (read(piece.mesh), trimesh.load_mesh(io.BytesIO(data), file_type="stl")):
            assert mesh.is_watertight, piece.name
            assert mesh.is_winding_consistent
            assert mesh.volume == pytest.approx(piece.mesh.moments.amount, rel=1e-5)
        solid = Manifold(Mesh64(np.array(piece.laid.vertices), np.array(piece.laid.triangles, np.uint64)))
        assert solid.status() == Error.NoError
        assert len(solid.decompose()) == 1
    named = []
    for file, data in files.items():
        if file.endswith(".3mf"):
            scene = trimesh.load_scene(io.BytesIO(data), file_type="3mf", process=False)
            objects = mesh_objects(model_in(data))
            assert scene.units == "millimeter"
            for each in objects:
                assert each.IsManifoldAndOriented(), each.GetName()
                assert len(scene.geometry[each.GetName()].faces) == each.GetTriangleCount()
                named.append(each.GetName())
    assert sorted(named) == sorted(piece.name for piece in mock.pieces)


@draws(15)
@given(st.data())
def test_any_knife_can_be_held(data: st.DataObject) -> None:
    try:
        design = Design(data.draw(knives()))
    except BladegeomError:
        reject()
    mock = mockup(design, printing=Printing(bed=PrintBed(width=500.0, depth=500.0), fill=0.3))
    for piece in mock.pieces:
        assert read(piece.mesh).is_watertight
        again = trimesh.load_mesh(io.BytesIO(stl(piece.laid, title="")), file_type="stl")
        assert again.is_watertight
        assert again.body_count == 1
    body = read(_mesh(printed_body(design.knife, 1.2)))
    side = region(body, 0.013).buffer(-0.01)
    for z in (0.58, -0.58):
        assert side.difference(region(body, z)).area == pytest.approx(0.0, abs=1e-4)
    if mock.ballast:
        assert mock.loaded.x == pytest.approx(design.weighing.total.centre[0], abs=0.02)


@pytest.mark.long
def test_where_no_bar_has_room_a_lighter_print_that_makes_some_is_told() -> None:
    solid = made("rigging_knife", Printing())
    fill = solid.carved.plan.helpful_fill
    assert solid.ballast is None
    assert fill is not None
    assert any(f"printed {100 * fill:.0f} % filled" in line for line in solid.told)
    assert made("rigging_knife", Printing(fill=fill)).ballast is not None


@every_example
@pytest.mark.parametrize("least", [1.2, 0.8])
def test_it_is_nowhere_thinner_than_a_nozzle_prints_and_has_no_sharp_point(name: str, least: float) -> None:
    knife = design_of(name).knife
    body = read(_mesh(printed_body(knife, least)))
    side = region(body, 0.01)
    for z in (least / 2 - 0.01, 0.01 - least / 2):
        # All of the side view reaches up to there; a thousandth of a mm is what triangles are merged by.
        assert side.buffer(-0.01).difference(region(body, z)).area == pytest.approx(0.0, abs=1e-6)
    rounded = side.buffer(0.001 - least / 2, quad_segs=64).buffer(least / 2, quad_segs=64)
    assert side.difference(rounded).area < 0.02
    assert knife.outline.polygon.buffer(0.005).contains(side)
    # The tip is all that is missed, and what every other corner loses by being rounded.
    assert knife.outline.polygon.difference(side.buffer(2 * least)).area < 0.5 * least**2


def _mesh(solid: Any) -> Mesh:
    raw = solid.to_mesh64()
    vertices, triangles = np.array(raw.vert_properties)[:, :3], np.array(raw.tri_verts).astype(np.int64)
    return Mesh(
        vertices=vertices,
        triangles=triangles,
        patches=np.zeros(len(triangles), int),
        normals=np.zeros((len(triangles), 3, 3)),
    )


@every_example
def test_the_halves_are_the_body_less_what_is_hollowed_out(name: str) -> None:
    mock, printing = made(name), LIGHT
    body = printed_body(design_of(name).knife, printing.least)
    hole = math.pi / 4 * (printing.dowel_diameter + printing.play) ** 2 * 2 * printing.dowel_depth
    pocket = math.prod(mock.ballast.pocket) if mock.ballast else 0.0
    printed = sum(half.volume for half in halves_of(mock).values())
    assert printed == pytest.approx(body.volume() - len(mock.dowels) * hole - pocket, rel=1e-5)
    pins = [read(piece.mesh).volume for piece in mock.pieces if piece.name.startswith("dowel")]
    assert pins == pytest.approx([math.pi / 4 * printing.dowel_diameter**2 * dowel_length(printing)] * len(mock.dowels))


@pytest.mark.parametrize("name", quick(NAMES[2:], "rigging_knife"))
def test_with_its_bar_it_balances_where_the_knife_does(name: str) -> None:
    mock = made(name)
    bar = mock.ballast
    assert bar is not None
    bodies = [printed_balance(_solid(piece.mesh), mock.printing) for piece in mock.pieces]
    mass = sum(body.mass for body in bodies)
    moment = sum(body.mass * body.x for body in bodies)
    steel = bar.thickness * bar.height * bar.length * mock.printing.weight_of.density_g_cm3 * G_PER_MM3
    total = weigh(design_of(name).knife).total
    assert steel == pytest.approx(bar.mass)
    assert (moment + steel * bar.x) / (mass + steel) == pytest.approx(total.centre[0], abs=0.01)
    assert mock.loaded == pytest.approx((mass + steel, total.centre[0]), abs=0.01)
    # The bar lies in a pocket that both halves have, and nothing of it outside.
    room = bar.footprint.buffer(mock.printing.least - 0.01, join_style="mitre")
    for half, z in zip(halves_of(mock).values(), (1.0, -1.0), strict=True):
        over = region(half, z * (bar.pocket[0] / 2 + mock.printing.least / 2 - 0.02))
        assert over.contains(bar.footprint)
        assert region(half, z * (bar.pocket[0] / 2 - 0.1)).intersection(bar.footprint.buffer(-0.01)).area < 1e-6
        assert region(half, z * 0.1).union(bar.footprint).buffer(0.01).contains(room)


@draws(30)
@given(st.tuples(*[st.floats(1.0, 60.0)] * 3), st.floats(0.2, 6.0), st.floats(0.05, 1.0))
def test_a_box_has_walls_all_round_and_its_share_of_plastic_between_them(
    size: tuple[float, float, float], wall: float, fill: float
) -> None:
    """By hand: a smaller box within the box."""
    within = math.prod(max(side - 2 * wall, 0.0) for side in size)
    made_of = printed_balance(Manifold.cube(list(size)), Printing(fill=fill, wall=wall))
    assert made_of.mass == pytest.approx((math.prod(size) - (1 - fill) * within) * PLA, rel=1e-6, abs=1e-6)
    assert made_of.x == pytest.approx(size[0] / 2)


def test_of_a_thick_body_the_walls_hold_nearly_their_thickness_over_its_surface() -> None:
    """Less at edges, where walls are shared; more under slopes, which are both floors and walls."""
    (half, _) = halves_of(made("rigging_knife", only="handle")).values()
    light = Printing(fill=0.05, wall=0.4)
    walls = (printed_balance(_solid_of(half), light).mass / PLA - 0.05 * half.volume) / 0.95
    assert walls == pytest.approx(0.4 * half.area, rel=0.12)


@pytest.mark.long
def test_a_lighter_print_is_lighter_in_the_handle_for_a_thin_blade_is_all_wall() -> None:
    solid, light = (made("galley_chef", Printing(fill=fill)).plastic for fill in (1.0, 0.1))
    assert light.mass > 0.4 * solid.mass
    assert light.x > solid.x + 10.0


@pytest.mark.parametrize("name", quick(["galley_petty", "galley_chef"], "galley_petty"))
def test_where_no_bar_has_room_it_is_told_how_much_there_is_room_for(name: str) -> None:
    mock = made(name)
    best = mock.carved.plan.best_part
    assert mock.ballast is None
    if best is None:
        assert any("not even a tenth of it has room" in line for line in mock.told)
        return
    assert best.bar.mass < 0.8 * best.wanted
    assert any(f"a bar of {best.bar.mass:.1f} g is the best" in line for line in mock.told)
    # Source: moments about the knife's balance point; the holes of dowels are not in it yet.
    assert mock.plastic.with_more(best.wanted, best.bar.x).x == pytest.approx(mock.wanted.x, abs=0.5)


masses = st.floats(20.0, 400.0)
places = st.floats(-90.0, 60.0)


@given(masses, masses, places, places)
def test_the_one_weight_that_brings_both(plastic: float, knife: float, x: float, wanted: float) -> None:
    """Source: moments about the balance point."""
    wish = wished(Balance(plastic, x), Balance(knife, wanted))
    if wish is None:
        assert knife - plastic < 1.0
    else:
        both = Balance(plastic, x).with_more(*wish)
        assert both == pytest.approx((knife, wanted), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    ("knife", "whole"), [(Balance(260.0, 8.0), True), (Balance(2000.0, 8.0), False), (Balance(90.0, 8.0), False)]
)
def test_a_bar_in_a_block_brings_mass_and_balance_where_there_is_room(knife: Balance, whole: bool) -> None:  # noqa: FBT001
    block = Manifold.cube([200.0, 40.0, 24.0], center=True)
    printing = Printing(fill=0.5)
    plastic = Balance(200.0 * 40.0 * 24.0 * 0.5 * PLA, 0.0)
    bar = find_ballast(Inside.within(block), plastic, knife, printing)
    assert bar is not None
    assert bar.whole == whole
    # As if its pocket were solid: no other takes more.
    lost = math.prod(bar.pocket) * PLA
    loaded = plastic.with_more(bar.mass - lost, bar.x)
    assert loaded.x == pytest.approx(8.0, abs=1e-9)
    if whole:
        assert loaded.mass == pytest.approx(knife.mass)


@every_example
@pytest.mark.parametrize("bed", quick(["medium", "large", "180 x 180", "330 x 60"], "medium"))
def test_all_pieces_lie_flat_on_their_beds_beside_each_other(name: str, bed: str) -> None:
    printing = dataclasses.replace(LIGHT, bed=bed)
    mock, size = made(name, printing), print_bed(bed)
    plans: dict[int, list[Any]] = {}
    for piece in mock.pieces:
        laid = read(piece.laid)
        (x0, y0, z0), (x1, y1, _) = laid.bounds
        assert z0 == pytest.approx(0.0, abs=1e-9)
        assert min(x0, y0) >= -1e-6
        assert x1 <= size.width + 1e-6
        assert y1 <= size.depth + 1e-6
        assert laid.volume == pytest.approx(read(piece.mesh).volume)
        foot, plan = region(laid, 0.01), region(laid, 0.3)
        plans.setdefault(piece.bed, []).append(plan)
        # It stands on what it is widest at: no supports. Roundings of the knife's own border rise from there.
        assert plan.difference(foot.buffer(0.3)).area < 1.0
    for on_bed in plans.values():
        for one_plan, other in itertools.combinations(on_bed, 2):
            assert one_plan.distance(other) >= 3.5
    assert sorted(plans) == list(range(1, len(plans) + 1))


@every_example
def test_dowels_have_holes_in_both_pieces_with_plastic_about_them(name: str) -> None:
    mock, printing = made(name), LIGHT
    assert mock.dowels
    right, left = (
        [half for name, half in halves_of(mock).items() if name.startswith(side)] for side in ("right", "left")
    )
    wall = (printing.dowel_diameter + printing.play) / 2 + printing.least
    for dowel in (each for each in mock.dowels if each.along == "z"):
        middle = shapely.Point(dowel.x, dowel.y)
        for halves, up in ((right, 1.0), (left, -1.0)):
            (half,) = (each for each in halves if each.bounds[0, 0] < dowel.x < each.bounds[1, 0])
            within = region(half, up * (printing.dowel_depth - 0.1))
            assert not within.contains(middle)
            assert within.union(middle.buffer(wall - printing.least + 0.1)).contains(middle.buffer(wall - 0.02))
            assert region(half, up * (printing.dowel_depth + printing.least - 0.05)).contains(
                middle.buffer(wall - 0.02)
            )


@every_example
def test_all_that_goes_into_the_halves_has_room_in_them(name: str) -> None:
    """Dowels as they are printed, and the bar by its own sizes and angle: nothing of them meets plastic."""
    mock = made(name)
    plastic = Manifold.batch_boolean([_solid(piece.mesh) for piece in mock.pieces if "half" in piece.name], OpType.Add)
    into = [_solid(piece.mesh) for piece in mock.pieces if piece.name.startswith("dowel")]
    if (bar := mock.ballast) is not None:
        into.append(_by_hand(bar.x, bar.y, bar.angle_deg, (bar.length, bar.height, bar.thickness)))
    for body in into:
        assert body.volume() > 0
        assert (plastic ^ body).volume() == 0
    # And not much less: they would wander, or fall out before they are glued.
    assert 2 * mock.printing.dowel_depth - dowel_length(mock.printing) <= 1.0


@pytest.mark.parametrize("angle_deg", [-8.0, 4.0, 30.0])
def test_the_pocket_of_a_leaning_bar_leans_with_it(angle_deg: float) -> None:
    bar = Ballast(
        thickness=4.0,
        height=10.0,
        length=60.0,
        mass=18.9,
        x=-40.0,
        y=-12.0,
        angle_deg=angle_deg,
        pocket=(4.2, 10.2, 61.0),
        whole=False,
    )
    by_hand = _by_hand(bar.x, bar.y, angle_deg, (61.0, 10.2, 4.2))
    pocket = pocket_of(bar)
    assert (pocket - by_hand).volume() == pytest.approx(0.0, abs=1e-3)
    assert (by_hand - pocket).volume() == pytest.approx(0.0, abs=1e-3)
    assert area_of(pocket).symmetric_difference(bar.footprint).area == pytest.approx(0.0, abs=1e-6)


def test_a_bar_in_a_handle_that_drops_leans_and_has_room() -> None:
    """A block that leans by 8 degrees, too low for a bar that does not lean with it."""
    block = Manifold.cube([160.0, 15.0, 16.0], center=True).rotate([0.0, 0.0, 8.0])
    printing = Printing(fill=0.5)
    plastic = Balance(block.volume() * 0.5 * PLA, 0.0)
    bar = find_ballast(Inside.within(block), plastic, Balance(90.0, -20.0), printing)
    assert bar is not None
    assert bar.angle_deg == pytest.approx(8.0)
    assert (pocket_of(bar) - block).volume() == 0


def _by_hand(x: float, y: float, angle_deg: float, size: tuple[float, float, float]) -> Any:
    """A block about a place of the middle plane, its length leaning from x towards y."""
    length, height, thickness = size
    along = np.array([math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))])
    across = np.array([-along[1], along[0]])
    corners = [
        (x, y) + i * length / 2 * along + j * height / 2 * across for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    flat = CrossSection([[tuple(corner) for corner in corners]])
    return Manifold.extrude(flat, thickness).translate([0.0, 0.0, -thickness / 2])


def _solid(mesh: Mesh) -> Any:
    return Manifold(Mesh64(np.array(mesh.vertices), np.array(mesh.triangles, np.uint64)))


def _solid_of(body: trimesh.Trimesh) -> Any:
    return Manifold(Mesh64(np.array(body.vertices), np.array(body.faces, np.uint64)))


def test_a_knife_too_long_for_the_bed_is_turned_then_cut_across_then_refused() -> None:
    name = "galley_petty"
    length = design_of(name).knife.outline.bounds[2] - design_of(name).knife.outline.bounds[0]
    assert length > 220.0
    turned = made(name)
    assert turned.carved.cuts == ()
    cut = made(name, Printing(bed="150 x 150"))
    assert len(cut.carved.cuts) == 1
    assert sorted(piece.name for piece in cut.pieces if "half" in piece.name) == [
        f"{side} half, part {part} of 2" for side in ("left", "right") for part in (1, 2)
    ]
    assert any("cut across" in line for line in cut.told)
    along = [dowel for dowel in cut.dowels if dowel.along == "x"]
    assert {math.copysign(1.0, dowel.z) for dowel in along} == {1.0, -1.0}
    assert {dowel.x for dowel in along} == set(cut.carved.cuts)
    whole = sum(read(piece.mesh).volume for piece in turned.pieces)
    gap = 2 * math.pi / 4 * (4.2**2 - 4.0**2)  # a coarse bound on what further dowels lose, mm2
    assert sum(read(piece.mesh).volume for piece in cut.pieces) == pytest.approx(whole, abs=gap * 50)


@pytest.mark.long
@pytest.mark.parametrize("name", quick(["galley_petty", "kindling_knife"], "galley_petty"))
def test_the_bed_that_a_refusal_names_is_large_enough(name: str) -> None:
    with pytest.raises(ParameterError) as caught:
        made(name, Printing(bed="60 x 60"))
    assert_refused(caught.value, "printing: bed")
    side = math.ceil(float(str(caught.value.limit)))
    assert made(name, Printing(bed=PrintBed(width=side, depth=side))).pieces
    with pytest.raises(ParameterError):
        made(name, Printing(bed=PrintBed(width=side - 3, depth=side - 3)))


def test_the_handle_alone_ends_at_the_handle_front() -> None:
    mock = made("rigging_knife", only="handle")
    knife = design_of("rigging_knife").knife
    front = knife.handle_region.buffer(0.02)
    for half in halves_of(mock).values():
        assert front.contains(region(half, 0.5 if half.bounds[1, 2] > 0.1 else -0.5).buffer(-0.05))
    assert mock.ballast is None
    assert any("handle_mockup" in file for file in mock.files())


def test_in_one_it_needs_supports_and_takes_no_bar() -> None:
    mock = made("rigging_knife", halves=False)
    (piece,) = mock.pieces
    # Triangles of a thousandth of a mm are merged.
    assert piece.mesh.moments.amount == pytest.approx(
        printed_body(design_of("rigging_knife").knife, LIGHT.least).volume(), rel=1e-5
    )
    assert mock.ballast is None
    assert any("supports" in line for line in mock.told)


def test_lightening_holes_are_filled_and_a_hole_for_a_thong_stays() -> None:
    lanyard = Hole(x=-90.0, y=-14.0, diameter=6.0, purpose="lanyard")
    light = Hole(x=-50.0, y=-14.0, diameter=8.0, purpose="lightening")
    knife = drop_point(holes=(lanyard, light), scales=Scales(slab="NEMA L", thickness=6.0))
    body = read(_mesh(printed_body(knife, 1.2)))
    assert body.body_count == 1
    side = region(body, 0.01)
    assert not side.contains(shapely.Point(lanyard.x, lanyard.y))
    assert side.contains(shapely.Point(light.x, light.y).buffer(5.0))


@pytest.mark.parametrize(
    ("refused", "told"),
    [
        (lambda: mockup(Design(ground(bar_outline(), thickness=1.0))), "printing: least | 1.00 mm"),
        (lambda: Printing(least=0.1), "printing: least | 0.4"),
        (lambda: Printing(fill=0.0), "printing: fill"),
        (lambda: Printing(bed="220 x"), "printing: bed"),
        (lambda: Printing(bed="250"), "printing: bed | '250 x 210' | small, medium and large"),
        (lambda: Printing(bed=220.0), "printing: bed"),  # type: ignore[arg-type]
    ],
)
def test_what_cannot_be_printed_is_refused_in_a_sentence(refused: Any, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        refused()
    assert_refused(caught.value, told)


def test_unknown_names_are_answered_with_those_there_are() -> None:
    with pytest.raises(UnknownNameError, match="medium"):
        Printing(bed="mediun")
    with pytest.raises(UnknownNameError, match="two sides such as 250 x 210"):
        Printing(bed="tiny")
    for plastic in ("PLAY", "wood"):
        with pytest.raises(UnknownNameError) as caught:
            Printing(plastic=plastic)
        assert "PLA" in str(caught.value)
        assert "Olea" not in str(caught.value)


@pytest.mark.long
def test_the_same_knife_gives_the_same_bytes() -> None:
    again = mockup(Design.from_script(EXAMPLES / "rigging_knife.py"), printing=LIGHT)
    assert again.files() == made("rigging_knife").files()


def test_it_says_what_it_is_not() -> None:
    told = " ".join(made("rigging_knife").told)
    for word in ("no knife and no toy", "breaks", "local rules", "blunt"):
        assert word in told
    alone = " ".join(mockup(Design.from_script(EXAMPLES / "rigging_knife.py"), only="handle").told)
    assert "no knife and no toy" in alone
    assert "looks like a knife" not in alone


@pytest.mark.long
@pytest.mark.parametrize("printing", [LIGHT, Printing(bed="small")])
def test_each_length_is_told_in_both_units_the_shops_own_first(printing: Printing) -> None:
    with Settings(units="inch").in_force():
        lines = mockup(Design.from_script(EXAMPLES / "rigging_knife.py"), printing=printing).told
    for line in lines:
        # Places are told in mm, and say so.
        counted = re.sub(r"x, y in mm: (\([^)]*\)(, )?)+", "", line)
        assert len(re.findall(r"[\d.]+ in \(", counted)) == len(re.findall(r"\d mm", counted)), line
