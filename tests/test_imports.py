"""What each command imports: the library of a file format only where it reads or writes such a file."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from bladegeom import profiles

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "examples"

PETTY = str(EXAMPLES / "galley_petty.py")
CUT = str(next((ROOT / "exports" / "galley_petty").glob("*_cut_steel_*.dxf")))

GEOMETRY = {"numpy", "shapely"}
PDF = {"reportlab", "PIL"}
"""The library of PDF asks for pictures itself."""

WATCHED = sorted({*GEOMETRY, *PDF, "svgwrite", "jinja2", "ezdxf", "scipy", "manifold3d"})

PROGRAM = f"""
import contextlib, io, json, sys
from bladegeom.cli import main
with contextlib.redirect_stdout(io.StringIO()):
    status = main(sys.argv[1:])
print(json.dumps([status, sorted(set({WATCHED!r}) & set(sys.modules))]))
"""

COMMANDS: dict[str, tuple[list[str], set[str]]] = {
    "profiles": (["profiles"], set()),
    "one profile": (["profiles", "petty"], {"numpy"}),
    "new": (["new", "fresh.py"], {"numpy", "jinja2"}),
    "check": (["check", PETTY], GEOMETRY),
    "report": (["report", PETTY], GEOMETRY),
    "report as JSON": (["report", PETTY, "--json"], GEOMETRY),
    "order": (["order", PETTY], GEOMETRY),
    "quote": (["quote", PETTY, "--prices", str(EXAMPLES / "prices.toml")], GEOMETRY),
    "sweep": (["sweep", PETTY, "thickness=2", "--jobs", "1", "--out", "sweep.csv"], GEOMETRY),
    "differ": (["differ", PETTY, "thickness=2.2"], GEOMETRY),
    "nest": (["nest", PETTY, "--bar", "60 x 1000"], GEOMETRY),
    "preflight": (["preflight", CUT], GEOMETRY | {"ezdxf"}),
    "solid": (["solid", PETTY, "--out", "solids"], {*GEOMETRY, "manifold3d"}),
    "mockup": (["mockup", PETTY, "--out", "mockup"], {*GEOMETRY, "manifold3d"}),
    "book": (["book", PETTY, "--paper", "A4", "--out", "book"], {*GEOMETRY, "svgwrite", "jinja2", *PDF}),
    "turn": (["turn", PETTY, "--out", "page.html"], {*GEOMETRY, "svgwrite", "jinja2", "manifold3d"}),
    "agree": (
        ["agree", PETTY, "--paper", "A4", "--out", "agreed"],
        {*GEOMETRY, "svgwrite", "jinja2", "manifold3d", *PDF},
    ),
    "picture": (["picture", PETTY, "--width", "400", "--out", "petty.png"], {*GEOMETRY, "manifold3d"}),
    "sheet of a nest": (["nest", PETTY, "--bar", "60 x 1000", "--out", "nest.svg"], {*GEOMETRY, "svgwrite"}),
}
"""A command, and what of the watched libraries it may import."""


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_imports_no_library_that_it_has_no_use_for(name: str, tmp_path: Path) -> None:
    arguments, needed = COMMANDS[name]
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, *arguments], cwd=tmp_path, check=True, capture_output=True, text=True
    )
    status, imported = json.loads(done.stdout)
    assert status in (0, 1)
    assert set(imported) == needed


def test_the_list_of_profiles_tells_what_the_profiles_are() -> None:
    assert [each.name for each in profiles.listed()] == list(profiles.names())
    for each in profiles.listed():
        profile = profiles.get(each.name)
        assert each.half == profiles.half(profile), each.name
        assert each.words == (sys.modules[profile.__module__].__doc__ or "").splitlines()[0], each.name
