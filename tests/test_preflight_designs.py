"""Our own cut files pass preflight, and a file is laid over the design that it should be of."""

from __future__ import annotations

import dataclasses
import io
import math
import subprocess
import sys
from functools import cache
from pathlib import Path

import ezdxf
import handles
import numpy as np
import pypdfium2
import pytest
import specimens
from draws import draws, quick
from ezdxf.entities import LWPolyline
from ezdxf.math import Matrix44
from hypothesis import given
from hypothesis import strategies as st
from read_back import read_pages, require_clear_page

from bladegeom.cli import main
from bladegeom.commands.cut_files import cut_files
from bladegeom.cutfile.cut import cut_parts
from bladegeom.cutfile.dxf import dxf_of_drawing
from bladegeom.cutfile.preflight import preflight_plan
from bladegeom.cutfile.seen import TabGaps as Gaps
from bladegeom.cutfile.verify_cut_file import Meant, verify_cut_file
from bladegeom.design.design import Design
from bladegeom.drawing.ruler import MARGIN
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.knife.cutting import Cutting, Tabs
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import ARC_FIT


@st.composite
def knives(draw: st.DrawFn) -> Knife:
    """A profile with holes and a slot that the shop cuts."""
    knife = specimens.profile(draw(st.sampled_from(specimens.BLADES)), draw(st.sampled_from(specimens.HANDLES)))
    radius, x = draw(st.floats(1.5, 3.0)), draw(st.floats(-30.0, -22.0))
    holes = [Hole(x=x, y=-13.0, diameter=2 * radius, purpose="lightening")]
    if draw(st.booleans()):
        holes.append(Hole(x=x - 4 * radius - 6.0, y=-13.0, diameter=2 * radius, purpose="lightening"))
    slot = Slot(start=(-62.0, -13.0), end=(-70.0, -13.0), diameter=2 * radius, purpose="lightening")
    tabs = draw(st.none() | st.builds(Tabs, count=st.integers(1, 3), width=st.floats(0.5, 1.5)))
    allowance = draw(st.sampled_from([0.0, 0.3]))
    return dataclasses.replace(knife, holes=(*holes, slot), cutting=Cutting(tabs=tabs, allowance=allowance))


def exported(knife: Knife) -> bytes:
    (part, *_) = cut_parts(knife)
    return dxf_of_drawing(part.drawing, off=part.off)[0]


@given(knife=knives())
@draws(5, long=1000)
def test_every_cut_file_of_ours_passes(knife: Knife) -> None:
    chosen = knife.cutting.tabs
    gaps = Gaps(count=cut_parts(knife)[0].tabs, width=chosen.width) if chosen else Gaps()
    plan = read_cut_plan(exported(knife), "ours.dxf")
    preflight = preflight_plan(plan, knife.shop.process, knife.stock.thickness, tabs=gaps)
    assert [f for f in preflight.findings if f.severity != "note"] == []
    assert preflight.nest is not None
    assert len(preflight.nest.holes) == len(knife.holes)
    assert preflight.unsought == ()


@cache
def design() -> Knife:
    holes = (Hole(x=-25.0, y=-13.0, diameter=5.0, purpose="lightening"),)
    return specimens.drop_point(holes=holes)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    text = "import specimens\nfrom test_preflight_designs import design as whole\n\ndef design():\n    return whole()\n"
    (tmp_path / "knife.py").write_text(text)
    (tmp_path / "knife.dxf").write_bytes(exported(design()))
    return tmp_path


def spoil(path: Path, name: str) -> None:
    doc = ezdxf.readfile(path)
    space = doc.modelspace()
    circle = next(e for e in space if e.dxftype() == "CIRCLE")
    outline = next(e for e in space if isinstance(e, LWPolyline))
    if name == "hole-missing":
        space.delete_entity(circle)
    elif name == "hole-extra":
        space.add_circle((160, 15), 3, dxfattribs={"layer": "CUT"})
    elif name == "deviation":
        circle.dxf.radius += 0.2
    else:
        rows = [(x * 0.9375, y * 0.9375, b) for x, y, b in outline.get_points("xyb")]
        outline.set_points(rows, format="xyb")
        x, y, _ = circle.dxf.center
        circle.dxf.center = (x * 0.9375, y * 0.9375)
        circle.dxf.radius *= 0.9375
    doc.saveas(path)


@pytest.mark.parametrize("code", quick(["hole-missing", "hole-extra", "deviation", "scale"], "hole-extra", "deviation"))
def test_what_differs_from_the_design_is_told(code: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["preflight", "knife.dxf", "--design", "knife.py"]) == 0
    assert "off the design" in capsys.readouterr().out
    spoil(folder / "knife.dxf", code)
    assert main(["preflight", "knife.dxf", "--design", "knife.py"]) == 1
    told = [line for line in capsys.readouterr().out.splitlines() if line.startswith("error")]
    assert len(told) == 1
    assert told[0].startswith(f"error [{code}] ")
    if code == "deviation":
        assert "0.20 mm" in told[0]
    if code == "scale":
        assert "0.9375 times the design's size" in told[0]
        assert "pixels" in told[0]


