"""The settings of a shop in words, and a file to start from."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from operator import attrgetter
from pathlib import Path
from typing import Final

from bladegeom.quantities.errors import UnknownNameError
from bladegeom.settings.keys import Key, groups, keys
from bladegeom.settings.settings import Settings
from bladegeom.settings.settings_file import TABLE
from bladegeom.settings.toml_words import toml_words
from bladegeom.settings.value_words import plain_value, value_words

_WIDE: Final = 110
"""Letters in a line."""

_LEFT_OUT: Final = ("hole_rules", "handle_rules", "shop.tolerances")
"""Tables that are told in one line each where all settings are told."""


def settings_words(settings: Settings, name: str | None = None) -> str:
    """Settings with their values, where these come from, what they mean and may be.

    Args:
        settings: Of a shop.
        name: A setting, a table of them, or the last word of either; None tells all.

    Raises:
        UnknownNameError: No setting is called so.

    >>> print(settings_words(Settings(), "units"))
    units  mm  [built in]
        Which is told first wherever a length is told in both.
        May be: 'mm' or 'inch'
    """
    if name is not None:
        return "\n".join(line for key in _named(name) for line in _lines(settings, key))
    told = [line for key in keys().values() if key.group not in _LEFT_OUT for line in _lines(settings, key)]
    return "\n".join([*told, *(_table_line(settings, group) for group in _LEFT_OUT)])


def starter_settings() -> str:
    """A settings file to start from, as TOML: every key is there, with its meaning, and none of them holds yet.

    >>> starter_settings().splitlines()[0]
    '# Settings of a shop, to start from. Take away the # before a key to set it.'
    """
    usual, out = Settings(), [*_HEAD]
    for group in ("", *groups()):
        table = ".".join(filter(None, (TABLE, group)))
        out += ["", f"[{table}]"]
        for key in (key for key in keys().values() if key.group == group):
            out += ["", *textwrap.wrap(_meaning(key), _WIDE, initial_indent="# ", subsequent_indent="# ")]
            word = key.name.rpartition(".")[2]
            written = plain_value(attrgetter(key.name)(usual))
            invented = "  # invented" if written is None else ""
            out.append(f"# {word} = {toml_words(_EXAMPLES[key.name] if written is None else written)}{invented}")
    return "\n".join(out) + "\n"


_HEAD: Final = (
    "# Settings of a shop, to start from. Take away the # before a key to set it.",
    "# Values are those that are built in; where there is none, the value is INVENTED and says so: put in your own.",
    "# A script that says something itself goes before this file, an option of the command line before both.",
    "# Lengths are mm; texts such as '5/32 in' are read too.",
)

_EXAMPLES: Final = {
    "printer": "99.6 x 100.2",
    "hand_breadth": 85.0,
    "price_list": "prices.toml",
    "stockroom": "stockroom",
    "maker": "the ship's smith",
    "hole_rules.edge_table": "EN 1993-1-8",
    "shop.lightening_sizes": ["fractional"],
}
"""Of what has no value built in; invented."""


def _named(name: str) -> list[Key]:
    found = [key for key in keys().values() if name in (key.name, key.group) or key.name.endswith(f".{name}")]
    found = found or [key for key in keys().values() if key.group.endswith(f".{name}")]
    if not found:
        raise UnknownNameError("setting", name, {*keys(), *groups()})
    return found


def _lines(settings: Settings, key: Key) -> Iterator[str]:
    value = value_words(key, plain_value(attrgetter(key.name)(settings)))
    yield f"{key.name}  {value}  [{settings.source(key.name)}]"
    for line in (key.meaning, _may_be(key)):
        yield from textwrap.wrap(line, _WIDE, initial_indent="    ", subsequent_indent="    ")


def _meaning(key: Key) -> str:
    return f"{key.meaning} {_may_be(key)}"


def _may_be(key: Key) -> str:
    return f"May be: {key.allowed}{'; or none' if key.may_be_none else ''}"


def _table_line(settings: Settings, group: str) -> str:
    inside = [key.name for key in keys().values() if key.group == group]
    own = [name.rpartition(".")[2] for name in inside if settings.source(name) != "built in"]
    told = f"{', '.join(own)} set, the others built in" if own else "all built in"
    return f"{group}  {len(inside)} settings, {told}: bladegeom settings {group}"


def place_words(path: Path | None) -> str:
    """Where the settings file lies, and whether there is one."""
    if path is None:
        return "no settings file is read"
    if path.exists():
        return f"settings file: {path}"
    return f"settings file: {path}, which does not exist; 'bladegeom settings --starter FILE' writes one to start from"
