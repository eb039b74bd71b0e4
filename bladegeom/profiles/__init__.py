"""Parametric blade and handle profiles, one to a file.

In a checkout the files lie in ``profiles/`` beside the package; in an installed wheel they lie here. Either way
``from bladegeom.profiles.drop_point import DropPoint`` finds them, and :func:`get` finds them by name.
"""

from __future__ import annotations

import ast
import dataclasses
import importlib
import pkgutil
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from bladegeom.quantities.errors import UnknownNameError

_BESIDE = Path(__file__).resolve().parents[2] / "profiles"
if (_BESIDE.parent / "pyproject.toml").is_file() and str(_BESIDE) not in __path__:
    __path__.append(str(_BESIDE))

Profile = type
"""A frozen dataclass with the methods of a blade half or of a handle half."""

Half = Literal["blade", "handle"]


@dataclass(frozen=True)
class Listed:
    """A profile as its file says.

    Args:
        name: Such as "drop_point".
        half: Which half of a knife it draws.
        words: What it is, in one sentence: the first line of the file.
    """

    name: str
    half: Half
    words: str


def listed() -> tuple[Listed, ...]:
    """All profiles in alphabetical order, read from their files without running any: a list comes at once.

    >>> first = listed()[0]
    >>> first.name, first.half, first.words[:19]
    ('birds_head', 'handle', "Bird's-head handle:")
    """
    folders = [Path(folder) for folder in __path__]
    return tuple(_listed(next(path for f in folders if (path := f / f"{name}.py").is_file())) for name in names())


def _listed(path: Path) -> Listed:
    tree = ast.parse(path.read_bytes())
    inside = (node for statement in tree.body if isinstance(statement, ast.ClassDef) for node in statement.body)
    is_handle = any(isinstance(node, ast.FunctionDef) and node.name == "handle" for node in inside)
    words = (ast.get_docstring(tree) or "").partition("\n")[0]
    return Listed(name=path.stem, half="handle" if is_handle else "blade", words=words)


def names() -> tuple[str, ...]:
    """Names of all profiles, in alphabetical order."""
    return tuple(sorted(m.name for m in pkgutil.iter_modules(__path__) if not m.name.startswith("_")))


def get(name: str) -> Profile:
    """The profile class of a name such as 'drop_point' or 'drop point'.

    Raises:
        UnknownNameError: No such profile; the nearest names are suggested.
    """
    key = (
        name.strip()
        .lower()
        .replace(" ", "_")
        .replace("-", "_")
        .replace("'", "")
        .replace("\N{RIGHT SINGLE QUOTATION MARK}", "")
    )
    if key not in names():
        raise UnknownNameError("profile", name, names())
    module = importlib.import_module(f"{__name__}.{key}")
    (found,) = (
        value
        for value in vars(module).values()
        if isinstance(value, type) and dataclasses.is_dataclass(value) and value.__module__ == module.__name__
    )
    return found


def half(profile: Profile) -> Half:
    """Which half of a knife a profile draws."""
    return "blade" if hasattr(profile, "blade") else "handle"
