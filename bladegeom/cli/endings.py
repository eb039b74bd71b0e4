"""Names of the files that a command is told to write."""

from __future__ import annotations

from pathlib import Path

from bladegeom.quantities.errors import ExportError


def require_ending(option: str, path: Path, *endings: str) -> None:
    """A slip of the pen must not put a page in place of a script.

    Raises:
        ExportError: The name ends otherwise.
    """
    if path.suffix.lower() not in endings:
        raise ExportError(f"{option} {path}: name a file that ends with {' or '.join(endings)}")
