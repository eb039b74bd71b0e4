"""What this program made is replaced by it; what somebody else made is not, unless that is asked for."""

from __future__ import annotations

import shutil
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from bladegeom.cli import main
from bladegeom.quantities.file_errors import ExportError
from bladegeom.writers.files import write_all
from bladegeom.writers.ownership import MARK, writing_over

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"

WRITING = {
    "export": ("export", "knife.py", "--paper", "A4", "--only=template", "--only=cut", "--only=proof", "--only=report"),
    "book": ("book", "knife.py", "--paper", "A4"),
    "job card": ("export", "knife.py", "--paper", "A4", "--only", "job_card"),
    "picture": ("picture", "knife.py", "--width", "300", "--out", "out/picture.png"),
    "solid": ("solid", "knife.py", "--format", "3mf", "--format", "stl", "--format", "glb"),
    "mockup": ("mockup", "knife.py"),
    "turn": ("turn", "knife.py", "--out", "out/turn.html"),
    "nest": ("nest", "knife.py", "--bar", "50 x 1000", "--out", "out/nest.pdf"),
    "nest, drawing": ("nest", "knife.py", "--bar", "50 x 1000", "--out", "out/nest.svg"),
    "agree": ("agree", "knife.py", "--paper", "A4"),
    "profiles": ("profiles", "--html", "out/profiles.html"),
    "plot": ("sweep", "knife.py", "thickness=3,3.2", "--jobs", "1", "--plot", "out/plot.svg"),
}  # fmt: skip


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(EXAMPLES / "galley_petty.py", tmp_path / "knife.py")
    shutil.copy(EXAMPLES / "galley_petty.order.toml", tmp_path / "knife.order.toml")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(words: tuple[str, ...], *more: str) -> int:
    return main(
        [*words, *(() if "--out" in words or "--html" in words or "--plot" in words else ("--out", "out")), *more]
    )


def made(folder: Path) -> Iterator[Path]:
    return (path for path in sorted(folder.rglob("*")) if path.is_file())


@pytest.mark.long
@pytest.mark.parametrize("name", WRITING)
def test_every_file_that_is_written_is_known_again(name: str, home: Path) -> None:
    (home / "out").mkdir()
    run(WRITING[name])
    files = list(made(home / "out"))
    assert files
    for path in files:
        assert MARK in path.read_bytes(), path.name
    before = {path: path.read_bytes() for path in files}
    assert run(WRITING[name]) in (0, 1)
    assert {path: path.read_bytes() for path in made(home / "out")} == before


