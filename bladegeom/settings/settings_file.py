"""The file that settings stand in: where it lies, and reading it. What is wrong is told with its line."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.toml_table import TomlTable, read_toml
from bladegeom.settings.country_paper import country_of, paper_of
from bladegeom.settings.keys import groups
from bladegeom.settings.read_setting import key_named, read_setting
from bladegeom.settings.settings import Settings
from bladegeom.settings.settings_place import VARIABLE, settings_path

TABLE: Final = "bladegeom"

MOST_BYTES: Final = 1_000_000
"""Settings are shorter; own choice."""


def read_settings(path: str | Path | None = None) -> Settings:
    r"""The settings in a file, or of this machine.

    A paper that the file does not name is that of the locale's country. Nothing of the library reads the machine's file
    by itself; the command line does, and its watch.

    Args:
        path: The file; None takes that of the machine, if there is one.

    Raises:
        UnreadableFileError: It cannot be read, is no TOML, has a key that no setting has, or a value that none can
            have; the line is named.

    >>> path = folder / "settings.toml"
    >>> _ = path.write_text('[bladegeom]\npaper = "Letter"\nshop.process = "laser"\n')
    >>> settings = read_settings(path)
    >>> settings.paper, settings.shop.process.name, settings.source("paper"), settings.source("units")
    ('Letter', 'laser', 'settings file', 'built in')
    """
    found = settings_path() if path is None else path_of("read_settings", path)
    # A file that somebody names must be there; the machine's own need not.
    named = path is not None or VARIABLE in os.environ
    values = _values_in_file(found) if found is not None and (named or found.exists()) else {}
    settings = Settings()
    country = country_of(os.environ)
    if country is not None:
        settings = settings.changed({"paper": paper_of(country)}, "country of the locale")
    return settings.changed(values, "settings file")


def _values_in_file(path: Path) -> dict[str, object]:
    whole = read_toml(path, most_bytes=MOST_BYTES, advice="those are no settings")
    for key in whole.content:
        if key != TABLE:
            raise whole.error(f"{key} stands outside of the table [{TABLE}]: all settings stand in it", key)
    table = whole.table(TABLE)
    return {} if table is None else dict(values_in(table, folder=path.parent))


def values_in(table: TomlTable, *, folder: Path, group: str = "") -> Iterator[tuple[str, object]]:
    """Each setting of a table with its value.

    Args:
        table: Of settings.
        folder: From which names of files are told.
        group: That the table is, such as "shop.tolerances".

    Raises:
        UnreadableFileError: A key that no setting has, or a value that none can have; the line is named.
    """
    for name, written in table.content.items():
        key = f"{group}.{name}" if group else name
        if key in groups():
            inner = table.table(name)
            if inner is not None:
                yield from values_in(inner, folder=folder, group=key)
            continue
        try:
            yield key, read_setting(key_named(key, group), written, folder=folder)
        except BladegeomError as error:
            raise table.error(str(error), name) from error
