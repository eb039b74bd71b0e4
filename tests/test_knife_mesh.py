"""A knife as closed meshes: sound, as heavy as it is weighed, on its laws, and nothing in the place of another."""

from __future__ import annotations

import dataclasses
import itertools
from pathlib import Path

import any_knives
import fastened
import meshed
import numpy as np
import pytest
import shapely
import specimens
from draws import draws, quick
from hypothesis import given, reject
from hypothesis import strategies as st
from refusals import assert_refused

from bladegeom import Design, Hole, Knife, MeshError, Rounding, Scales, Slot, mesh, weigh
from bladegeom.design.script import load_script
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.grind import STAGES
from bladegeom.meshes.booleans import common, less, together
from bladegeom.meshes.knife_mesh import knife_mesh
from bladegeom.meshes.opening_mesh import opening_mesh
from bladegeom.meshes.round_mesh import circle_in_chords, turned_mesh
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.solids.mesh import Mesh

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")
TOLERANCE = 0.02


def example(name: str) -> Knife:
    """The knife of an example's script, without the textures, which no weighing takes off."""
    return dataclasses.replace(load_script(EXAMPLES / f"{name}.py").knife({})[0], zones=())


def places(of: Mesh, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Random places on a mesh, spread over its area, with the upright share of their triangles' normals."""
    corners = of.vertices[of.triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(across, axis=1)
    random = np.random.default_rng(7)
    which = random.choice(len(size), count, p=size / size.sum())
    share = random.dirichlet((1.0, 1.0, 1.0), count)
    return np.einsum("nk,nkd->nd", share, corners[which]), across[which, 2] / size[which]


def assert_on_the_face(knife: Knife, scale: Mesh, count: int) -> None:
    """Places on a scale's outside, its bores apart, lie within the tolerance of the law that weighs it."""
    face = knife.scale_face
    assert face is not None
    found, up = places(scale, count)
    x, y, z = found.T
    outside = up > 1e-3
    for fastener, bores in zip(knife.fasteners, knife.bores, strict=True):
        widest = max(bore.diameter for bore in bores) / 2
        outside &= np.hypot(x - fastener.x, y - fastener.y) > widest + TOLERANCE
    assert outside.sum() > 0.2 * count
    assert (np.abs(z - face.height(x, y)) * up)[outside].max() < TOLERANCE


@pytest.mark.parametrize("name", NAMES)
def test_examples_are_sound_and_as_heavy_as_they_are_weighed(name: str) -> None:
    knife = example(name)
    whole = mesh(knife)
    for part in whole.parts:
        meshed.require_sound(part)
        meshed.require_directions(part)
    meshed.require_as_weighed(knife, whole)
    assert whole.mass.amount == pytest.approx(weigh(knife).total.amount, rel=5e-4)
    assert np.allclose(whole.mass.centre, weigh(knife).total.centre, atol=0.03)
    assert_on_the_face(knife, whole["right scale"].mesh, 10_000)


@pytest.mark.parametrize("name", quick(NAMES, "rigging_knife"))
def test_no_part_lies_in_the_place_of_another(name: str) -> None:
    """Within what chords of two circles that touch can share: a hundredth of the tolerance over where they touch."""
    whole = mesh(example(name))
    for first, second in itertools.combinations(whole.parts, 2):
        assert meshed.shared(first, second) < 0.02, (first.name, second.name)


@draws(10, long=500)
@given(meshed.handles())
def test_handles_of_any_contour(knife: Knife) -> None:
    whole = mesh(knife)
    for part in whole.parts:
        meshed.require_sound(part)
    meshed.require_as_weighed(knife, whole)
    assert_on_the_face(knife, whole["right scale"].mesh, 2_000)


@pytest.mark.parametrize(
    ("thickness", "rounding", "front_rounding"),
    [
        (
            7.0,
            (Rounding(width=10.0, depth=1.0), Rounding(width=12.0, depth=1.0), Rounding(width=13.0, depth=1.25)),
            Rounding(width=0.5, depth=0.5),
        ),
        (
            6.0,
            (Rounding(width=5.0, depth=1.125), Rounding(width=5.0, depth=1.1875)),
            Rounding(width=0.5, depth=0.3125),
        ),
        (6.0, (Rounding(width=9.0, depth=1.2),), None),
    ],
)
def test_under_a_front_that_leans_back_and_bows_out_rows_bend_round_the_end_of_the_border(
    thickness: float, rounding: tuple[Rounding, ...], front_rounding: Rounding | None
) -> None:
    """A straight edge from an arc to a line lay 0.028 mm off, or kept triangles from ever being near enough."""
    knife = specimens.ground(join_halves(get("drop_point")(), get("birds_head")()), height=14.0)
    scales = Scales(slab="NEMA L", thickness=thickness, rounding=rounding, front_rounding=front_rounding)
    knife = dataclasses.replace(knife, scales=scales, front_lean_deg=-12.0, front_bow=1.5)
    whole = mesh(knife)
    for part in whole.parts:
        meshed.require_sound(part)
        meshed.require_directions(part)
    meshed.require_as_weighed(knife, whole)
    assert_on_the_face(knife, whole["right scale"].mesh, 100_000)


@draws(10, long=500)
@given(st.data())
def test_knives_of_every_profile(data: st.DataObject) -> None:
    try:
        knife = data.draw(any_knives.knives())
    except BladegeomError:
        # No knife at all, which the library says itself.
        reject()
    for part in mesh(knife).parts:
        meshed.require_sound(part)
    meshed.require_as_weighed(knife, mesh(knife))


@draws(10, long=500)
@given(fastened.knives())
def test_bores_that_overlap_or_run_over_the_border(knife: Knife) -> None:
    """Whatever stands or is drilled where: each piece is closed."""
    for part in mesh(knife).parts:
        meshed.require_sound(part)


def test_a_pin_that_runs_over_the_border_is_flush_with_both_scales() -> None:
    knife = specimens.drop_point(
        scales=Scales(slab="NEMA L", thickness=8.0, rounding=(Rounding(width=6.0, depth=2.0),))
    )
    x = knife.outline.bounds[0] / 2
    top = shapely.LineString([(x, -60.0), (x, 60.0)]).intersection(knife.outline.polygon).bounds[3]
    pin = Fastener(x=x, y=top - 1.0, hardware=fastened.PIN, made="drilled")
    whole = mesh(dataclasses.replace(knife, fasteners=(pin,)))
    for part in whole.parts:
        meshed.require_sound(part)
        meshed.require_directions(part)
    upper = whole["pin"].mesh.vertices[:, 2].max()
    assert 9.0 < upper < knife.scale_face.height(np.array([x]), np.array([top - 3.5]))[0]  # type: ignore[union-attr]
    assert whole["pin"].mesh.vertices[:, 2].min() == pytest.approx(-upper)


def test_all_kinds_of_hardware_on_a_tapered_tang() -> None:
    knife = fastened.mixed()
    whole = mesh(knife)
    for part in whole.parts:
        meshed.require_sound(part)
        meshed.require_directions(part)
    meshed.require_as_weighed(knife, whole)
    names = {part.name for part in whole.parts}
    assert {
        "right liner 1",
        "left liner 2",
        "standoff 2",
        "right screw 1",
        "left screw 2",
        "pin 2",
        "lanyard tube",
    } <= names
    assert {part.kind for part in whole.parts} == {"steel", "scale", "liner", "hardware"}
    low, high = whole["pin 1"].mesh.vertices.min(axis=0), whole["pin 1"].mesh.vertices.max(axis=0)
    assert low[2] == -high[2]


def test_a_front_that_is_bowed_towards_the_butt_is_weighed_as_well_as_it_is_meshed() -> None:
    """Upright columns turn back in such a front; with finer chords the mesh comes to what is weighed."""
    swell = ((-116.0, 6.4), (-70.0, 8.0), (0.0, 6.0))
    scales = Scales(slab="NEMA L", thickness=8.0, swell=swell, front_rounding=Rounding(width=1.0, depth=0.5))
    knife = specimens.ground(join_halves(get("drop_point")(), get("birds_head")()), height=14.0, scales=scales)
    knife = dataclasses.replace(knife, front_lean_deg=8.0, front_bow=-1.5)
    meshed.require_as_weighed(knife, mesh(knife, tolerance=0.005), share=5e-5, off=0.005)


def test_the_left_side_mirrors_the_right() -> None:
    whole = mesh(fastened.mixed())
    right, left = (whole[f"{side} scale"].mesh for side in ("right", "left"))
    assert np.array_equal(left.vertices, right.vertices * (1.0, 1.0, -1.0))


def test_a_flat_scale_is_a_prism_less_its_bores() -> None:
    """Against the volume by hand: the bar's handle is 100 by 30 mm, and chords of bores have their circles' areas."""
    knife = fastened.bar(fastened.at(-50.0, fastened.PIN))
    (bore,) = (bore for bore in knife.bores[0] if bore.layer == "scale")
    by_hand = 8.0 * (100.0 * 30.0 - np.pi * bore.diameter**2 / 4)
    assert mesh(knife)["right scale"].mesh.moments.amount == pytest.approx(by_hand, rel=1e-9)


def test_a_quarter_circle_along_a_straight_border_by_hand() -> None:
    """A bar's scale with one broken edge: what a quarter circle lacks of its square, along three sides, mitred."""
    scales = Scales(slab="NEMA L", thickness=8.0, rounding=Rounding(width=3.0, depth=3.0))
    knife = fastened.bar(scales=scales)
    lacking = (1 - np.pi / 4) * 9.0
    # Along 100, 30 and 100 mm; in each of two corners the two roundings share what lies across the mitre: the drop
    # at the distance d from the nearer side, over the strip of 2 d where that is the nearer one.
    corner = 2 * np.trapezoid([Rounding(width=3.0, depth=3.0).drop(np.array([d]))[0] * d for d in GRID], GRID)
    by_hand = 8.0 * 100.0 * 30.0 - (230.0 * lacking - 2 * corner)
    assert mesh(knife, tolerance=0.005)["left scale"].mesh.moments.amount == pytest.approx(by_hand, rel=1e-4)


GRID = np.linspace(0.0, 3.0, 4001)


@pytest.mark.parametrize("stage", STAGES)
def test_before_and_after_the_handle_is_on(stage: str) -> None:
    knife = specimens.drop_point(scales=fastened.FLAT)
    whole = mesh(knife, stage)  # type: ignore[arg-type]
    assert [part.kind for part in whole.parts] == ["steel"] + (["scale"] * 2 if stage in ("finished", "sharp") else [])
    assert whole.stage == stage


def test_it_is_sharpened_with_the_handle_on() -> None:
    """What sharpening takes off the whole knife is what it takes off the steel."""
    knife = example("rigging_knife")
    finished, sharp = mesh(knife), mesh(knife, "sharp")
    assert sharp.parts[1:] == finished.parts[1:]
    assert sharp.lacks == finished.lacks
    taken = finished.mass.amount - sharp.mass.amount
    off = weigh(knife).between("finished", "sharp").volume.amount
    assert taken == pytest.approx(off * knife.stock.material.density_g_cm3 / 1000, abs=0.005)


def test_a_hidden_tang_says_what_is_not_there() -> None:
    outline = join_halves(get("drop_point")(), get("stick_tang")())
    knife = specimens.ground(outline, height=12.0)
    whole = mesh(knife)
    assert [part.name for part in whole.parts] == ["blade"]
    assert whole.lacks == mesh(knife, "sharp").lacks == ("handle block",)
    assert mesh(knife, "blank").lacks == mesh(knife, "rough").lacks == ()


def test_a_design_and_its_knife_have_the_same_mesh_and_it_is_made_once() -> None:
    knife = specimens.drop_point(scales=fastened.FLAT)
    assert mesh(Design(knife)) is mesh(knife)
    assert not mesh(knife).parts[0].mesh.vertices.flags.writeable


def test_parts_by_name_and_bounds() -> None:
    knife = specimens.drop_point(scales=fastened.FLAT)
    whole = mesh(knife)
    low, high = whole.bounds
    assert np.allclose((low[0], high[0]), (knife.outline.bounds[0], knife.outline.bounds[2]), atol=TOLERANCE)
    assert high[2] == pytest.approx(knife.stock.thickness / 2 + 8.0)
    with pytest.raises(UnknownNameError) as refused:
        whole["right scales"]
    assert "right scale" in str(refused.value)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, 0.001, 2.0, float("nan"), float("inf"), True, "fine", None])
