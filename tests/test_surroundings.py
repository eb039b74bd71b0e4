"""What surrounds the program changes nothing of what it makes: optimization, dates, folders, closed streams."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest

from bladegeom.cli import main

ROOT = Path(__file__).resolve().parent.parent

KNIFE = """
import os
from bladegeom import FlatBevel, Grind, Hole, Knife, Plunge, Stock, join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled

{first}

def design(hole_y: float = -14.0) -> Knife:
    {then}
    outline = join_halves(DropPoint(), Swelled())
    grind = Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.3), plunge=Plunge(x=outline.heel[0]))
    holes = (Hole(x=-60.0, y=hole_y, diameter=6.0, purpose="lightening"),)
    return Knife(name="Any", outline=outline, stock=Stock(steel="1084", thickness=3.0), grind=grind, holes=holes)
"""


def script(folder: Path, first: str = "", then: str = "pass") -> None:
    (folder / "knife.py").write_text(KNIFE.format(first=first, then=then))


def run(
    folder: Path, *words: str, python: tuple[str, ...] = (), environment: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *python, "-m", "bladegeom", *words],
        cwd=folder,
        env={**os.environ, **(environment or {})},
        capture_output=True,
        text=True,
        check=False,
    )


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


EXPORT = ("export", "knife.py", "--paper", "A4", "--only=book", "--only=cut", "--only=report", "--out")


@pytest.mark.long
def test_no_surrounding_changes_a_byte(tmp_path: Path) -> None:
    script(tmp_path)
    assert run(tmp_path, *EXPORT, "plain").returncode == 0
    plain = held(tmp_path / "plain")
    assert len(plain) > 3
    seeds = [{"PYTHONHASHSEED": str(seed)} for seed in range(1, 11)]
    others = ({"SOURCE_DATE_EPOCH": "1000000000"}, {"TZ": "Asia/Tokyo"}, {"LC_ALL": "C"}, {"LANG": "de_DE.UTF-8"})
    for i, environment in enumerate((*seeds, *others)):
        assert run(tmp_path, *EXPORT, f"out{i}", environment=environment).returncode == 0
        assert held(tmp_path / f"out{i}") == plain, environment
    assert run(tmp_path, *EXPORT, "optimized", python=("-OO",)).returncode == 0
    assert held(tmp_path / "optimized") == plain


@pytest.mark.long
def test_what_it_says_of_itself_stays_where_docstrings_are_left_out(tmp_path: Path) -> None:
    told = run(tmp_path, "profiles", "paring", python=("-OO",))
    assert told.stdout.splitlines()[0] == "Paring: Paring blade half."
    assert told.stdout == run(tmp_path, "profiles", "paring").stdout


@pytest.mark.parametrize(("first", "then"), [("os.chdir('/')", "pass"), ("", "os.chdir('/')")])
def test_a_script_that_changes_the_folder_does_not_move_what_is_written(tmp_path: Path, first: str, then: str) -> None:
    script(tmp_path, first, then)
    done = run(tmp_path, "export", "knife.py", "--only=report", "--out", "a_folder_of_mine")
    assert done.returncode == 0
    assert (tmp_path / "a_folder_of_mine").is_dir()
    assert not Path("/a_folder_of_mine").exists()


def test_from_within_an_archive_it_says_how_to_install_it(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "all.zip", "w") as archive:
        for name in ("__init__.py", "__init__.pyi", "__main__.py"):
            archive.write(ROOT / "bladegeom" / name, f"bladegeom/{name}")
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    told = (
        "import sys; sys.path.insert(0, 'all.zip'); "
        "sys.meta_path = [m for m in sys.meta_path if 'editable' not in repr(m)]; import bladegeom"
    )
    done = subprocess.run([sys.executable, "-c", told], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.stderr.splitlines()[-1].startswith("ImportError: bladegeom does not run from within an archive")


FULL = Path("/dev/full")


@pytest.mark.skipif(not FULL.exists(), reason="this system has no full device")
def test_the_status_of_a_check_is_that_of_its_findings_whoever_listens(tmp_path: Path) -> None:
    script(tmp_path)
    for hole_y, status, when_full in ((-14.0, 0, 2), (-1.0, 1, 1)):
        words = [sys.executable, "-m", "bladegeom", "check", "knife.py", f"hole_y={hole_y}"]
        with FULL.open("w") as full:
            done = subprocess.run(words, cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
        assert done.returncode == when_full
        assert done.stderr == "bladegeom: what the command says cannot be written (No space left on device)\n"
        with subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as child:
            assert child.stdout is not None
            child.stdout.close()
            assert child.stderr is not None
            assert child.stderr.read() == ""
        assert child.returncode == status


@pytest.mark.skipif(not FULL.exists(), reason="this system has no full device")
@pytest.mark.parametrize("words", [("--version",), ("--help",), ("check", "--help"), ("profiles",)])
@pytest.mark.parametrize("python", [(), ("-u",)])
def test_what_is_said_into_something_full_or_closed_ends_in_a_line_at_most(
    words: tuple[str, ...], python: tuple[str, ...]
) -> None:
    command = [sys.executable, *python, "-m", "bladegeom", *words]
    with FULL.open("w") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.stderr == "bladegeom: what the command says cannot be written (No space left on device)\n"
    assert done.returncode == 2
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w") as pipe:
        done = subprocess.run(command, stdout=pipe, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


UNSAYABLE = "class E({kind}):\n    def __str__(self):\n        raise {inner}\nraise E()\n"


@pytest.mark.parametrize(
    ("source", "told"),
    [
        (UNSAYABLE.format(kind="Exception", inner="ValueError"), "line 4: E, an error of the script's own"),
        (UNSAYABLE.format(kind="BaseException", inner="KeyboardInterrupt"), "line 4: E, an error of the script's own"),
        ("raise KeyboardInterrupt\n", "line 1: KeyboardInterrupt"),
        ("raise GeneratorExit\n", "line 1: GeneratorExit"),
        ("x = " + "(" * 3000 + "1" + ")" * 3000, "too many nested parentheses"),
        # Python's parser gives up by MemoryError on the first, by RecursionError on the second.
        ("x = " + "-" * 200_000 + "1\n", "it nests too deeply for Python"),
        ("x = a" + ".b" * 100_000 + "\n", "it nests too deeply for Python"),
        ("def f():\n    f()\nf()\n", "maximum recursion depth exceeded"),
        ("x = 'a' * 10**14\n", "line 1: MemoryError"),
        ("\0", "null bytes"),
        ("design = 3\n", "defines no design()"),
        ("# coding: nope\n", "knife.py: it is no Python as it stands: unknown encoding"),
        ("async def design(a=1):\n    return a\n", "line 1: design must be a plain function"),
    ],
)
def test_whatever_a_script_does_is_told_in_one_line(
    source: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "knife.py").write_text(source)
    assert main(["check", str(tmp_path / "knife.py")]) == 2
    said = capsys.readouterr().err
    assert told in said
    assert said.count("\n") == 1


def test_a_stop_that_python_wraps_is_a_stop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is raised while a class is made comes out as another error."""
    source = """
import signal
class Field:
    def __set_name__(self, owner, name):
        signal.raise_signal(signal.SIGTERM)
class Knife:
    field = Field()
"""
    (tmp_path / "knife.py").write_text(source)
    assert main(["check", str(tmp_path / "knife.py")]) == 143
    assert capsys.readouterr().err == "bladegeom: stopped\n"
