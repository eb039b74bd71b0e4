"""Whatever a file holds, it is read within some seconds and half a gigabyte, or refused by a stated limit."""

from __future__ import annotations

import math
import random
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

import ezdxf
import pytest

SECONDS, BYTES = 15, 700_000_000
"""Of processor time and of memory with the interpreter and its libraries; on a quick idle machine it is 2 s and 500 MB.

The seconds catch work that grows with the square of what is read (30 s, before there were bounds), and no slow machine.
"""

MARKS = "Landmarks(tip=(90.0, 50.0), heel=(60.0, 80.0), handle_front=(30.0, 20.0))"

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">{}</svg>'

ORDER = """number = "S-1"\ncustomer = "the cook"\ndate = 2026-03-01\nnote = "{}"\n
[[requirements]]\nnumber = 1\nconcerns = "blade"\ntext = "{}"\nmet = [{{ check = "looked at", signed = "maker" }}]\n"""


def _dxf(path: Path, points: list[tuple[float, float]]) -> None:
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_lwpolyline([(77.25, 88.5), (1.0, 2.0), (3.0, 4.0)], format="xy", close=True)
    document.saveas(path)
    # The library takes its time for so many.
    head, _, rest = path.read_text(encoding="cp1252").partition(" 10\n77.25\n")
    tail = rest[rest.index("  0\n") :]
    head = head.replace(" 90\n3\n", f" 90\n{len(points)}\n")
    body = "".join(f" 10\n{x:.6f}\n 20\n{y:.6f}\n" for x, y in points)
    path.write_text(f"{head}{body}{tail}", encoding="cp1252")


def _ellipse(count: int) -> list[tuple[float, float]]:
    turns = (2 * math.pi * i / count for i in range(count))
    return [(100 * math.cos(turn), 30 * math.sin(turn)) for turn in turns]


def _scribble(count: int) -> list[tuple[float, float]]:
    rng = random.Random(1)
    return [(rng.uniform(0.0, 200.0), rng.uniform(0.0, 30.0)) for _ in range(count)]


def _classes(path: Path) -> None:
    styles = "".join(f".c{i}{{fill:none}}" for i in range(20_000))
    paths = "".join(f'<path class="c{i}" d="M0 0L10 0L10 10Z"/>' for i in range(20_000))
    path.write_text(SVG.format(f"<style>{styles}</style>{paths}"))


def _implicit(path: Path) -> None:
    path.write_text(SVG.format(f'<path d="M0 0 {" ".join(f"{x} {y}" for x, y in _ellipse(30_000))}Z"/>'))


PREFLIGHT: Final = "from bladegeom import preflight; preflight({name!r}, thickness=3.0)"
OUTLINE: Final = "from bladegeom import Landmarks, outline_from_{kind}; outline_from_{kind}({name!r}, {marks})"

HUGE: Final[dict[str, tuple[str, str, Callable[[Path], object]]]] = {
    "as many points as are read": ("a.dxf", PREFLIGHT, lambda path: _dxf(path, _ellipse(199_000))),
    "more points than are read": ("a.dxf", PREFLIGHT, lambda path: _dxf(path, _ellipse(299_000))),
    "a line that crosses itself everywhere": ("a.dxf", PREFLIGHT, lambda path: _dxf(path, _scribble(3_000))),
    "20,000 classes": ("a.svg", OUTLINE, _classes),
    "path commands that are left out": ("a.svg", OUTLINE, _implicit),
    "an answer of 50,000 letters": (
        "a.toml",
        "from bladegeom import read_order; read_order({name!r})",
        lambda path: path.write_text(ORDER.format("word 12 mm left " * 3_000, "blade 12 mm left " * 3_000)),
    ),
    "a number of 4,000 digits": (
        "a.py",
        "from bladegeom import Design; Design.from_script({name!r})",
        lambda path: path.write_text(f"def design(x: int = {'9' * 4000}):\n    return x\n"),
    ),
    "a million picked points": (
        "a.csv",
        "from bladegeom import points_from_csv; points_from_csv({name!r})",
        lambda path: path.write_text("x,y\n" + "1.5,2.5\n" * 1_000_000),
    ),
}


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_DATA, (BYTES, BYTES))


@pytest.mark.long
@pytest.mark.parametrize("name", HUGE)
def test_it_is_read_or_refused_within_bounds(name: str, tmp_path: Path) -> None:
    file, line, make = HUGE[name]
    make(tmp_path / file)
    kind = file.rpartition(".")[2]
    code = line.format(name=file, kind=kind, marks=MARKS)
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=False, preexec_fn=_limited
    )
    last = (done.stderr.strip().splitlines() or [""])[-1]
    assert done.returncode in (0, 1), (done.returncode, last)
    if done.returncode:
        kinds = ("UnreadableFileError", "ScriptError", "ParameterError", "ExportError", "OrderError")
        assert last.startswith("bladegeom.")
        assert any(each in last for each in kinds), last
