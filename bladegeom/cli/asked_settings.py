"""The settings that hold for a command: those of the machine, and over them what the command line says."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.toml_table import value_written
from bladegeom.settings.read_setting import key_named, read_setting
from bladegeom.settings.settings import Settings
from bladegeom.settings.settings_file import read_settings

_OPTIONS: Final = {"printer": "printer", "prices": "price_list", "maker": "maker"}
"""Options that are one setting each."""


def asked_settings(options: argparse.Namespace) -> Settings:
    """The settings of the machine, and over them what the options say.

    Raises:
        UnreadableFileError: The settings file cannot be read, or says what no setting can say.
        ParameterError: An option does.
        UnknownNameError: No such setting, paper, drill or process.
    """
    return read_settings().changed(asked_values(options), "option")


def asked_values(options: argparse.Namespace) -> dict[str, object]:
    """What the options say of settings, by key.

    Raises:
        ParameterError: An option says what no setting can say.
        UnknownNameError: No such setting, paper, drill or process.
    """
    values: dict[str, object] = {}
    for name, key in _OPTIONS.items():
        written = getattr(options, name, None)
        if written is not None:
            values[key] = _read(f"--{name}", key, str(written))
    for text in options.setting:
        key, separator, written = (part.strip() for part in text.partition("="))
        if not separator:
            raise ParameterError("--setting", repr(text), "be written KEY=VALUE, such as paper=Letter")
        values[key] = _read(f"--setting {key}", key, value_written(written))
    return values


def _read(option: str, key: str, written: object) -> object:
    try:
        return read_setting(key_named(key), written, folder=Path())
    except ParameterError as error:
        raise ParameterError(option, error.value, error.must, shown=repr(written)) from error
