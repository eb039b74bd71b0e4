"""The command nest: what it tells, its sheet and its cut file, refusals, exit codes, equal bytes."""

from __future__ import annotations

import io
from pathlib import Path

import ezdxf
import pytest
from read_back import read_pages, require_clear_page

from bladegeom.cli import main

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
RIGGING = str(EXAMPLES / "rigging_knife.py")


def test_a_bar_is_told_and_written_the_same_twice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call = ["nest", RIGGING, "--bar", "50 x 500", "--copies", "3"]
    out = []
    for name in ("a", "b"):
        folder = tmp_path / name
        assert main([*call, "--out", str(folder / "n.svg"), "--dxf", str(folder / "n.dxf")]) == 0
        out.append(sorted((path.name, path.read_bytes()) for path in folder.iterdir()))
    assert out[0] == out[1]
    assert [name for name, _ in out[0]] == ["n-1.dxf", "n-1.svg", "n-2.dxf", "n-2.svg"]
    told = capsys.readouterr().out
    assert "2 pieces of 1.4116" in told
    assert "saw across at" in told
    assert "off-cut" in told
    doc = ezdxf.read(io.StringIO(out[0][0][1].decode("cp1252")))
    assert sum(e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT" for e in doc.modelspace()) == 2
    assert [e.dxf.layer for e in doc.modelspace() if e.dxf.layer != "CUT"] == ["NOTE"]
    assert b"NOT TRUE SIZE" in out[0][1][1]


def test_most_of_one_and_a_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "n.pdf"
    assert main(["nest", RIGGING, "--bar", "2 in x 10 in", "--copies", "most", "--out", str(out)]) == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert "1 blank," in capsys.readouterr().out


def test_what_finds_no_room_is_told_with_status_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["nest", RIGGING, "--bar", "50 x 250", "--copies", "2", "--pieces", "1"]) == 1
    assert "no room for 1 of 2" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--bar", "50"], "name two sides"),
        (["--bar", "50 x nan"], "--bar is 'nan'"),
        (["--bar", "0 x 500"], "stock piece: width"),
        (["--bar", "25 x 500"], "does not fit"),
        (["--bar", "50 x 500", "--copies", "0"], "from 1 on"),
        (["--bar", "50 x 500", "--copies", "9" * 5000], "from 1 to 100"),
        (["--bar", "50 x 500", "--spacing=-1"], "spacing"),
        (["--bar", "50 x 500", "--margin", "nan"], "--margin is 'nan'"),
        (["--bar", "50 x 500", "--out", "nest.png"], "name a file that ends with .pdf or .svg"),
        (["--bar", "50 x 500", "--allow", "no-such"], "--allow no-such"),
        ([str(EXAMPLES / "galley_petty.py"), "--bar", "50 x 500"], "share a bar"),
    ],
)
def test_bad_calls_get_one_line(options: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["nest", RIGGING, *options]) == 2
    told = capsys.readouterr().err
    assert words in told
    assert told.count("\n") == 1


def test_a_cut_file_is_refused_while_an_error_stands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script = tmp_path / "holed.py"
    script.write_text(
        "import dataclasses, importlib.util\n"
        f"spec = importlib.util.spec_from_file_location('rigging', {RIGGING!r})\n"
        "rigging = importlib.util.module_from_spec(spec)\n"
        "spec.loader.exec_module(rigging)\n"
        "from bladegeom import Hole\n"
        "def design():\n"
        "    knife = rigging.design()\n"
        "    hole = Hole(x=-60.0, y=-2.0, diameter=5.0, purpose='lightening')\n"
        "    return dataclasses.replace(knife, holes=(hole,))\n"
    )
    dxf, sheet = tmp_path / "n.dxf", tmp_path / "n.svg"
    call = ["nest", str(script), "--bar", "50 x 500", "--dxf", str(dxf), "--out", str(sheet)]
    assert main(call) == 1
    told = capsys.readouterr().out
    assert "cut file refused" in told
    assert not dxf.exists()
    assert b"NOT RELEASED" in sheet.read_bytes()
    codes = told.split("--allow ")[1:]
    assert main([*call, *(part for code in codes for part in ("--allow", code.split()[0]))]) == 0
    assert dxf.exists()
    assert b"OVERRIDDEN" in sheet.read_bytes()


@pytest.mark.parametrize(
    ("size", "stock"),
    [("A4", ("--sheet", "2000 x 1000")), pytest.param("Letter", ("--sheet", "3000 x 300"), marks=pytest.mark.long)],
)
def test_the_sheet_is_legible_and_tells_every_blank(tmp_path: Path, size: str, stock: tuple[str, str]) -> None:
    """Also where blanks are too narrow on it for their numbers, and are more than a page lists."""
    call = ["nest", RIGGING, *stock, "--copies", "60", "--paper", size]
    assert main([*call, "--out", str(tmp_path / "n.pdf")]) == 0
    pages = read_pages((tmp_path / "n.pdf").read_bytes())
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        require_clear_page(page)
        assert page.least_pt >= 9.0
        assert f"Nest, page {number} of {len(pages)}" in page.words
    told = " ".join(page.words for page in pages)
    assert all(f"{number} Rigging knife, rev. B" in told for number in range(1, 61))
