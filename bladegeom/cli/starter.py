"""Writing a file to start from, which never takes the place of another."""

from __future__ import annotations

from pathlib import Path

from bladegeom.quantities.file_errors import ExportError
from bladegeom.writers.files import write_all


def write_starter(path: Path, text: str, such_as: str) -> None:
    """Write a text where nothing is yet.

    Raises:
        ExportError: Something is there, or it cannot be written.
    """
    if path.is_dir():
        raise ExportError(f"{path} is a folder; name the file to write, for example {path / such_as}")
    if path.exists():
        raise ExportError(f"{path} exists already and is left as it is; choose another name")
    write_all(path.parent, {path.name: text.encode()})
