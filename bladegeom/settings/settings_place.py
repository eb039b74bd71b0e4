"""Where the settings of this machine lie. It imports nothing of the geometry, so that whoever asks is told at once."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Final

VARIABLE: Final = "BLADEGEOM_SETTINGS"
"""Environment variable that names the file; empty, "none" or the null device reads no file."""


def settings_path() -> Path | None:
    """Where the settings of this machine lie, whether there are any or not; None where none are read.

    Source:
        XDG Base Directory Specification 0.8; on macOS and Windows the folders that each system gives to programs.
    """
    if VARIABLE in os.environ:
        named = os.environ[VARIABLE].strip()
        return None if named.lower() in ("", "none", os.devnull) else Path(named)
    folder = _folder(sys.platform)
    return folder / "bladegeom" / "settings.toml" if folder else None


def has_settings() -> bool:
    """Whether there is a file to read, or one is named that should be there."""
    path = settings_path()
    return path is not None and (VARIABLE in os.environ or path.exists())


def _folder(platform: str) -> Path | None:
    """Where programs keep what a user has set; None on a machine where nobody is at home."""
    place = {"win32": ("APPDATA", "AppData/Roaming"), "darwin": ("", "Library/Application Support")}
    variable, usual = place.get(platform, ("XDG_CONFIG_HOME", ".config"))
    told = os.environ.get(variable, "") if variable else ""
    # By the specification a relative path there is none.
    if told and Path(told).is_absolute():
        return Path(told)
    try:
        return Path.home() / usual
    except RuntimeError:  # there is no home, and so no such place in it
        return None
