"""Parametric blade and handle profiles, one to a file.

In a checkout the files lie in ``profiles/`` beside the package; in an installed wheel they lie here. Either way
``from bladegeom.profiles.drop_point import DropPoint`` finds them, and :func:`get` finds them by name.
"""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from pathlib import Path
from typing import Literal

from bladegeom.quantities.errors import UnknownNameError

_BESIDE = Path(__file__).resolve().parents[2] / "profiles"
if (_BESIDE.parent / "pyproject.toml").is_file() and str(_BESIDE) not in __path__:
    __path__.append(str(_BESIDE))

Profile = type
"""A frozen dataclass with the methods of a blade half or of a handle half."""


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


def half(profile: Profile) -> Literal["blade", "handle"]:
    """Which half of a knife a profile draws."""
    return "blade" if hasattr(profile, "blade") else "handle"
