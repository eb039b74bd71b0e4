"""The maker's stockroom: a folder with a sub-folder for each kind of thing, and a file for each thing in it.

A file's name, without its ending, is the name of what it holds. Only files that are asked for are read.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from bladegeom.quantities.designations import designation_key
from bladegeom.quantities.file_errors import UnreadableFileError

SHELVES: Final = {
    "steels": ".toml",
    "laminates": ".toml",
    "woods": ".toml",
    "metals": ".toml",
    "polymers": ".toml",
    "hardware": ".toml",
    "profiles": ".py",
    "prices": ".toml",
}
"""Sub-folders, and how the names of the files in each end."""

MOST_BYTES: Final = 1_000_000
"""A file of a stockroom is shorter; own choice."""


@dataclass(frozen=True)
class Stocked:
    """A file of a stockroom.

    Args:
        shelf: The sub-folder that it lies in.
        name: Of what it holds.
        path: Of the file.
    """

    shelf: str
    name: str
    path: Path

    @property
    def place(self) -> str:
        """Where it lies in the stockroom: "steels/shop steel 7.toml"."""
        return f"{self.shelf}/{self.path.name}"

    def refuse_hiding(self, built_in: str) -> None:
        """Say that something built in has its name.

        Raises:
            UnreadableFileError: Always.
        """
        reason = f"{built_in!r} is built in, and nothing of your own may hide it; give the file another name"
        raise UnreadableFileError(str(self.path), reason)


@dataclass(frozen=True)
class _Stockroom:
    folder: Path

    @cached_property
    def files(self) -> tuple[Stocked, ...]:
        return tuple(
            Stocked(shelf, path.stem, path)
            for shelf, ending in SHELVES.items()
            for path in self.listed(shelf)
            if path.suffix == ending
        )

    def listed(self, shelf: str = "") -> list[Path]:
        """What lies on a shelf, by name; hidden files are none of the maker's."""
        folder = self.folder / shelf
        # Links that lead round in a circle are there, and are told.
        if shelf and not os.path.lexists(folder):
            return []
        try:
            return sorted(path for path in folder.iterdir() if not path.name.startswith((".", "__pycache__")))
        except OSError as error:
            raise UnreadableFileError(
                str(folder), f"the stockroom cannot be read ({error.strerror or error}); it must be a folder"
            ) from error


_OPEN: Final[ContextVar[_Stockroom | None]] = ContextVar("open stockroom", default=None)
_TAKEN: Final[ContextVar[set[str] | None]] = ContextVar("taken from the stockroom", default=None)


@contextlib.contextmanager
def stockroom_open(folder: Path | None) -> Iterator[None]:
    """While this lasts, in this thread, names of the maker's own are found in a folder; None has no such names."""
    token = _OPEN.set(None if folder is None else _Stockroom(folder))
    try:
        yield
    finally:
        _OPEN.reset(token)


@contextlib.contextmanager
def noting_taken(taken: set[str]) -> Iterator[None]:
    """While this lasts, the place of each file that is taken out of the stockroom is added to a set."""
    token = _TAKEN.set(taken)
    try:
        yield
    finally:
        _TAKEN.reset(token)


def take(file: Stocked) -> Stocked:
    """The file itself, noted as taken."""
    if (taken := _TAKEN.get()) is not None:
        taken.add(file.place)
    return file


def stocked(*shelves: str) -> tuple[Stocked, ...]:
    """The files on some shelves of the open stockroom, by name; none where none is open.

    Raises:
        UnreadableFileError: The stockroom is no folder.

    >>> (folder / "steels").mkdir()
    >>> _ = (folder / "steels" / "shop steel 7.toml").write_text("")
    >>> with stockroom_open(folder):
    ...     [file.name for file in stocked("steels")], stocked_as("Shop-Steel 7", "steels").place
    (['shop steel 7'], 'steels/shop steel 7.toml')
    """
    if (room := _OPEN.get()) is None:
        return ()
    room.listed()
    return tuple(file for file in room.files if file.shelf in shelves)


def stocked_as(name: str, *shelves: str) -> Stocked | None:
    """The file of a name on some shelves; case, spaces and hyphens do not matter. None where there is none.

    Raises:
        UnreadableFileError: The stockroom is no folder, or two files have that name.
    """
    key = designation_key(name)
    found = [file for file in stocked(*shelves) if designation_key(file.name) == key]
    if len(found) > 1:
        raise UnreadableFileError(str(found[1].path), f"{found[0].place} has the same name; give one of them another")
    return found[0] if found else None


def strangers() -> tuple[str, ...]:
    """What lies in the open stockroom and is never read, each with the reason."""
    if (room := _OPEN.get()) is None:
        return ()
    shelves = ", ".join(SHELVES)
    out = [
        f"{path.name}: not read; the stockroom has the folders {shelves}"
        for path in room.listed()
        if path.name not in SHELVES
    ]
    for shelf, ending in SHELVES.items():
        out += [
            f"{shelf}/{path.name}: not read; files in {shelf} end in {ending}"
            for path in room.listed(shelf)
            if path.suffix != ending
        ]
    return tuple(out)
