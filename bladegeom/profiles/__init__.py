"""Parametric blade and handle profiles, one to a file.

In a checkout the files lie in ``profiles/`` beside the package; in an installed wheel they lie here. Either way
``from bladegeom.profiles.drop_point import DropPoint`` finds them, and :func:`get` finds them by name. Profiles of the
maker's own lie in the stockroom of the settings in force; :func:`get` finds these too.
"""

from __future__ import annotations

import ast
import contextlib
import dataclasses
import hashlib
import importlib
import importlib.util
import os
import pkgutil
import sys
import traceback
import types
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from bladegeom.quantities.errors import BladegeomError, UnknownNameError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.own_python import NO_PYTHON, is_stop, line_in, no_python, words_of
from bladegeom.quantities.stockroom import MOST_BYTES, Stocked, stocked, take
from bladegeom.quantities.text_file import bounded_bytes

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
        own: Whether it is the maker's own, from the stockroom.
    """

    name: str
    half: Half
    words: str
    own: bool = False


def listed() -> tuple[Listed, ...]:
    """All profiles in alphabetical order, read from their files without running any: a list comes at once.

    >>> first = listed()[0]
    >>> first.name, first.half, first.words[:19]
    ('birds_head', 'handle', "Bird's-head handle:")
    """
    folders = [Path(folder) for folder in __path__]
    own = {_key(file.name): file for file in stocked("profiles")}
    built_in = {name: next(path for f in folders if (path := f / f"{name}.py").is_file()) for name in _built_in()}
    told = [_listed(name, ast.parse(path.read_bytes())) for name, path in built_in.items()]
    for name, file in own.items():
        # What is wrong with a file is told where it is asked for, and by the settings.
        with contextlib.suppress(*NO_PYTHON):
            if name not in built_in:
                told.append(_listed(name, ast.parse(_source(file)), own=True))
    return tuple(sorted(told, key=lambda each: each.name))


def _listed(name: str, tree: ast.Module, *, own: bool = False) -> Listed:
    inside = (node for statement in tree.body if isinstance(statement, ast.ClassDef) for node in statement.body)
    is_handle = any(isinstance(node, ast.FunctionDef) and node.name == "handle" for node in inside)
    words = (ast.get_docstring(tree) or "").partition("\n")[0]
    return Listed(name=name, half="handle" if is_handle else "blade", words=words, own=own)


def names() -> tuple[str, ...]:
    """Names of all profiles, in alphabetical order."""
    return tuple(sorted({*_built_in(), *(_key(file.name) for file in stocked("profiles"))}))


def _built_in() -> tuple[str, ...]:
    return tuple(sorted(m.name for m in pkgutil.iter_modules(__path__) if not m.name.startswith("_")))


def get(name: str) -> Profile:
    """The profile class of a name such as 'drop_point' or 'drop point'.

    Raises:
        UnknownNameError: No such profile; the nearest names are suggested.
        UnreadableFileError: It is the maker's own, and its file is wrong or has the name of what is built in.
    """
    key = _key(name)
    if file := next((file for file in stocked("profiles") if _key(file.name) == key), None):
        return own_profile(file)
    if key not in _built_in():
        raise UnknownNameError("profile", name, names())
    (found,) = _profiles_in(importlib.import_module(f"{__name__}.{key}"))
    return found


def own_profile(file: Stocked) -> Profile:
    """The profile in a file of the maker's own.

    Raises:
        UnreadableFileError: It fails, holds not one profile, or has the name of what is built in.
    """
    if _key(file.name) in _built_in():
        file.refuse_hiding(_key(file.name))
    # The path tells stockrooms apart that hold files of the same name.
    place = hashlib.sha256(os.path.realpath(file.path).encode()).hexdigest()[:12]
    called = f"bladegeom_stockroom_{place}_{_key(file.name)}"
    source = _source(file)
    fitting = _run(file, source, called)
    if len(fitting) != 1:
        reason = f"it holds {len(fitting)} dataclasses of its own; write one, with a blade() or a handle()"
        raise UnreadableFileError(str(file.path), reason)
    if not (hasattr(fitting[0], "blade") or hasattr(fitting[0], "handle")):
        reason = f"{fitting[0].__name__} draws no half of a knife; write it a blade() or a handle()"
        raise UnreadableFileError(str(file.path), reason)
    if _listed(file.name, ast.parse(source)).half != half(fitting[0]):
        # A list is told without running the file.
        raise UnreadableFileError(str(file.path), "its class must write handle() itself, and not take it from another")
    take(file)
    return fitting[0]


def _run(file: Stocked, source: bytes, called: str) -> list[Profile]:
    """The profiles that a file defines as a module of a name; whatever it raises is told with its own line."""
    try:
        code = compile(source, str(file.path), "exec", dont_inherit=True)
    except NO_PYTHON as error:
        raise UnreadableFileError(str(file.path), no_python(error), line_in(error)) from error
    module = types.ModuleType(called)
    module.__file__ = str(file.path)
    # Dataclasses look their module up there.
    sys.modules[called] = module
    try:
        exec(code, vars(module))
        return _profiles_in(module)
    except BaseException as error:
        del sys.modules[called]
        if isinstance(error, UnreadableFileError) or is_stop(error):
            raise
        lines = [at.lineno for at in traceback.extract_tb(error.__traceback__) if at.filename == str(file.path)]
        raise UnreadableFileError(str(file.path), _told(error), lines[-1] if lines else None) from error


def _source(file: Stocked) -> bytes:
    return bounded_bytes(file.path, most_bytes=MOST_BYTES, advice="that is no profile")


def _told(error: BaseException) -> str:
    words, kind = words_of(error), type(error).__name__
    if words is None:
        return f"{kind}, an error of its own that cannot be put into words"
    return words if isinstance(error, BladegeomError) else f"{kind}: {words}".removesuffix(": ")


def _key(name: str) -> str:
    plain = name.strip().lower().replace(" ", "_").replace("-", "_")
    return plain.replace("'", "").replace("\N{RIGHT SINGLE QUOTATION MARK}", "")


def _profiles_in(module: types.ModuleType) -> list[Profile]:
    """Dataclasses that a module defines itself, without those that it keeps to itself."""
    return [
        value
        for value in vars(module).values()
        if isinstance(value, type)
        and dataclasses.is_dataclass(value)
        and value.__module__ == module.__name__
        and not value.__name__.startswith("_")
    ]


def half(profile: Profile) -> Half:
    """Which half of a knife a profile draws."""
    return "blade" if hasattr(profile, "blade") else "handle"


def name_of(profile: Profile) -> str:
    """The name by which :func:`get` finds a profile."""
    module = profile.__module__
    return module.rpartition(".")[2] if module.startswith(__name__) else module.split("_", 3)[3]


def import_line(profile: Profile) -> str:
    """What a script writes to have a profile.

    >>> import_line(get("petty"))
    'from bladegeom.profiles.petty import Petty'
    """
    if profile.__module__.startswith(__name__):
        return f"from {profile.__module__} import {profile.__name__}"
    return f'{profile.__name__} = profiles.get("{name_of(profile)}")'