POSES = {
    "moved": (Matrix44.translate(33.3, -12.0, 0.0), "moved", ""),
    "a little moved": (Matrix44.translate(0.03, 0.02, 0.0), None, ""),
    "turned": (Matrix44.z_rotate(math.radians(30)) @ Matrix44.translate(5.0, 900.0, 0.0), "turned", "by 30 degrees"),
    "mirrored": (Matrix44.scale(-1, 1, 1), "mirrored", "left to right"),
    "turned over": (Matrix44.scale(1, -1, 1), "mirrored", "top to bottom"),
    "both": (Matrix44.scale(1, -1, 1) @ Matrix44.z_rotate(math.radians(17)), "mirrored", "turned by 163 degrees"),
}
"""By what the library moves the things of a file, the code that must come, and words of the pose."""


@pytest.mark.parametrize("name", quick(POSES, "a little moved", "turned", "both"))
@pytest.mark.parametrize("longer", quick([0.0, 0.8], 0.8))
def test_an_identical_file_is_known_however_it_lies(name: str, longer: float) -> None:
    """And one that is changed at one end is off by that change, not by more or less."""
    matrix, code, words = POSES[name]
    doc = ezdxf.read(io.StringIO(exported(design()).decode("cp1252")))
    outline = next(e for e in doc.modelspace() if isinstance(e, LWPolyline))
    rows = np.array(outline.get_points("xyb"))
    rows[rows[:, 0].argmax(), 0] += longer
    outline.set_points(rows.tolist(), format="xyb")
    for entity in doc.modelspace():
        entity.transform(matrix)
    stream = io.StringIO()
    doc.write(stream)
    knife = design()
    plan = read_cut_plan(stream.getvalue().encode("cp1252"), "knife.dxf")
    looked = verify_cut_file(plan, knife.shop.process, 4.0, Meant(knife=knife, part=cut_parts(knife)[0]))
    assert looked.off is not None
    if longer:
        assert looked.off.greatest == pytest.approx(longer, abs=0.05)
    else:
        assert looked.off.greatest <= ARC_FIT
    told = {finding.code: finding for finding in looked.found.findings if finding.code in POSE_CODES}
    assert set(told) == {code, "deviation" if longer else None} - {None}
    if code:
        assert words in told[code].message
        assert told[code].severity != "error"


POSE_CODES = {"moved", "turned", "mirrored", "deviation", "scale", "hole-missing", "hole-extra"}


@pytest.mark.usefixtures("folder")
def test_exit_status_and_messages(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["preflight", "knife.dxf"]) == 0
    told = capsys.readouterr().out
    assert "tested against waterjet, thickness not given, and for nothing else:" in told
    assert told.endswith("\n0 errors\n")
    assert main(["preflight", "knife.dxf", "--process", "wire EDM", "--thickness", "4 mm"]) == 0
    assert main(["preflight", "knife.dxf", "--process", "wire EDMM"]) == 2
    assert main(["preflight", "knife.py"]) == 2
    assert main(["preflight", "missing.dxf"]) == 2
    told = capsys.readouterr().err
    assert "knife.py: the file is no DXF: it does not begin with a section" in told
    assert "missing.dxf: " in told
    assert "No such file or directory" in told
    assert main(["preflight", "knife.dxf", "--seen", "knife"]) == 2


RUN = "import sys; from bladegeom.cli import main; sys.exit(main(sys.argv[1:]))"


def test_a_terminal_gets_no_control_code_and_no_warning(folder: Path) -> None:
    """Names out of a file, and errors that quote them; whatever a library has to say stays in it."""
    bad = "\x1b[2JCUT\x9b1m"
    doc = ezdxf.readfile(folder / "knife.dxf")
    for name in (bad, "two"):
        doc.layers.add(name)
    for entity, layer in zip(doc.modelspace(), (bad, "two"), strict=False):
        entity.dxf.layer = layer
    doc.saveas(folder / f"{bad}.dxf")
    (folder / f"{bad}.pdf.dxf").write_bytes(b"%PDF")
    done = [
        subprocess.run(
            [sys.executable, "-W", "default", "-c", RUN, "preflight", name],
            capture_output=True,
            check=False,
            cwd=folder,
        )
        for name in (f"{bad}.dxf", f"{bad}.pdf.dxf")
    ]
    assert [process.returncode for process in done] == [0, 2]
    assert done[0].stderr == b""
    for process in done:
        told = (process.stdout + process.stderr).decode()
        assert all(line.isprintable() for line in told.splitlines())
        assert r"\x1b[2JCUT\x9b1m" in told


