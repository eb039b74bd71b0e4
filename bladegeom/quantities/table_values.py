"""Frozen dataclasses from tables whose keys are their fields; a slip is told with its line."""

from __future__ import annotations

import dataclasses
import re
import typing
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from bladegeom.quantities.errors import BladegeomError, UnknownNameError
from bladegeom.quantities.toml_table import TomlTable

T = TypeVar("T")

Convert = Callable[[str, Any, object], object]
"""From a key, the type of its field and the value there: what the field takes. It refuses with a BladegeomError."""


def as_written(key: str, wanted: object, value: object) -> object:  # noqa: ARG001
    """The value itself, for kinds that check what they are given."""
    return value


def value_from_table(
    table: TomlTable,
    kind: type[T],
    told: str,
    *,
    called: Mapping[str, str] | None = None,
    made: Mapping[str, object] | None = None,
    convert: Convert = as_written,
) -> T:
    """A value of a kind.

    Args:
        table: Its keys are the kind's fields.
        kind: A dataclass that refuses what it cannot be.
        told: What the table is called in messages, such as "requirement 3".
        called: What the file calls a field that has another name there: ``"[[bar]]"``, ``"[saw]"`` or ``"feature"``.
        made: Values of fields that are already read, from tables of their own.
        convert: How the other values are read.

    Raises:
        UnreadableFileError: A key that the kind does not know, one that it lacks, or a value that it refuses.
    """
    called, made = called or {}, made or {}
    fields = _fields(kind)
    by_key = {called.get(name, name).strip("[]"): name for name in fields}
    the = "" if any(map(str.isdecimal, told)) else "the "
    for key in table.content:
        if key not in by_key:
            known = [called.get(name, name) for name in fields]
            raise table.error(str(UnknownNameError(f"key of {the}{told}", key, known)), key)
    missing = [
        called.get(name, name) for key, name in by_key.items() if fields[name].needed and key not in table.content
    ]
    if missing:
        raise table.error(f"{told} lacks {', '.join(missing)}")
    values = {
        name: made[name] if name in made else _converted(table, told, key, convert, fields[name].wanted)
        for key, name in by_key.items()
        if key in table.content
    }
    try:
        return kind(**values)
    except BladegeomError as error:
        keys = {name: key for key, name in by_key.items()}
        culprit = _culprit(values, error)
        raise table.error(_with(told, str(error)), *([keys[culprit]] if culprit else [])) from error


@dataclasses.dataclass(frozen=True)
class _Field:
    wanted: Any
    needed: bool


def _converted(table: TomlTable, told: str, key: str, convert: Convert, wanted: object) -> object:
    try:
        return convert(key, wanted, table.content[key])
    except BladegeomError as error:
        message = str(error) if key in str(error) else f"{key}: {error}"
        raise table.error(_with(told, message), key) from error


def _fields(kind: type) -> dict[str, _Field]:
    hints = typing.get_type_hints(kind)
    missing = dataclasses.MISSING
    return {
        field.name: _Field(hints[field.name], field.default is missing and field.default_factory is missing)
        for field in dataclasses.fields(kind)
        if field.init
    }


def _culprit(values: Mapping[str, object], error: BladegeomError) -> str:
    """The field that an error is about: the one that holds the word it names, or else the first that it speaks of."""
    word = error.name if isinstance(error, UnknownNameError) else None
    holds = (name for name, value in values.items() if word is not None and (value == word or word in _listed(value)))
    found = next(holds, None)
    if found is not None:
        return found
    spoken = {name: at.start() for name in values if (at := re.search(rf"\b{name}\b", str(error)))}
    return min(spoken, key=lambda name: spoken[name], default="")


def _listed(value: object) -> list[object]:
    return list(value) if isinstance(value, list | tuple) else []


def _with(told: str, message: str) -> str:
    """A message that says which table it is about, with examples as TOML writes them."""
    written = re.sub(r"(\w+)=\((.*?),?\)(, with its comma)?$", r"\1 = [\2]", message)
    written = re.sub(r"(\w+)=True$", r"\1 = true", written)
    return written if told.partition(",")[0] in written else f"{told}: {written}"
