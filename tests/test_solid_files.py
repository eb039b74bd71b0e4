"""Solid files as independent readers see them: triangles, units, names and colours; and what their standards ask."""

from __future__ import annotations

import dataclasses
import io
import json
import struct
import sys
import zipfile
from pathlib import Path
from typing import Any

import lib3mf
import numpy as np
import pytest
import specimens
import trimesh
from test_mesh import box

from bladegeom.cli import main
from bladegeom.commands.solid import solid
from bladegeom.design.design import Design
from bladegeom.quantities.appearances import colour_of
from bladegeom.quantities.materials import material
from bladegeom.solids.mesh import Mesh
from bladegeom.writers.glb import glb
from bladegeom.writers.solid_body import SolidBody
from bladegeom.writers.stl import stl
from bladegeom.writers.three_mf import three_mf

STEEL = SolidBody(
    name='"blade" & maker\'s tang',
    mesh=box((220.123456, 30.0, 4.0), (-110.0, -30.0, -2.0)),
    material=material("1.4116"),
)
RIGHT = SolidBody(
    name="right scale", mesh=box((100.0, 30.0, 6.0), (-110.0, -30.0, 2.0)), material=material("Juglans nigra")
)
LEFT = dataclasses.replace(RIGHT, name="left scale", mesh=RIGHT.mesh.mirrored())
BODIES = (STEEL, RIGHT, LEFT)

TITLE = "Rigging <knife>, revision A-1"


def written(**more: Any) -> bytes:
    return three_mf(BODIES, title=TITLE, description="finished", **{"joined": "Rigging <knife>", **more})


LIBRARY = lib3mf.get_wrapper()
KEPT: list[Any] = []
"""Models that were read: the library frees one with its last name, whatever of it is still in use."""


def model_in(data: bytes) -> Any:
    """As the consortium's own library reads it, which refuses what the standard forbids."""
    model = LIBRARY.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)  # noqa: FBT003
    reader.ReadFromBuffer(data)
    assert reader.GetWarningCount() == 0
    KEPT.append(model)
    return model


def mesh_objects(model: Any) -> list[Any]:
    objects, found = model.GetMeshObjects(), []
    while objects.MoveNext():
        found.append(objects.GetCurrentMeshObject())
    return found


def test_the_3mf_of_one_knife_as_the_consortiums_library_reads_it() -> None:
    model = model_in(written())
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    objects = mesh_objects(model)
    assert [each.GetName() for each in objects] == [body.name for body in BODIES]
    for each, body in zip(objects, BODIES, strict=True):
        assert each.IsManifoldAndOriented()
        places = np.array([list(vertex.Coordinates) for vertex in each.GetVertices()])
        assert places == pytest.approx(body.mesh.vertices, abs=1e-5)
        assert np.array_equal([list(three.Indices) for three in each.GetTriangleIndices()], body.mesh.triangles)
        group, which, told = each.GetObjectLevelProperty()
        base = model.GetBaseMaterialGroupByID(group)
        colour = base.GetDisplayColor(which)
        assert told
        assert base.GetName(which) == body.material.name
        assert (colour.Red, colour.Green, colour.Blue) == colour_of(body.material)


def test_all_parts_of_a_knife_are_one_thing_to_print_and_pieces_are_several() -> None:
    for joined, expected in (("Rigging <knife>", ["Rigging <knife>"]), (None, [body.name for body in BODIES])):
        items, names = model_in(written(joined=joined)).GetBuildItems(), []
        while items.MoveNext():
            names.append(items.GetCurrent().GetObjectResource().GetName())
        assert names == expected


