"""Files that a maker names: opened only where they have an end, since a pipe is waited for and a device never stops."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Iterator
from contextvars import ContextVar
from pathlib import Path
from typing import BinaryIO, Final

_NO_FILES: Final = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
)


def other_kind(mode: int) -> str | None:
    """What stands in a file's place, by its mode; None where it is a plain file.

    >>> other_kind(stat.S_IFIFO), other_kind(stat.S_IFREG)
    ('a pipe', None)
    """
    return next((words for is_kind, words in _NO_FILES if is_kind(mode)), None)


def opened(path: Path) -> BinaryIO:
    """A plain file, for reading.

    Raises:
        OSError: It cannot be opened, or is something else, which is neither waited for nor read.
    """
    # A pipe would be waited for in the very opening of it.
    file = open(path, "rb", opener=lambda name, flags: os.open(name, flags | getattr(os, "O_NONBLOCK", 0)))  # noqa: SIM115
    kind = other_kind(os.fstat(file.fileno()).st_mode)
    if kind is None:
        if (inputs := _INPUTS.get()) is not None:
            inputs.add(_identity(os.fstat(file.fileno())))
        return file
    file.close()
    raise OSError(errno.EINVAL, f"it is {kind}, not a file", str(path))


@contextlib.contextmanager
def noting_inputs() -> Iterator[None]:
    """While it lasts files that are opened here are known again by :func:`is_input`.

    >>> path = folder / "line.svg"
    >>> _ = path.write_bytes(b"a line")
    >>> with noting_inputs():
    ...     opened(path).close()
    ...     is_input(path)
    True
    >>> is_input(path)
    False
    """
    before = _INPUTS.set(set())
    try:
        yield
    finally:
        _INPUTS.reset(before)


def is_input(path: Path) -> bool:
    """Whether a file, by whatever name, was opened while inputs are noted.

    Raises:
        OSError: There is none.
    """
    return _identity(path.stat()) in (_INPUTS.get() or ())


def _identity(status: os.stat_result) -> tuple[int, int]:
    """The same for all names of a file."""
    return status.st_dev, status.st_ino


_INPUTS: Final[ContextVar[set[tuple[int, int]] | None]] = ContextVar("inputs", default=None)