def test_our_own_file_tells_its_unit_where_the_release_cannot() -> None:
    """Release 12 has no unit: it stands in the comment at the file's head, and preflight reads it there."""
    knife = design()
    data = cut_files(Design(knife), dxf="R12")["steel"].data
    plan = read_cut_plan(data, "ours.dxf")
    assert (plan.unit, plan.told, plan.mm_per_unit) == ("", "mm", 1.0)
    preflight = preflight_plan(plan, knife.shop.process, knife.stock.thickness)
    assert {f.code: f.severity for f in preflight.findings} == {"unit-missing": "note"}
    bare = read_cut_plan(data.partition(b"1 unit is 1 mm")[0] + data.partition(b"1 unit is 1 mm")[2], "ours.dxf")
    assert {f.code: f.severity for f in preflight_plan(bare, knife.shop.process, 4.0).findings} == {
        "unit-missing": "error"
    }


def lined() -> Knife:
    knife = handles.handle(handles.INCH, liners=handles.liners(0.8))
    return dataclasses.replace(knife, cutting=Cutting(scales=True))


@pytest.mark.long
@pytest.mark.usefixtures("folder")
def test_each_part_of_a_design_is_known_by_its_file(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Liner and scale have one outline; only the liner has holes."""
    text = "from test_preflight_designs import lined\n\ndef design():\n    return lined()\n"
    (folder / "lined.py").write_text(text)
    for part in cut_parts(lined()):
        (folder / "part.dxf").write_bytes(dxf_of_drawing(part.drawing, off=part.off)[0])
        status = main(["preflight", "part.dxf", "--design", "lined.py"])
        assert "hole-" not in capsys.readouterr().out, part.part
        assert status == 0


@pytest.mark.usefixtures("folder")
def test_what_size_did_you_see(capsys: pytest.CaptureFixture[str]) -> None:
    width = cut_parts(design())[0].size[0]
    assert main(["preflight", "knife.dxf", "--seen", f"{25.4 * width:.1f} mm"]) == 0
    told = capsys.readouterr().out
    assert "times the true one: mm were read as inch" in told
    assert "write to the shop: The part in knife.dxf is " in told
    assert main(["preflight", "knife.dxf", "--seen", "77.7 mm"]) == 0
    assert "cause unknown; ask the shop" in capsys.readouterr().out


def words(data: bytes) -> str:
    document = pypdfium2.PdfDocument(io.BytesIO(data))
    assert len(document) == 1
    return " ".join(str(document[0].get_textpage().get_text_range()).split())


def test_the_pass_sheet_tells_file_numbers_and_order() -> None:
    knife = design()
    file = cut_files(Design(knife))["steel"]
    for size in ("A4", "Letter"):
        text = words(file.pass_sheet((size,)).pdf)
        for wanted in (
            "Pass sheet of the cut file",
            "smallest hole 5.00 mm",
            "0 errors, 0 warnings",
            "Tested, and nothing else",
            "condition (annealed, or HRC)",
            "mm read as inch",
            "page 1 of 1",
        ):
            assert wanted in text
        for page in read_pages(file.pass_sheet((size,)).pdf):
            # A j reaches a hair to the left of where it stands.
            require_clear_page(page, MARGIN - 0.1)
            assert page.least_pt >= 9.0
            assert "ALONG" not in page.words


@pytest.mark.usefixtures("folder")
def test_a_bad_file_has_its_findings_on_the_sheet_and_no_order(folder: Path) -> None:
    doc = ezdxf.readfile(folder / "knife.dxf")
    doc.modelspace().add_point((50, 10))
    doc.saveas(folder / "bad.dxf")
    assert main(["preflight", "bad.dxf", "--sheet", "bad.pdf"]) == 1
    text = words((folder / "bad.pdf").read_bytes())
    assert "NOT PASSED" in text
    assert "error [point]" in text
    assert "quantity" not in text


def test_letters_that_no_face_has_do_not_keep_a_foreign_file_from_its_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who drew it chose the names: they stand on the sheet written out, and the terminal shows them as they are."""
    monkeypatch.chdir(tmp_path)
    doc = ezdxf.new("R2010", units=4)
    square = [(0, 0), (200, 0), (200, 30), (0, 30)]
    doc.modelspace().add_lwpolyline(square, close=True, dxfattribs={"layer": "\u5207\u65ad"})
    doc.modelspace().add_spline([(0, 40), (20, 45), (40, 40)], dxfattribs={"layer": "\u05e9"})
    doc.saveas("\u5200.dxf")
    assert main(["preflight", "\u5200.dxf", "--sheet", "sheet.pdf"]) == 1
    text = pypdfium2.PdfDocument("sheet.pdf")[0].get_textpage().get_text_bounded()
    assert "File \\u5200.dxf" in text
    assert "\\u5207\\u65ad" in text