@pytest.mark.long
@pytest.mark.parametrize("name", ["export", "picture", "turn", "nest", "plot"])
def test_what_somebody_else_made_is_left_alone(name: str, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (home / "out").mkdir()
    run(WRITING[name])
    for path in made(home / "out"):
        ours = path.read_bytes()
        foreign = ours.replace(MARK, b"otherones")
        path.write_bytes(foreign)
        capsys.readouterr()
        assert run(WRITING[name]) == 2
        said = capsys.readouterr().err
        assert f"{path.relative_to(home)} was not made by this program" in said
        assert "--force" in said
        assert path.read_bytes() == foreign
        if name != "plot":
            assert run(WRITING[name], "--force") in (0, 1)
            assert path.read_bytes() == ours
        path.write_bytes(ours)


@pytest.mark.parametrize(
    ("name", "there", "new"),
    [
        (
            "a.svg",
            b'<svg inkscape:export-filename="/home/me/bladegeom/handle.png" id="bladegeom"/>',
            b"<svg><desc>made by bladegeom</desc></svg>",
        ),
        (
            "a.pdf",
            b"%PDF-1.4 /Title (how to use bladegeom) /Creator (a text program)",
            b"%PDF-1.4 /Creator (bladegeom)",
        ),
        ("a.dxf", b"999\nC:\\bladegeom\\part.dxf\n0\nSECTION\n", b"999\nmade by bladegeom\n0\nSECTION\n"),
        ("a.html", b"<!doctype html><p>bladegeom", b'<!doctype html><meta name="generator" content="bladegeom">'),
        ("a.json", b'{"tool": "bladegeom"}', b'{\n  "format": "bladegeom-report"}'),
        ("a.txt", b"Try bladegeom report again on Monday.\n", b"  9 others are built in: bladegeom settings\n"),
        ("a.stl", b"a solid\0 of bladegeom, mm: mine", b"bladegeom, mm: blade\0"),
    ],
)
def test_a_file_that_only_names_the_program_is_its_maker_s(tmp_path: Path, name: str, there: bytes, new: bytes) -> None:
    """Drawing programs write the path of a drawing into it, and notes tell of what they were taken with."""
    (tmp_path / name).write_bytes(there)
    with pytest.raises(ExportError, match="was not made by this program"):
        write_all(tmp_path, {name: new})
    assert (tmp_path / name).read_bytes() == there
    with writing_over():
        write_all(tmp_path, {name: new})
    # What was written is known again.
    write_all(tmp_path, {name: new})
    assert (tmp_path / name).read_bytes() == new


def test_an_empty_file_is_nobody_s(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"")
    write_all(tmp_path, {"a.txt": b"made by bladegeom"})
    assert (tmp_path / "a.txt").read_bytes() == b"made by bladegeom"


def test_a_device_is_never_written_over(tmp_path: Path) -> None:
    with writing_over(), pytest.raises(ExportError, match="is a device, which is never written over"):
        write_all(Path("/dev"), {"null": b"made by bladegeom"})
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)
    (tmp_path / "a.svg").write_bytes(b"<svg>foreign</svg>")
    with writing_over():
        write_all(tmp_path, {"a.svg": b"<svg>made by bladegeom</svg>"})
    with pytest.raises(ExportError, match=r"holds a drawing \(SVG\), not a PDF"), writing_over():
        write_all(tmp_path, {"a.svg": b"%PDF-1.4 bladegeom"})


def test_a_table_of_somebody_else_is_no_table_of_a_sweep(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sweep = ("sweep", "knife.py", "thickness=2,2.2", "--jobs", "1", "--out", "sweep.csv")
    for foreign in (b"thick", b"a,b\n1,2\n", b"thickness"):
        (home / "sweep.csv").write_bytes(foreign)
        assert main(list(sweep)) == 2
        assert "sweep.csv" in capsys.readouterr().err
        assert (home / "sweep.csv").read_bytes() == foreign
        (home / "sweep.csv").unlink()
        assert not (home / "sweep.csv.part").exists()
    (home / "sweep.csv.part").write_bytes(b"my notes")
    assert main(list(sweep)) == 2
    assert (home / "sweep.csv.part").read_bytes() == b"my notes"


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (
            ("export", "knife.py", "--paper", "A4", "--only=template", "--out", "."),
            "galley-petty_rev-A_template_A4.svg",
        ),
        (("export", "knife.py", "--only=report", "--out", "."), "galley-petty_rev-A_report.txt"),
        (("nest", "knife.py", "--bar", "50 x 1000", "--out", "line.svg"), "line.svg"),
        (("turn", "knife.py", "--out", "line.html"), "line.html"),
        (("sweep", "knife.py", "thickness=2,2.2", "--jobs", "1", "--out", "line.csv"), "line.csv"),
    ],
)
def test_what_a_design_is_read_from_is_not_written_over(
    words: tuple[str, ...], name: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Though it carries our mark: a page of an export, worked on by hand."""
    reads = "from bladegeom.quantities.text_file import read_text\n"
    source = (home / "knife.py").read_text()
    head, found, rest = source.partition("from bladegeom import")
    (home / "knife.py").write_text(f"{head}{reads}{found}{rest}\n\nread_text('{name}', most_bytes=999, advice='')\n")
    kind = b"<!doctype html>" if name.endswith("html") else b"<svg>" if name.endswith("svg") else b""
    (home / name).write_bytes(before := kind + b"bladegeom, and two hours of work")
    assert main(list(words)) == 2
    assert f"{name} is what this command reads, and is not written over" in capsys.readouterr().err
    assert (home / name).read_bytes() == before
