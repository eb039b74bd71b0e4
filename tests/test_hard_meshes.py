"""Knives that try the meshes hard: a sound mesh, or one sentence that says where."""

from __future__ import annotations

import contextlib
import dataclasses
import math
from pathlib import Path

import fastened
import meshed
import numpy as np
import pytest
import specimens
from hypothesis import given
from hypothesis import strategies as st

from bladegeom import (
    Design,
    Fastener,
    FlatBevel,
    Grind,
    Hole,
    Knife,
    MeshError,
    MeshPart,
    Pin,
    Plunge,
    Stock,
    TextureZone,
    check,
    join_halves,
    material,
    mesh,
    picture,
    report,
    weigh,
)
from bladegeom.design.script import load_script
from bladegeom.meshes import scale_top
from bladegeom.meshes.loop_plan import filled
from bladegeom.meshes.plan import Plan
from bladegeom.meshes.rod_mesh import rod_mesh
from bladegeom.meshes.scale_loop import scale_loop
from bladegeom.profiles import get
from bladegeom.solids.revolve import Ring
from bladegeom.writers.proof import proof

ROOT = Path(__file__).resolve().parents[1]


@given(st.floats(1e-6, 0.5), st.floats(0.05, 0.9), st.sampled_from((0.02, 0.1, 1.0)))
def test_a_tube_is_sound_however_thin_its_wall(wall: float, leans: float, tolerance: float) -> None:
    ring = Ring(inner=3.0 - wall, outer=3.0, low=(0.0, 0.0), high=None)
    tube = rod_mesh(ring, (0.0, 0.0), lambda x, y: 5.0 + leans * x + 0.0 * y, _upright, tolerance)
    meshed.require_sound(MeshPart(name="tube", material=material("304"), kind="hardware", mesh=tube))
    assert tube.moments.amount == pytest.approx(10.0 * math.pi * (9.0 - ring.inner**2), rel=1e-6)


def _upright(plan: Plan) -> np.ndarray:
    return np.broadcast_to([0.0, 0.0, 1.0], (len(plan.triangles), 3, 3))


def test_hardware_beside_the_handle_is_refused_with_its_place() -> None:
    pin = Fastener(x=-60.0, y=20.0, hardware=Pin(rod="304", diameter=6.0))
    with pytest.raises(MeshError) as caught:
        mesh(fastened.bar(pin, scales=fastened.LINED))
    assert caught.value.at == (-60.0, 20.0)
    assert str(caught.value).startswith("pin: ")


@pytest.mark.parametrize("purpose", ["lightening", "lanyard"])
def test_a_hole_that_takes_all_is_refused(purpose: str) -> None:
    hole = Hole(x=-50.0, y=-15.0, diameter=900.0, purpose=purpose)  # type: ignore[arg-type]
    knife = fastened.bar(scales=fastened.LINED, holes=(hole,))
    with pytest.raises(MeshError, match="blade: "):
        mesh(knife)


@pytest.mark.parametrize(("depth", "made"), [(1.6, True), (3.9, False), (500.0, False)])
@pytest.mark.parametrize("side", ["both", "right"])
def test_a_texture_deeper_than_the_steel_is_named_as_the_cause(depth: float, side: str, *, made: bool) -> None:
    """Of 3 mm, of which four tenths of the depth are taken from each face; or all of it from one."""
    zone = TextureZone(
        start=20.0,
        end=60.0,
        depth=depth if side == "both" else 2 * depth,
        least_thickness=0.5,
        side=side,  # type: ignore[arg-type]
    )
    knife = dataclasses.replace(
        specimens.drop_point(),
        stock=Stock(steel="1084", thickness=3.0),
        grind=Grind(bevel=FlatBevel(height=8.0, edge_thickness=0.4), plunge=Plunge(x=4.0)),
        zones=(zone,),
    )
    if made:
        meshed.require_sound(mesh(knife).parts[0])
        return
    with pytest.raises(MeshError, match=r"blade: its textures take .* where it is 3\.00 mm .* near x") as caught:
        mesh(knife)
    assert caught.value.at is not None
    assert 18.0 < caught.value.at[0] < 62.0


def test_no_more_triangles_than_can_be_held() -> None:
    plan = filled(np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)]))
    while len(plan.triangles) < 60_000:
        plan = plan.split(np.full(len(plan.edges), 0.5))
    with pytest.raises(MeshError, match="coarser tolerance") as caught:
        plan.split(np.full(len(plan.edges), 0.5))
    assert caught.value.at is not None
    assert np.hypot(*np.subtract(caught.value.at, (5.0, 2.0))) < 1.0


