"""What may be written over: plain files that this program has made."""

from __future__ import annotations

import contextlib
import mmap
import os
import re
from collections.abc import Iterator
from contextvars import ContextVar
from pathlib import Path
from typing import BinaryIO, Final

from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.plain_files import is_input, other_kind

MARK: Final = b"bladegeom"
"""Stands in every file that is made, in the place that its kind has for the maker of a file: PDF's producer, SVG's
description, HTML's generator, DXF's comment, the JSON's format, the header of a mesh, the comment of an archive."""

_MARKED: Final = re.compile(
    rb"made by bladegeom|/Creator \(bladegeom\)|<meta name=['\"]generator['\"] content=['\"]bladegeom['\"]>"
    rb"|\"format\": \"bladegeom-|\"generator\":\"bladegeom\"|Software\0{5}bladegeom |'','bladegeom',''\);"
    rb"|^bladegeom, mm: | others are built in: bladegeom settings"
)
"""The mark with what stands round it there. The word alone is in whatever tells of the program, or lies in a folder of
that name: drawing programs write the path of a drawing into it."""

_AROUND: Final = 48
"""Bytes before and after the beginning of the word that hold all of it."""


def require_replaceable(path: Path, content: bytes) -> None:
    """That nothing stands in a new file's place but a plain file of its kind, and of ours where it carries our mark.

    Args:
        path: Of the new file.
        content: Of it; without our mark its first bytes are enough.

    Raises:
        ExportError: A folder, a device, a pipe, a socket, a link out of the folder, a file of another kind or of
            somebody else, or one that the command has read stands there; or what stands there cannot be read.
    """
    try:
        if path.is_symlink():
            _require_near(path)
        elif not path.exists():
            return
        if kind := other_kind(path.stat().st_mode):
            raise ExportError(f"{path} is {kind}, which is never written over; name another file")
        _require_no_input(path)
        with path.open("rb") as file:
            there = _kind(file.read(_FIRST))
            is_foreign = there != "empty" and MARK in content and not _FORCED.get() and not _is_marked(file)
    except ExportError:
        raise
    except OSError as error:
        raise ExportError(f"cannot write to {path}: {error.strerror or error}; nothing was written there") from error
    wanted = _kind(content[:_FIRST])
    if there not in ("empty", wanted):
        raise ExportError(
            f"{path} holds {there}, not {wanted}, and is not written over; name another file, or delete it"
        )
    if is_foreign:
        raise ExportError(
            f"{path} was not made by this program, and is not written over; name another file, delete it, or write "
            "over it with --force"
        )


def _require_no_input(path: Path) -> None:
    if is_input(path) and not _FORCED.get():
        raise ExportError(
            f"{path} is what this command reads, and is not written over; name another file or folder, or write "
            "over it with --force"
        )


def _is_marked(file: BinaryIO) -> bool:
    """Whether an open file that is not empty carries our mark; it is looked through, not read into memory."""
    with mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as content:
        # The whole pattern would be sought at every byte of what may be a large file.
        places = [found.start() for found in re.finditer(re.escape(MARK), content)]
        return any(_MARKED.search(content[max(place - _AROUND, 0) : place + _AROUND]) for place in places)


_FORCED: Final = ContextVar("forced", default=False)


@contextlib.contextmanager
def writing_over() -> Iterator[None]:
    """While it lasts files of somebody else are replaced too, where they are plain and of the same kind.

    >>> from bladegeom.writers.files import write_all
    >>> _ = (folder / "a.pdf").write_bytes(b"%PDF-1.4 of somebody")
    >>> with writing_over():
    ...     _ = write_all(folder, {"a.pdf": b"%PDF-1.4 made by bladegeom"})
    """
    before = _FORCED.set(True)
    try:
        yield
    finally:
        _FORCED.reset(before)


def _require_near(link: Path) -> None:
    """That a link leads to something in its own folder."""
    # Path.resolve raises RuntimeError on links that lead round in a circle.
    target, folder = Path(os.path.realpath(link)), Path(os.path.realpath(link.parent))
    if target.parent != folder:
        raise ExportError(f"{link} is a link to {target}, in another folder; name another file")
    if not link.exists():
        raise ExportError(f"{link} is a link that leads nowhere; name another file, or delete it")


_FIRST = 1024
"""Bytes from which the kind of a file is told."""

_KINDS: Final = (
    ("a PDF", rb"%PDF-"),
    ("a web page", rb"<!doctype html"),
    ("a drawing (SVG)", rb"(<\?xml[^>]*>\s*)?<svg"),
    ("a picture (PNG)", rb"\x89PNG"),
    ("an archive (ZIP, 3MF)", rb"PK\x03\x04"),
    ("a GLB", rb"glTF"),
)
"""What files begin with; source: ISO 32000-1 7.5.2, HTML living standard 13.1.1, SVG 1.1, PNG 1.2 section 3.1, APPNOTE
6.3 section 4.3.7, glTF 2.0 section 4.4.2."""


def _kind(start: bytes) -> str:
    """What a file holds, by its first bytes."""
    if not start:
        return "empty"
    for words, pattern in _KINDS:
        if re.match(pattern, start.lstrip(), re.IGNORECASE):
            return words
    # A table whose end a power cut has filled with zeros is still a table.
    return "bytes that are no text" if b"\0" in start.splitlines()[0] else "text"
