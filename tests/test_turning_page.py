"""The page to turn a knife in, as a file: what it holds, what it lets in, what it leaves out, and the shapes in it."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import shutil
import tomllib
import zlib
from dataclasses import replace
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from boxes import SLAB, design_of_boxes, stages_of_boxes
from hypothesis import given
from hypothesis import strategies as st
from orders import order
from specimens import ground
from test_mesh import box

from bladegeom import Finish, Requirement, mesh
from bladegeom.cli import main
from bladegeom.commands.turning_page import turning_page
from bladegeom.design.design import Design
from bladegeom.knife.hole import Hole
from bladegeom.outline.outline import join_halves
from bladegeom.pictures.finish import finish_of
from bladegeom.profiles import get
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.materials import material
from bladegeom.solids.mesh import Mesh
from bladegeom.workshop.work import Work
from bladegeom.writers.packed_meshes import STEP, packed_meshes
from bladegeom.writers.turning_page import turning_html

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "bladegeom" / "writers" / "turning"

LARGEST = 3_000_000
"""Bytes of a page at most: it is mailed, and opened on a phone."""

SCRIPT = re.compile(r"<script([^>]*)>(.*?)</script>", re.DOTALL)


def page_of(design: Design, *, customer: bool = False) -> str:
    return turning_html(design, stages_of_boxes(), customer=customer).decode()


def told_in(page: str) -> Any:
    ((text,),) = [re.findall(r'<script type="application/json" id="told">(.*?)</script>', page, re.DOTALL)]
    return json.loads(text)


def policy_of(page: str) -> dict[str, str]:
    (text,) = re.findall(r'http-equiv="Content-Security-Policy" content="(.*?)"', page)
    return dict(part.strip().partition(" ")[::2] for part in text.split(";"))


def checksum(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_the_page_lets_in_its_own_scripts_and_nothing_else() -> None:
    page = page_of(design_of_boxes())
    policy = policy_of(page)
    run = [text for kind, text in SCRIPT.findall(page) if kind in ("", ' type="module"')]
    assert policy["script-src"].split() == [checksum(text) for text in run]
    assert len(run) == 2
    (style,) = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    assert policy["style-src"] == checksum(style)
    assert {name: policy[name] for name in ("default-src", "base-uri", "form-action")} == dict.fromkeys(
        ("default-src", "base-uri", "form-action"), "'none'"
    )
    # Names of languages are addresses that nobody goes to.
    assert set(re.findall(r"https?://[\w./-]+", page)) <= {"http://www.w3.org/1999/xhtml", "http://www.w3.org/2000/svg"}


def test_no_script_in_it_makes_scripts_of_text() -> None:
    for path in FOLDER.glob("*.js"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\beval\s*\(|new Function|innerHTML|insertAdjacentHTML|document\.write", text), path.name
        assert "</script" not in text
        assert "<!--" not in text


def test_names_and_messages_are_shown_and_never_obeyed() -> None:
    nasty = '</script><script>alert("x")</script>'
    design = design_of_boxes()
    page = page_of(Design(replace(design.knife, name=nasty)))
    assert nasty not in page
    assert "<script>alert" not in page
    assert len(SCRIPT.findall(page)) == len(SCRIPT.findall(page_of(design)))


def test_the_same_design_gives_the_same_bytes() -> None:
    assert turning_html(design_of_boxes(), stages_of_boxes(), customer=False) == turning_html(
        design_of_boxes(), stages_of_boxes(), customer=False
    )


def test_the_customers_page_tells_nothing_that_was_found() -> None:
    design = design_of_boxes()
    assert design.findings
    makers, customers = page_of(design), page_of(design, customer=True)
    assert [each["code"] for each in told_in(makers)["findings"]] == [each.code for each in design.findings]
    assert told_in(customers)["findings"] is None
    for finding in design.findings:
        assert finding.message not in customers
    assert 'id="findings"' in makers
    assert 'id="findings"' not in customers


def test_parts_are_told_by_stage_with_their_masses() -> None:
    design = design_of_boxes()
    told = told_in(page_of(design))
    parts = {part["name"]: part for part in told["parts"]}
    assert told["stages"] == ["blank", "rough", "finished", "sharp"]
    # One box of each kind of thickness, not one a stage.
    assert parts["blade"]["meshes"] == [0, 1, 1, 1]
    assert parts["right scale"]["meshes"][:2] == [None, None]
    # Black walnut of 100 x 30 x 8 mm.
    grams = 100 * 30 * SLAB / 1000 * material("Juglans nigra").density_g_cm3
    assert parts["left scale"]["masses"][2] == f"{grams:.1f} g"
    assert told["totals"][2] == f"{design.weighing.total.amount:.1f} g"


def test_what_is_etched_is_as_dark_as_in_the_picture_and_marks_are_said_to_be_left_out() -> None:
    knife = Design.from_script(ROOT / "examples" / "galley_petty.py").knife
    etched = page_made(Design(knife, work=Work(etch="ferric chloride")))
    light = {part["name"]: part["light"] for part in told_in(etched)["parts"]}
    dark = finish_of(Design(knife, work=Work(etch="ferric chloride"))).light
    assert dark < 0.6
    assert light["blade"] == [[1.0, 1.0], [1.0, 1.0], [dark, dark], [dark, dark]]
    assert light["right scale"] == [[1.0, 1.0]] * 4
    assert "Marks are left out" in etched
    unmarked = page_made(Design(replace(knife, zones=())))
    assert "Marks are left out" not in unmarked
    assert told_in(unmarked)["parts"][0]["light"] == [[1.0, 1.0]] * 4


def test_where_the_blade_alone_is_etched_the_tang_stays_bright() -> None:
    knife = Design.from_script(ROOT / "examples" / "galley_petty.py").knife
    etch = Finish(operation="etch", finish="dark patina", place="blade")
    wish = Requirement(number=1, text="a dark blade", concerns="surface", met=etch)
    told = told_in(page_made(Design(knife, order=order(requirements=(wish,)))))
    dark, bright = told["parts"][0]["light"][-1]
    assert dark < 0.6
    assert bright == 1.0
    # The front as the shader has it, beside its own line.
    a, b, c = told["front"]
    x, y = knife.front_line.vertices.T
    assert a + b * y + c * y * y == pytest.approx(x, abs=0.05)


@pytest.mark.long
def test_a_page_says_what_its_masses_leave_out_of_a_carved_surface() -> None:
    design = Design.from_script(ROOT / "examples" / "rigging_knife.py")
    page = page_made(design)
    steel = mesh(design)["blade"]
    shown = steel.mesh.moments.amount * steel.material.density_g_cm3 / 1000
    (told,) = re.findall(r"without the ([\d.]+) g that the carved surface takes off", page)
    assert float(told) == pytest.approx(design.weighing.blade.mass.amount - shown, abs=0.06)
    assert "carved surface takes off" not in page_made(Design(replace(design.knife, zones=())))


def test_parts_come_off_outwards_in_the_order_of_the_layers() -> None:
    apart = {part["name"]: part["apart"] for part in told_in(page_of(design_of_boxes()))["parts"]}
    # A gap of 12 mm: a slab lies on the steel already, the rod begins 10 mm on the other side of the middle.
    assert apart == {"blade": 0.0, "right scale": 12.0, "left scale": -12.0, "pin 1": 22.0 + 12.0 + 10.0}


def test_what_stands_against_the_knife_is_told_to_the_maker_alone() -> None:
    knife = design_of_boxes().knife
    design = Design(replace(knife, holes=(Hole(x=-30.0, y=-1.5, diameter=6.0, purpose="lightening"),)))
    assert design.standing
    assert design.remarks[0] in unescape(page_of(design))
    assert design.remarks[0][:12] not in page_of(design, customer=True)


def test_a_hidden_tang_says_what_it_lacks() -> None:
    outline = join_halves(get("drop_point")(), get("stick_tang")())
    page = page_made(Design(ground(outline)))
    assert "Not shown, as it is no part of the design: handle block" in page
    assert [part["name"] for part in told_in(page)["parts"]] == ["blade"]


def page_made(design: Design) -> str:
    """The page of a knife by its own meshes."""
    (content,) = turning_page(design).values()
    return content.decode()


@pytest.mark.parametrize(("more", "name"), [((), "knife_turn.html"), (("--customer",), "knife_turn_customer.html")])
def test_the_command_writes_the_page_beside_the_script(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], more: tuple[str, ...], name: str
) -> None:
    script = shutil.copyfile(ROOT / "examples" / "galley_petty.py", tmp_path / "knife.py")
    shutil.copyfile(ROOT / "examples" / "galley_petty.order.toml", tmp_path / "knife.order.toml")
    assert main(["turn", str(script), *more]) == 0
    assert capsys.readouterr().out == f"{tmp_path / name}\n"
    content = (tmp_path / name).read_bytes()
    assert len(content) < LARGEST
    assert (told_in(content.decode())["findings"] is None) is bool(more)
    # The handle is on when it is sharpened.
    told = told_in(content.decode())
    assert [part["meshes"][3] is None for part in told["parts"]] == [False] * len(told["parts"])


def test_a_page_takes_no_place_of_a_script(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["turn", str(ROOT / "examples" / "galley_petty.py"), "--out", str(tmp_path / "knife.py")]) == 2
    assert ".html" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.long
@pytest.mark.parametrize("name", ["rigging_knife", "galley_chef", "kindling_knife", "traced_knife"])
def test_a_page_of_an_example_is_small_enough(name: str) -> None:
    page = page_made(Design.from_script(ROOT / "examples" / f"{name}.py"))
    assert len(page.encode()) < LARGEST
    told = told_in(page)
    # Each mesh that the page holds is of a part at a stage.
    assert {number for part in told["parts"] for number in part["meshes"]} - {None} == set(range(len(told["meshes"])))


def test_what_is_no_design_is_refused() -> None:
    with pytest.raises(ParameterError, match="design"):
        turning_page(design_of_boxes().knife)  # type: ignore[arg-type]


class Unpacked:
    """Arrays out of the letters, by another way than the page's script."""

    def __init__(self, letters: str, told: dict[str, int]) -> None:
        self.body = zlib.decompress(base64.b64decode(letters))
        self.place = told["place"]
        self.vertices = self.columns("<i4", told["vertices"], 3) * STEP
        self.vertex_of = self.columns("<u4", told["corners"], 1)[:, 0]
        self.normals = self.columns("<i2", told["corners"], 3).astype(float)
        self.triangles = self.columns("<u4", told["triangles"], 3)

    def columns(self, kind: str, rows: int, across: int) -> npt.NDArray[Any]:
        flat = np.frombuffer(self.body, kind, rows * across, self.place)
        self.place += -(-flat.nbytes // 4) * 4
        return np.cumsum(flat.reshape(across, rows), axis=1, dtype=flat.dtype).T


def canonical(places: npt.NDArray[np.float64], triangles: npt.NDArray[Any]) -> list[tuple[float, ...]]:
    """Triangles by the places of their corners, whichever corner comes first."""
    steps = np.rint(places / STEP)[triangles]
    first = [int(np.lexsort(triangle.T[::-1])[0]) for triangle in steps]
    return sorted(tuple(np.roll(triangle, -k, axis=0).ravel()) for triangle, k in zip(steps, first, strict=True))


@given(sizes=st.lists(st.tuples(*[st.floats(-400.0, 400.0)] * 3, *[st.floats(0.1, 90.0)] * 3), min_size=1, max_size=4))
def test_a_packed_mesh_is_the_mesh(sizes: list[tuple[float, ...]]) -> None:
    meshes = [box((a, b, c), (x, y, z)) for x, y, z, a, b, c in sizes]
    packed = packed_meshes(meshes)
    for packed_in, told in zip(meshes, packed.told, strict=True):
        assert_same(packed_in, Unpacked(packed.letters, told))


def assert_same(mesh: Mesh, out: Unpacked) -> None:
    order = np.lexsort(np.rint(mesh.vertices / STEP).T[::-1])
    assert np.abs(out.vertices - mesh.vertices[order]).max() <= STEP / 2 + 1e-9
    assert canonical(out.vertices, out.vertex_of[out.triangles]) == canonical(mesh.vertices, mesh.triangles)
    # A direction goes with its corner: of a box it is that of the triangle itself.
    a, b, c = out.vertices[out.vertex_of[out.triangles]].transpose(1, 0, 2)
    across = np.cross(b - a, c - a)
    normals = out.normals[out.triangles] / np.linalg.norm(out.normals[out.triangles], axis=-1, keepdims=True)
    flat = across / np.linalg.norm(across, axis=1)[:, None]
    np.testing.assert_allclose(normals, np.broadcast_to(flat[:, None], normals.shape), atol=1e-3)


def test_the_library_is_the_pinned_one_and_brings_its_licence() -> None:
    library = (FOLDER / "three.min.js").read_bytes()
    assert hashlib.sha256(library).hexdigest() == "26634222d1843844dcd1ec1e5cbe44cfe721feb887aa0a90a52e7b4187cd9a74"
    licence = (FOLDER / "LICENSE-three").read_text(encoding="utf-8")
    assert licence.startswith("The MIT License\n\nCopyright")
    assert licence.strip() in library.decode()
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert "bladegeom/writers/turning/LICENSE-three" in project["license-files"]
    assert "three=0.187.0 " in (ROOT / "tools" / "three" / "vendor.sh").read_text(encoding="utf-8")


def test_every_own_script_is_in_the_page() -> None:
    page = page_of(design_of_boxes())
    for path in (*FOLDER.glob("*.js"), FOLDER / "turning.css"):
        assert path.read_text(encoding="utf-8").strip() in page, path.name