def test_the_finest_tolerance_is_kept_where_the_handle_is_narrower_behind_its_front() -> None:
    """The rows of both ends of the front passed each other there, all were given up, and the triangles too many."""
    finest = 0.002
    knife = load_script(ROOT / "examples" / "rigging_knife.py").knife({})[0]
    assert knife.scale_face is not None
    loop = scale_loop(knife, knife.scale_face, finest)
    top = scale_top.scale_top(loop, finest)
    assert len(top.plan.triangles) < 100_000
    corners = np.column_stack([top.plan.xy, top.z])[top.plan.triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    x, y, z = corners.mean(axis=1).T
    off = np.abs(z - loop.face.height(x, y)) * across[:, 2] / np.linalg.norm(across, axis=1)
    assert off.max() < finest


def test_a_border_that_meets_itself_is_refused_with_its_place() -> None:
    bow = np.array([(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)])
    with pytest.raises(MeshError) as caught:
        filled(bow)
    assert caught.value.at == (2.0, 2.0)


def test_chords_are_found_alike_in_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    knife = fastened.bar(scales=fastened.CONTOURED)
    assert knife.scale_face is not None
    loop = scale_loop(knife, knife.scale_face, 0.02)
    at_once = scale_top.scale_top(loop, 0.02)
    monkeypatch.setattr(scale_top, "_TABLE", 1_000)
    in_parts = scale_top.scale_top(loop, 0.02)
    assert (in_parts.z == at_once.z).all()
    assert np.abs(in_parts.normals - at_once.normals).max() < 1e-9


@pytest.mark.parametrize("lean", [0.0, 10.0])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_hole_that_only_touches_the_plunge_line_is_weighed_as_one_just_clear(lean: float, side: float) -> None:
    knife = dataclasses.replace(
        specimens.profile("drop_point", "straight"),
        stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 3.9), (80.0, 3.0))),
    )
    grind = dataclasses.replace(knife.grind, plunge=dataclasses.replace(knife.grind.plunge, lean_deg=lean))
    knife = dataclasses.replace(knife, grind=grind)
    touching, clear = (_beside_plunge(knife, side, off) for off in (-1e-9, 1e-3))
    assert weigh(touching).finished.amount == pytest.approx(weigh(clear).finished.amount, rel=1e-6)


def _beside_plunge(knife: Knife, side: float, off: float) -> Knife:
    """With a hole of 3 mm half way up the plunge line, beside it by some mm."""
    foot, top = (np.array(end) for end in (knife.plunge_line.start, knife.plunge_line.end))
    across = (top - foot)[::-1] * (1.0, -1.0) / np.linalg.norm(top - foot)
    x, y = ((foot + top) / 2 + side * (1.5 + off) * across).tolist()
    return dataclasses.replace(knife, holes=(Hole(x=x, y=y, diameter=3.0, purpose="lightening"),))


def test_a_knife_that_no_mesh_stands_for_has_its_proof_all_the_same() -> None:
    design = Design(fastened.bar(Fastener(x=-60.0, y=20.0, hardware=Pin(rod="304", diameter=6.0))))
    page = proof(design, report(design)).decode()
    assert "No picture: pin: nothing of it lies within the handle near x -60.00, y 20.00 mm" in page
    assert "hole-outside" in page
    assert "data:image/png" not in page


def test_a_plunge_line_at_the_very_tip_and_a_bevel_of_nothing_are_checked_and_told() -> None:
    outline = join_halves(get("cleaver")(blade_length=178.0, height=84.0), get("straight")())
    plunge = Plunge(x=177.5, lean_deg=10.0, radius=12.0)
    knife = Knife(
        name="hard",
        outline=outline,
        stock=Stock(steel="1084", thickness=0.3, taper=((0.0, 0.3), (106.8, 0.18), (178.0, 0.0003))),
        grind=Grind(bevel=FlatBevel(height=0.01, edge_thickness=0.0), plunge=plunge),
        zones=(TextureZone(start=20.0, end=60.0, depth=0.05, least_thickness=0.01),),
    )
    assert check(knife)
    with contextlib.suppress(MeshError):
        for part in mesh(knife).parts:
            meshed.require_sound(part)


@pytest.mark.parametrize("lean", [10.0, -10.0])
def test_a_hand_is_drawn_behind_a_stick_tang_whose_front_leans(lean: float) -> None:
    outline = join_halves(get("tanto")(), get("stick_tang")())
    knife = dataclasses.replace(specimens.ground(outline), front_lean_deg=lean, front_bow=-2.0)
    made = picture(knife, width=300, stage="blank", hand=85.0)
    bare = picture(knife, width=300, stage="blank")
    assert (made.pixels.shape != bare.pixels.shape) or (made.pixels != bare.pixels).any()
