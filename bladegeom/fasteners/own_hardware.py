"""Hardware of the maker's own, by the names of its files in the stockroom."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from typing import Any, Final

from bladegeom import fasteners
from bladegeom.fasteners.hardware import Hardware
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.stockroom import MOST_BYTES, Stocked, stocked, stocked_as, take
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.toml_table import TomlTable, read_toml
from bladegeom.quantities.units import length

_WORDS: Final = frozenset(["kind", "thread", "metal", "rod", "sleeve", "screws", "head", "fit", "tapped"])
"""Fields whose text is no length."""


def own_hardware(name: str) -> Hardware:
    r"""The hardware of a name, from the stockroom of the settings in force.

    Args:
        name: Of its file, without the ending; case, spaces and hyphens do not matter.

    Raises:
        ParameterError: It is no name, or no stockroom with hardware is in force.
        UnknownNameError: The stockroom has no hardware of that name.
        UnreadableFileError: Its file is wrong; key and line are named.

    >>> from bladegeom import Settings
    >>> (folder / "hardware").mkdir()
    >>> _ = (folder / "hardware" / "thin pin.toml").write_text('kind = "pin"\nrod = "304"\ndiameter = "3/16 in"\n')
    >>> with Settings(stockroom=folder).in_force():
    ...     own_hardware("thin pin").kind
    'glued pin'
    """
    checked("own_hardware: name", name, str)
    if not (known := stocked("hardware")):
        must = "lie in the folder hardware of your stockroom: set stockroom in your settings"
        raise ParameterError("own_hardware: name", repr(name), f"{must}, or put them in force")
    if (file := stocked_as(name, "hardware")) is None:
        raise UnknownNameError("hardware of your own", name, (each.name for each in known))
    return read_hardware(take(file))


def read_hardware(file: Stocked) -> Hardware:
    """What the file of a piece of hardware says.

    Raises:
        UnreadableFileError: It cannot be read, or says what no hardware can have; key and line are named.
    """
    whole = read_toml(file.path, most_bytes=MOST_BYTES, advice="that is no hardware")
    kind, kinds = whole.content.get("kind"), _kinds()
    if not isinstance(kind, str) or kind not in kinds:
        said = f"kind is {kind!r}" if "kind" in whole.content else "hardware lacks kind"
        raise whole.error(f"{said}; it must be one of {', '.join(kinds)}", "kind")
    rest = {key: value for key, value in whole.content.items() if key != "kind"}
    return value_from_table(TomlTable(whole.file, rest), kinds[kind], kind, convert=_value)


def _kinds() -> dict[str, type[Hardware]]:
    """What a file may say of its kind, and what it then is: a class by the words of its name, "shouldered bolt"."""
    for module in pkgutil.walk_packages(fasteners.__path__, f"{fasteners.__name__}."):
        importlib.import_module(module.name)
    named = {re.sub(r"(?<=[a-z])(?=[A-Z])", " ", kind.__name__).lower(): kind for kind in _concrete(Hardware)}
    return dict(sorted(named.items()))


def _concrete(kind: Any) -> Iterator[type[Hardware]]:
    """The kinds that come with the library."""
    for each in kind.__subclasses__():
        if each.__module__.startswith(f"{fasteners.__name__}.") and not inspect.isabstract(each):
            yield each
        yield from _concrete(each)


def _value(key: str, wanted: Any, value: object) -> object:  # noqa: ARG001
    """A length may be a text with its unit; a hole is the name of a drill."""
    is_length = isinstance(value, str) and key not in _WORDS and not key.endswith("_hole")
    return length(str(value)) if is_length else value