def test_tolerances_that_no_mesh_can_have(tolerance: float) -> None:
    with pytest.raises(ParameterError) as refused:
        mesh(specimens.drop_point(), tolerance=tolerance)
    assert_refused(refused.value, "mesh: tolerance")


def test_what_is_no_knife_and_no_stage() -> None:
    with pytest.raises(ParameterError) as refused:
        mesh("a knife")  # type: ignore[arg-type]
    assert_refused(refused.value, "mesh: design")
    with pytest.raises(UnknownNameError):
        mesh(specimens.drop_point(), "honed")  # type: ignore[arg-type]


@pytest.mark.parametrize("tolerance", quick((0.005, 0.05, 0.2, 1.0), 0.05, 1.0))
def test_other_tolerances(tolerance: float) -> None:
    """Sound, and as heavy within what the tolerance lets: its distance over the surface."""
    knife = dataclasses.replace(fastened.mixed())
    whole = knife_mesh(knife, "finished", tolerance)
    for part in whole.parts:
        meshed.require_sound(part)
    scale = whole["right scale"].mesh.moments.amount
    ((weighed),) = (part.volume.amount for part in weigh(knife).parts if part.name == "right scale")
    assert abs(scale / weighed - 1) < 0.1 * tolerance


@draws(20)
@given(st.floats(0.1, 40.0), st.floats(0.002, 0.5))
def test_circles_have_their_area_and_stay_within_the_tolerance(radius: float, tolerance: float) -> None:
    xy = circle_in_chords((3.0, -4.0), radius, tolerance)
    x, y = (xy - (3.0, -4.0)).T
    assert (x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2 == pytest.approx(np.pi * radius**2)
    middles = np.hypot(x + np.roll(x, -1), y + np.roll(y, -1)) / 2
    assert max(np.hypot(x, y).max() - radius, radius - middles.min()) < tolerance


def test_a_turned_body_by_hand() -> None:
    """A cylinder with a cone over it: pi r^2 h, and a third of that."""
    profile = np.array([(0.0, -2.0), (3.0, -2.0), (3.0, 5.0), (0.0, 9.0)])
    body = turned_mesh(profile, (10.0, 0.0), 0.01)
    assert body.moments.amount == pytest.approx(np.pi * 9.0 * (7.0 + 4.0 / 3))
    assert np.allclose(body.moments.centre[:2], (10.0, 0.0))


def test_a_slot_takes_out_what_its_area_says() -> None:
    slot = Slot(start=(-30.0, -12.0), end=(-38.0, -9.0), diameter=5.0, purpose="lanyard")
    assert opening_mesh(slot, -1.0, 3.0, 0.02).moments.amount == pytest.approx(4.0 * slot.moments[0], rel=1e-6)


def test_booleans_add_up_and_keep_the_directions_of_the_surfaces() -> None:
    rod = turned_mesh(np.array([(0.0, 0.0), (5.0, 0.0), (5.0, 9.0), (0.0, 9.0)]), (0.0, 0.0), 0.02)
    drill = turned_mesh(np.array([(0.0, -1.0), (2.0, -1.0), (2.0, 12.0), (0.0, 12.0)]), (1.0, 0.0), 0.02)
    left, both, all_ = less(rod, [drill]), common(rod, drill), together([rod, drill])
    assert left.moments.amount + both.moments.amount == pytest.approx(rod.moments.amount)
    assert all_.moments.amount == pytest.approx(left.moments.amount + drill.moments.amount)
    corners = left.vertices[left.triangles]
    flat = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    flat /= np.linalg.norm(flat, axis=1)[:, None]
    assert (flat[:, None] * left.normals).sum(axis=2).min() > 0.99
    assert len(np.unique(left.patches)) == 4
    assert less(rod, []) is rod


def test_a_mesh_that_is_open_is_not_cut() -> None:
    rod = turned_mesh(np.array([(0.0, 0.0), (5.0, 0.0), (5.0, 9.0), (0.0, 9.0)]), (0.0, 0.0), 0.02)
    torn = Mesh(vertices=rod.vertices, triangles=rod.triangles[1:], patches=rod.patches[1:], normals=rod.normals[1:])
    with pytest.raises(MeshError):
        less(torn, [rod])


def test_a_thong_hole_goes_through_scales_and_liners_and_a_lightening_hole_does_not() -> None:
    holes = tuple(
        Hole(x=x, y=-15.0, diameter=6.0, purpose=purpose)  # type: ignore[arg-type]
        for x, purpose in ((-80.0, "lanyard"), (-40.0, "lightening"))
    )
    whole = mesh(fastened.bar(scales=fastened.LINED, holes=holes))
    for name in ("right scale", "left liner 1", "right liner 2"):
        assert meshed.manifold(whole[name].mesh).genus() == 1
    assert meshed.manifold(whole["blade"].mesh).genus() == 2
