"""Who may import whom: from the own layer and those above it, and heavy libraries only where they belong."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

LAYERS = (
    "quantities",
    "curves",
    "outline",
    "importers",
    "drawing",
    "knife",
    "settings",
    "solids",
    "grinding",
    "marking",
    "holes",
    "bending",
    "fasteners",
    "handle",
    "mass",
    "meshes",
    "breps",
    "mockups",
    "placing",
    "drilling",
    "cutfile",
    "checks",
    "balance",
    "findings",
    "order",
    "workshop",
    "signoff",
    "price",
    "nesting",
    "studies",
    "agreement",
    "design",
    "pictures",
    "sheets",
    "book",
    "writers",
    "commands",
    "watch",
    "cli",
)
"""From the top down; a module knows its own and those before it."""

GEOMETRY = {"numpy", "shapely"}
THIRD_PARTY = {
    **dict.fromkeys(LAYERS, GEOMETRY),
    "quantities": set(),
    "commands": {*GEOMETRY, "jinja2"},
    "cli": set(),
    "mockups": {*GEOMETRY, "manifold3d"},
    "profiles": set(),
    "importers": {*GEOMETRY, "ezdxf"},
    "cutfile": {*GEOMETRY, "ezdxf"},
    "meshes": {*GEOMETRY, "manifold3d"},
    "agreement": {*GEOMETRY, "lazy_loader"},
    "breps": {*GEOMETRY, "OCP"},
    "writers": {*GEOMETRY, "OCP", "svgwrite", "reportlab", "jinja2", "markupsafe", "lazy_loader"},
    "watch": {*GEOMETRY, "starlette", "uvicorn", "watchfiles"},
    "": {"lazy_loader"},
}
"""What else a layer may import: few know a file format."""

TEST_ONLY = {"scipy", "trimesh", "lib3mf", "networkx", "lxml"}

MODULES = sorted([*ROOT.glob("bladegeom/**/*.py"), *ROOT.glob("profiles/*.py")])


def layer_of(path: Path) -> str:
    parts = path.relative_to(ROOT).parts
    return "profiles" if parts[0] == "profiles" else parts[1] if len(parts) > 2 else ""


@cache
def imports(path: Path) -> tuple[tuple[ast.stmt, str], ...]:
    """Each import statement with the module that it names, in full."""
    return tuple(_imports(path))


def _imports(path: Path) -> Iterator[tuple[ast.stmt, str]]:
    package = path.relative_to(ROOT).with_suffix("").parts[:-1]
    for node in _without_pictures(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node, alias.name
        elif isinstance(node, ast.ImportFrom):
            start = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(part for part in (start, node.module) if part)
            if module == "bladegeom":
                # "from bladegeom import x": x may be a layer.
                for alias in node.names:
                    yield node, f"bladegeom.{alias.name}"
            else:
                yield node, module


SHOWN = ("_repr_svg_", "_repr_html_")
PICTURES = "bladegeom.writers.notebook"
"""What a value shows itself with where a notebook calls these: the one import that looks down, and only when called."""


def _without_pictures(tree: ast.Module) -> Iterator[ast.AST]:
    """All statements, but for the import of that module in a method that notebooks call."""
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.name in SHOWN)
    asked = {
        line for call in calls for line in call.body if isinstance(line, ast.ImportFrom) and line.module == PICTURES
    }
    yield from (node for node in ast.walk(tree) if node not in asked)


def allowed(path: Path, module: str) -> bool:
    layer, (top, *rest) = layer_of(path), module.split(".")
    if top in sys.stdlib_module_names:
        return True
    if top != "bladegeom":
        return top in THIRD_PARTY[layer]
    wanted = rest[0] if rest else ""
    if path.name == "__main__.py":
        return wanted == "cli"
    if layer == "profiles":
        return wanted in {"curves", "outline", "quantities", "profiles"}
    if wanted == "profiles":
        # Whoever may import shapes may import profiles; only what stands over all drawings does.
        return layer in {"design", "commands", "cli", "profiles"}
    return wanted in LAYERS and layer in LAYERS and LAYERS.index(wanted) <= LAYERS.index(layer)


def named(wrong: Iterable[tuple[Path, str]]) -> list[str]:
    """Modules with what they import and must not."""
    return [f"{path.relative_to(ROOT)}: {module}" for path, module in wrong]


def test_imports_come_from_own_layer_or_above() -> None:
    assert {layer_of(path) for path in MODULES} <= {*LAYERS, "profiles", ""}
    assert named((path, module) for path in MODULES for _, module in imports(path) if not allowed(path, module)) == []


def test_libraries_for_tests_stay_out() -> None:
    found = ((path, module) for path in MODULES for _, module in imports(path) if module.split(".")[0] in TEST_ONLY)
    assert named(found) == []


OF_ONE_SYSTEM = {"fcntl", "msvcrt"}
"""Modules that Python has on one system only."""


def test_imports_stand_at_the_top() -> None:
    """Except in the command line, which imports what a command needs when it runs, and of what not every system has.

    The program's door must be able to say that it was stopped while it imports the command line.
    """
    found = (
        (path, module)
        for path in MODULES
        if layer_of(path) != "cli" and path.name != "__main__.py"
        for statement, module in imports(path)
        if statement.col_offset and module not in OF_ONE_SYSTEM
    )
    assert named(found) == []


def test_there_are_modules_in_every_layer() -> None:
    found = {layer_of(path) for path in MODULES}
    assert found >= {*LAYERS, "profiles", ""}


@pytest.mark.parametrize(
    ("place", "text", "fine"),
    [
        ("curves/x.py", "from bladegeom.outline.outline import Outline", False),
        ("curves/x.py", "from ..outline import outline", False),
        ("curves/x.py", "from bladegeom import writers", False),
        ("curves/x.py", "import bladegeom.drawing.sheet", False),
        ("curves/x.py", "import scipy.optimize", False),
        ("curves/x.py", "import ezdxf", False),
        ("sheets/x.py", "from bladegeom.writers import svg", False),
        ("curves/x.py", "from bladegeom.quantities.units import inch", True),
        ("curves/x.py", "from . import build", True),
        ("cutfile/x.py", "import ezdxf, math", True),
    ],
)
def test_the_rule_itself_tells_right_from_wrong(place: str, text: str, fine: bool, tmp_path: Path) -> None:  # noqa: FBT001
    path = tmp_path / "bladegeom" / place
    path.parent.mkdir(parents=True)
    path.write_text(text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys.modules[__name__], "ROOT", tmp_path)
        assert all(allowed(path, module) for _, module in imports(path)) == fine
