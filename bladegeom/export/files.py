"""Writing files whole or not at all."""

from __future__ import annotations

import errno
import re
import tempfile
import unicodedata
from collections.abc import Mapping
from pathlib import Path

from bladegeom.quantities.errors import ExportError

_LONGEST = 60
"""Letters of a name that go into a file's name: file systems take 255 bytes in all."""


def write_all(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write several files into a folder, which is made if need be.

    All are written aside first and then put in place; if that fails half way, what stood there is put back.

    Raises:
        ExportError: The folder or a file cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".export-", dir=folder) as aside:
            new, old = Path(aside, "new"), Path(aside, "old")
            for part in (new, old):
                part.mkdir()
            for name, content in contents.items():
                (new / name).write_bytes(content)
            _exchange(folder, new, old, list(contents))
    except FileExistsError as error:
        raise ExportError(f"cannot write to {folder}: there is a file of that name; name another folder") from error
    except OSError as error:
        raise ExportError(f"cannot write to {folder}: {error.strerror or error}; nothing was written there") from error
    return tuple(folder / name for name in contents)


def file_stem(name: str, revision: str) -> str:
    """A name for files that every system takes: 'Rigging knife', 'B' gives 'rigging-knife_rev-B'."""
    slug = re.sub(r"[^a-z0-9]+", "-", _unaccented(name).lower())[:_LONGEST].strip("-") or "knife"
    mark = re.sub(r"[^A-Za-z0-9.]+", "-", _unaccented(revision))[:_LONGEST].strip("-") or "0"
    return f"{slug}_rev-{mark}"


def _exchange(folder: Path, new: Path, old: Path, names: list[str]) -> None:
    """Put the new files in place of the old ones, which are kept aside; all of them, or none."""
    begun: list[tuple[str, bool]] = []
    try:
        for name in names:
            target = folder / name
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, f"{name} is a folder")
            begun.append((name, target.exists()))
            if target.exists():
                target.replace(old / name)
            (new / name).replace(target)
    except BaseException:
        for name, stood in begun:
            if (old / name).exists():
                (old / name).replace(folder / name)
            elif not stood:
                (folder / name).unlink(missing_ok=True)
        raise


def _unaccented(text: str) -> str:
    return unicodedata.normalize("NFKD", text).encode("ascii", errors="ignore").decode()
