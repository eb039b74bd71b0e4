"""Writing files whole or not at all."""

from __future__ import annotations

import os
import re
import shutil
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.paths import path_of
from bladegeom.writers.exchange import NEW, exchange, making_ready
from bladegeom.writers.ownership import require_replaceable, writing_over

_LONGEST = 60
"""Letters of a name that go into a file's name: file systems take 255 bytes in all."""


def write_all(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write several files into a folder, which is made if need be.

    All are written aside first and then put in place; if that fails half way, what stood there is put back, and if the
    program is killed in it, the next one that writes there does so. Only plain files of the same kind are replaced.
    Where there is nothing to write no folder is made.

    Raises:
        ExportError: The folder or a file cannot be written, or something else stands in a file's place.
    """
    if not contents:
        return ()
    for name, content in contents.items():
        require_replaceable(folder / name, content)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        exchange(folder, contents)
    except ExportError:
        raise
    except FileExistsError as error:
        raise ExportError(f"cannot write to {folder}: there is a file of that name; name another folder") from error
    except OSError as error:
        raise ExportError(f"cannot write to {folder}: {error.strerror or error}; nothing was written there") from error
    return tuple(folder / name for name in contents)


def write_together(contents: Mapping[Path, bytes]) -> tuple[Path, ...]:
    """Write files of one purpose: those of one folder all or none, and none where something stands in a file's place.

    Args:
        contents: By path.

    Raises:
        ExportError: As of :func:`write_all`.
    """
    for path, content in contents.items():
        require_replaceable(path, content)
    for folder in dict.fromkeys(path.parent for path in contents):
        write_all(folder, {path.name: content for path, content in contents.items() if path.parent == folder})
    return tuple(contents)


def replace_text(path: Path, old: bytes, new: bytes) -> None:
    """Put another text in place of a plain file's, whole or not at all; who may read and write it stays as it was.

    Args:
        path: The file.
        old: What it holds.
        new: What it shall hold.

    Raises:
        ExportError: It is a link, has two names, or is no plain file, it holds something else, or it cannot be written.
    """
    if path.is_symlink():
        raise ExportError(f"{path} is a link; name the file itself, {os.path.realpath(path)}")
    with writing_over():
        # It is known by what it holds.
        require_replaceable(path, new)
    try:
        if not os.access(path, os.W_OK):
            raise ExportError(f"{path} is not to be written, by its mode; nothing was written")
        if path.stat().st_nlink > 1:
            raise ExportError(
                f"{path} has another name too (a hard link), which would keep the old text; copy it first"
            )
        with making_ready(path.parent) as aside:
            written = aside / NEW
            with written.open("wb") as file:
                file.write(new)
                file.flush()
                # The maker's own work: a power cut leaves one of the two texts.
                os.fsync(file.fileno())
            shutil.copymode(path, written)
            if path.read_bytes() != old:
                raise ExportError(f"{path} has changed since it was read; nothing was written: look at it again")
            written.replace(path)
    except ExportError:
        raise
    except OSError as error:
        raise ExportError(f"cannot write to {path}: {error.strerror or error}; nothing was written there") from error


def file_stem(name: str, revision: str) -> str:
    """A name for files that every system takes: 'Rigging knife', 'B' gives 'rigging-knife_rev-B'."""
    slug = file_slug(name) or "knife"
    mark = re.sub(r"[^A-Za-z0-9.]+", "-", _unaccented(revision))[:_LONGEST].strip("-") or "0"
    return f"{slug}_rev-{mark}"


def file_slug(name: str) -> str:
    """A name as part of a file's: 'right scale, part 1' gives 'right-scale-part-1'."""
    return re.sub(r"[^a-z0-9]+", "-", _unaccented(name).lower())[:_LONGEST].strip("-")


def require_ending(option: str, path: Path, *endings: str) -> None:
    """A slip of the pen must not put a page in place of a script.

    Raises:
        ExportError: The name ends otherwise.
    """
    if path.suffix.lower() not in endings:
        raise ExportError(f"{option} {path}: name a file that ends with {' or '.join(endings)}")


def numbered(path: Path, count: int) -> list[Path]:
    """The path itself for one file, with a number behind its name for several."""
    if count <= 1:
        return [path][:count]
    return [path.with_name(f"{path.stem}-{i}{path.suffix}") for i in range(1, count + 1)]


@dataclass(frozen=True)
class Files(Mapping[str, bytes]):
    """Files by name that are saved together.

    Args:
        contents: By name.

    >>> files = Files({"a.txt": b"first", "b.txt": b"second"})
    >>> [path.name for path in files.save(folder)], files["a.txt"]
    (['a.txt', 'b.txt'], b'first')
    """

    contents: Mapping[str, bytes]

    def save(self, folder: str | Path) -> tuple[Path, ...]:
        """Write them into a folder, which is made if need be: all of them, or none.

        Returns:
            What was written.

        Raises:
            ExportError: The folder or a file cannot be written, or something else stands in a file's place.
        """
        return write_all(path_of("save", folder), self.contents)

    def __getitem__(self, name: str) -> bytes:
        return self.contents[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.contents)

    def __len__(self) -> int:
        return len(self.contents)


def _unaccented(text: str) -> str:
    return unicodedata.normalize("NFKD", text).encode("ascii", errors="ignore").decode()