def test_its_title_is_told_and_no_clock() -> None:
    data = written()
    group = model_in(data).GetMetaDataGroup()
    told = {each.GetName(): each.GetValue() for each in map(group.GetMetaData, range(group.GetMetaDataCount()))}
    assert told == {"Title": TITLE, "Description": "finished", "Application": "bladegeom"}
    assert {entry.date_time for entry in zipfile.ZipFile(io.BytesIO(data)).infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert data == written()


def test_the_3mf_as_a_second_reader_reads_it() -> None:
    scene = trimesh.load_scene(io.BytesIO(written()), file_type="3mf", process=False)
    assert scene.units == "millimeter"
    assert set(scene.geometry) == {body.name for body in BODIES}
    for body in BODIES:
        read = scene.geometry[body.name]
        assert read.vertices == pytest.approx(body.mesh.vertices, abs=1e-5)
        assert np.array_equal(read.faces, body.mesh.triangles)
        assert read.is_watertight
    # It stands where a bed is.
    assert scene.bounds == pytest.approx(np.array([[0.0, 0.0, 0.0], [220.123456, 30.0, 16.0]]), abs=1e-5)


def test_a_whole_knife_is_in_all_of_its_files(tmp_path: Path) -> None:
    knife = Design.from_script(Path(__file__).resolve().parents[1] / "examples" / "rigging_knife.py").knife
    # A texture is cut into the mesh and not weighed.
    design = Design(dataclasses.replace(knife, zones=()))
    made = solid(design, tolerance=0.05)
    parts = {part.name: part for part in made.mesh.parts}
    assert len(parts) > 5
    written_to = [path for ending in ("3mf", "glb", "stl") for path in made.save(tmp_path / f"knife.{ending}")]
    assert len(written_to) == 2 + len(parts)
    for path, scale in zip(written_to[:2], (1.0, 1000.0), strict=True):
        scene = trimesh.load_scene(path, process=False)
        assert set(scene.geometry) == set(parts)
        for name, part in parts.items():
            volume = scene.geometry[name].volume * scale**3
            assert volume == pytest.approx(part.mesh.moments.amount, rel=1e-4)
    for path, part in zip(written_to[2:], parts.values(), strict=True):
        assert path.stem == f"knife_{part.name.replace(' ', '-')}"
        read = trimesh.load_mesh(path)
        assert read.is_watertight
        assert read.center_mass == pytest.approx(part.mesh.moments.centre, abs=1e-3)
    mass = sum(part.mesh.moments.amount * part.material.density_g_cm3 / 1000 for part in parts.values())
    assert mass == pytest.approx(design.weighing.total.amount, rel=2e-3)


@pytest.mark.parametrize("title", ["Solid knife", "solid \u0159ezn\u00e1k " * 9])
def test_an_stl_is_binary_whatever_the_knife_is_called(title: str) -> None:
    data = stl(RIGHT.mesh, title=title)
    assert not data.lstrip().lower().startswith(b"solid")
    assert b"\0" in data[:80]
    assert len(data) == 84 + 50 * 12
    read = trimesh.load_mesh(io.BytesIO(data), file_type="stl")
    assert read.is_watertight
    assert read.volume == pytest.approx(100.0 * 30.0 * 6.0, rel=1e-6)
    assert read.center_mass == pytest.approx(RIGHT.mesh.moments.centre, abs=1e-4)
    told = np.frombuffer(data, np.dtype([("normal", "<f4", 3), ("rest", "V38")]), offset=84)["normal"]
    assert told == pytest.approx(read.face_normals, abs=1e-6)


def chunks(data: bytes) -> tuple[dict[str, Any], bytes]:
    """JSON and binary of a GLB, with what chapter 4.4 of glTF 2.0 asks of the container."""
    mark, version, length = struct.unpack_from("<4sII", data)
    assert (mark, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    assert size % 4 == 0
    binary_size, binary_kind = struct.unpack_from("<I4s", data, 20 + size)
    assert binary_kind == b"BIN\0"
    assert 28 + size + binary_size == len(data)
    return json.loads(data[20 : 20 + size]), data[28 + size :]


def test_a_glb_keeps_the_rules_of_its_standard() -> None:
    """Source: glTF 2.0, 3.6.2: aligned accessors, bounds of positions, indices within; 3.7.2.1: unit normals."""
    document, binary = chunks(glb(BODIES, title=TITLE))
    assert document["asset"]["version"] == "2.0"
    assert document["buffers"] == [{"byteLength": len(binary)}]
    arrays = []
    for accessor in document["accessors"]:
        view = document["bufferViews"][accessor["bufferView"]]
        assert view["byteOffset"] % 4 == 0
        assert view["byteOffset"] + view["byteLength"] <= len(binary)
        wide = {"VEC3": 3, "SCALAR": 1}[accessor["type"]]
        kind = {5126: "<f4", 5125: "<u4"}[accessor["componentType"]]
        values = np.frombuffer(binary, kind, accessor["count"] * wide, view["byteOffset"]).reshape(-1, wide)
        assert values.nbytes == view["byteLength"]
        if "min" in accessor:
            assert values.min(axis=0).tolist() == accessor["min"]
            assert values.max(axis=0).tolist() == accessor["max"]
        arrays.append(values)
    for mesh in document["meshes"]:
        (primitive,) = mesh["primitives"]
        places, normals = (arrays[primitive["attributes"][name]] for name in ("POSITION", "NORMAL"))
        assert "min" in document["accessors"][primitive["attributes"]["POSITION"]]
        assert len(places) == len(normals)
        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-6)
        assert arrays[primitive["indices"]].max() < len(places)


def test_a_glb_in_metres_with_names_and_colours_as_another_reader_reads_it() -> None:
    scene = trimesh.load_scene(io.BytesIO(glb(BODIES, title=TITLE)), file_type="glb", process=False)
    assert set(scene.geometry) == {body.name for body in BODIES}
    assert scene.bounds == pytest.approx(np.array([[-110.0, -30.0, -8.0], [110.123456, 0.0, 8.0]]) / 1000, abs=1e-7)
    for body in BODIES:
        read = scene.geometry[body.name]
        light = read.visual.material.baseColorFactor[:3] / 255
        # Source: IEC 61966-2-1, the power law of a screen, the other way about than the writer's.
        shown = 255 * np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
        assert shown == pytest.approx(colour_of(body.material), abs=4)
        assert read.volume * 1e9 == pytest.approx(body.mesh.moments.amount, rel=1e-5)
        out = np.einsum("nkd,nd->nk", read.vertex_normals[read.faces], read.face_normals)
        assert out == pytest.approx(np.ones(out.shape), abs=1e-5), "lit from within"


def test_corners_are_split_at_creases_and_joined_where_it_is_smooth() -> None:
    document, _ = chunks(glb((RIGHT,), title=TITLE))
    # Eight corners of a box, each with three directions.
    assert document["accessors"][0]["count"] == 24
    smooth = RIGHT.mesh
    away = smooth.vertices - smooth.vertices.mean(axis=0)
    away /= np.linalg.norm(away, axis=1, keepdims=True)
    round_box = Mesh(
        vertices=smooth.vertices,
        triangles=smooth.triangles,
        patches=np.zeros(12, int),
        normals=away[smooth.triangles],
    )
    document, _ = chunks(glb((dataclasses.replace(RIGHT, mesh=round_box),), title=TITLE))
    assert document["accessors"][0]["count"] == 8


def test_the_same_bodies_give_the_same_bytes() -> None:
    assert glb(BODIES, title=TITLE) == glb(BODIES, title=TITLE)
    assert stl(STEEL.mesh, title=TITLE) == stl(STEEL.mesh, title=TITLE)


def test_an_stl_header_obeys_no_name() -> None:
    data = stl(RIGHT.mesh, title="a\0b\x1b[2J\nc\x7f \u202e")
    assert data[:80].rstrip(b"\0").decode("ascii").isprintable()


def test_without_the_kernel_one_sentence_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    for name in [name for name in sys.modules if name.startswith(("bladegeom.breps", "bladegeom.writers.step"))]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "OCP", None)
    script = Path(__file__).resolve().parents[1] / "examples" / "galley_petty.py"
    assert main(["solid", str(script), "--format", "step", "--format", "3mf", "--out", str(tmp_path / "out")]) != 0
    assert capsys.readouterr().err == (
        "bladegeom: STEP needs the OCC kernel, which is not installed; where bladegeom was installed from, "
        "'python -m pip install \".[step]\"' adds it (a gigabyte)\n"
    )
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("tolerance", "told"), [(0.02, "0.020 mm"), (0.003, "0.003 mm"), (0.0025, "0.0025 mm")])
def test_a_tolerance_is_told_as_it_was_asked_for(tolerance: float, told: str) -> None:
    made = solid(Design(specimens.petty()), stage="blank", tolerance=tolerance)
    assert f"within {told} (" in made.told[-1]
