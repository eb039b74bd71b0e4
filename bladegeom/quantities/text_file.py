"""Text files that a maker brings: bounded, in UTF-8 with or without a mark at the beginning, errors with their line."""

from __future__ import annotations

import codecs
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.plain_files import opened

_SAVE: Final = "save it as UTF-8 (in an editor under Save As, Encoding; in a spreadsheet as CSV in UTF-8)"

_OTHER_MARKS: Final[Mapping[bytes, str]] = {
    codecs.BOM_UTF32_LE: "UTF-32",
    codecs.BOM_UTF32_BE: "UTF-32",
    codecs.BOM_UTF16_LE: "UTF-16",
    codecs.BOM_UTF16_BE: "UTF-16",
}
"""Marks of other encodings, the longer before those that begin like it. Source: The Unicode Standard, section 23.8."""


@dataclass(frozen=True)
class TextFile:
    """A file's name as it is told, and its text with plain line ends."""

    name: str
    text: str

    def error(self, reason: str, line: int | None = None) -> UnreadableFileError:
        """What is wrong with it."""
        return UnreadableFileError(self.name, reason, line)


def bounded_bytes(path: str | Path, *, most_bytes: int, advice: str) -> bytes:
    """The whole file.

    Args:
        path: Of it.
        most_bytes: A longer one is refused before it is held in memory.
        advice: What to do with a longer one.

    Raises:
        ParameterError: No name of a file.
        UnreadableFileError: It cannot be opened, is a pipe or a device, or is longer.
    """
    path = path_of("read", path)
    try:
        with opened(path) as file:
            data = file.read(most_bytes + 1)
    except OSError as error:
        raise UnreadableFileError(str(path), f"the file cannot be read ({error.strerror or error})") from error
    if len(data) > most_bytes:
        raise UnreadableFileError(str(path), f"the file is larger than {most_bytes / 1e6:g} MB; {advice}")
    return data


def read_text(path: str | Path, *, most_bytes: int, advice: str) -> TextFile:
    """A file as text; arguments as for :func:`bounded_bytes`.

    Raises:
        UnreadableFileError: It cannot be opened, is longer, or is no text in UTF-8; the first odd byte's line is named.
    """
    return decoded(str(path), bounded_bytes(path, most_bytes=most_bytes, advice=advice))


def decoded(name: str, data: bytes) -> TextFile:
    r"""Bytes as text.

    Raises:
        UnreadableFileError: They are no text in UTF-8; how to save it is told.

    >>> decoded("points.csv", b"\xef\xbb\xbf1,2\r\n").text
    '1,2\n'
    """
    for mark, encoding in _OTHER_MARKS.items():
        if data.startswith(mark):
            raise UnreadableFileError(name, f"the file is text in {encoding}; {_SAVE}")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        odd = data[error.start]
        line = _plain_ends(data[: error.start].decode("latin-1")).count("\n") + 1
        raise UnreadableFileError(
            name, f"the file is no text in UTF-8, byte {odd:#04x} is none of its letters; {_SAVE}", line
        ) from error
    return TextFile(name, _plain_ends(text))


def _plain_ends(text: str) -> str:
    """Of every system: some spreadsheets still offer CSV with a lone carriage return after each line."""
    return text.replace("\r\n", "\n").replace("\r", "\n")
