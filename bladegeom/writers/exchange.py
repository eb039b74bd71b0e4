"""New files in place of old ones: all of them or none, whatever stops the program, and one program at a time."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Final

from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.plain_files import opened
from bladegeom.quantities.stopped import undisturbed

_ASIDE: Final = ".bladegeom-"
"""Begins the name of a folder in which files are made ready."""

_JOURNAL: Final = "journal"
"""In such a folder, while files are exchanged: which names, and where a file stood before."""

_BEGUN: Final = "begun"
"""The journal while it is written."""

_DONE: Final = "done"
"""What the journal becomes once the new files count."""

NEW, OLD = "new", "old"
"""In such a folder: what shall be put in place, and what stood there."""

_PARTS: Final = frozenset((NEW, OLD, _BEGUN, _JOURNAL, _DONE))
"""All that such a folder can hold."""

_LONGEST: Final = 1_000_000
"""Bytes of a journal that is read: some thousands of names."""

_PATIENCE: Final = 10.0
"""How long another program that writes to the same folder is waited for, s: it is done in a tenth of one."""

_STEP: Final = 0.02
"""How often it is looked for, s."""


def exchange(folder: Path, contents: Mapping[str, bytes]) -> None:
    """Put files into a folder in place of those that stand there.

    They are written aside first, and then put in place. Where that fails half way, what stood there is put back; where
    the program was killed in it, the next exchange in the folder does so. Ctrl-C, the end of a terminal and a wish to
    end wait for it.

    Args:
        folder: That there is.
        contents: Of each file, by name.

    Raises:
        OSError: A file cannot be written, or a folder stands in its place.
        ExportError: Another program goes on writing to the folder.
    """
    with making_ready(folder) as aside:
        new, old = aside / NEW, aside / OLD
        for part in (new, old):
            part.mkdir()
        for name, content in contents.items():
            (new / name).write_bytes(content)
        for name in contents:
            if (folder / name).is_dir():
                raise IsADirectoryError(errno.EISDIR, f"{name} is a folder")
        stood = {name: (folder / name).exists() for name in contents}
        # Whole or not there: until it is, nothing has been moved.
        (aside / _BEGUN).write_text(json.dumps(stood), encoding="utf-8")
        (aside / _BEGUN).replace(aside / _JOURNAL)
        try:
            for name, is_there in stood.items():
                if is_there:
                    (folder / name).replace(old / name)
                (new / name).replace(folder / name)
        except BaseException as error:
            _undo_or_tell(folder, aside, error)
            raise
        # From here on the new files count.
        (aside / _JOURNAL).replace(aside / _DONE)


@contextlib.contextmanager
def making_ready(folder: Path) -> Iterator[Path]:
    """A folder within a folder that is gone afterwards, while no other program does the same there.

    What a program that was killed has left is put right before. Nothing else is put into it than the parts named above.

    Args:
        folder: That there is.

    Raises:
        OSError: It cannot be made.
        ExportError: Another program goes on writing to the folder, or what one has left there cannot be read.
    """
    with alone_in(folder) as is_alone, undisturbed():
        if is_alone:
            _put_right(folder)
        aside = Path(tempfile.mkdtemp(prefix=_ASIDE, dir=folder))
        try:
            yield aside
        finally:
            # While there is a journal, what stood in the folder has no other place.
            if not (aside / _JOURNAL).exists():
                _clear(aside)


@contextlib.contextmanager
def alone_in(folder: Path) -> Iterator[bool]:
    """While no other program writes to a folder; whether that is sure.

    Args:
        folder: That there is.

    Raises:
        ExportError: Another one does, and goes on.
    """
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:
        # A folder that may be written to and not read, or any folder on Windows: names of their own keep two apart.
        yield False
        return
    try:
        try:
            _wait_for(lambda: locked(handle), folder)
            is_alone = True
        except OSError as error:
            if error.errno not in _NO_LOCKS:
                raise
            is_alone = False
        yield is_alone
    finally:
        os.close(handle)


_NO_LOCKS: Final = (errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS)
"""Of a file system that has no locks, as some of a network have none: names of their own keep two programs apart."""


def locked(handle: int) -> bool:
    """Whether an open file or folder is now this program's alone, until it is closed.

    Args:
        handle: Of it.

    Raises:
        OSError: Its file system has no locks.
    """
    if sys.platform == "win32":
        import msvcrt  # noqa: PLC0415

        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
    import fcntl  # noqa: PLC0415

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _wait_for(is_free: Callable[[], bool], folder: Path) -> None:
    until = time.monotonic() + _PATIENCE
    while not is_free():
        if time.monotonic() > until:
            raise ExportError(
                f"another bladegeom has been writing to {folder} for {_PATIENCE:.0f} s: wait until it is done, or name "
                "another folder"
            )
        time.sleep(_STEP)


def _put_right(folder: Path) -> None:
    """Undo what programs that were killed have left half done, and clear what they made ready."""
    for aside in sorted(folder.glob(f"{_ASIDE}*")):
        if _is_left(aside):
            _undo(folder, aside)
            _clear(aside)


def _clear(aside: Path) -> None:
    """Remove what was made ready; what stood before goes first: on its own it would be taken for a maker's own."""
    if (aside / OLD).is_dir():
        shutil.rmtree(aside / OLD)
    shutil.rmtree(aside)


def _is_left(aside: Path) -> bool:
    """Whether a folder was left by a program that was killed; what somebody has named so by himself holds other things.

    What stood in the folder is in it only after the journal was begun.
    """
    if aside.is_symlink() or not aside.is_dir():
        return False
    parts = {path.name: path for path in aside.iterdir()}
    if not _PARTS.issuperset(parts) or any(path.is_symlink() for path in parts.values()):
        return False
    return not {_JOURNAL, _DONE}.isdisjoint(parts) or OLD not in parts or not any(parts[OLD].iterdir())


def _undo(folder: Path, aside: Path) -> None:
    """Put back what stood in a folder before an exchange, as far as that had got."""
    journal = aside / _JOURNAL
    if not journal.exists():
        return
    for name, stood in _stood(journal).items():
        # A link within the folder leads nowhere from here, and is put back all the same.
        if os.path.lexists(aside / OLD / name):
            (aside / OLD / name).replace(folder / name)
        elif not stood and not os.path.lexists(aside / NEW / name):
            (folder / name).unlink(missing_ok=True)
    journal.unlink()


def _undo_or_tell(folder: Path, aside: Path, error: BaseException) -> None:
    try:
        _undo(folder, aside)
    except OSError as failed:
        raise ExportError(
            f"cannot write to {folder}: {error}; nor can what stood there be put back ({failed.strerror}): it lies in "
            f"{aside / OLD}, and the next command that writes there tries again"
        ) from failed


def _stood(journal: Path) -> dict[str, bool]:
    """Which names a journal holds, and whether a file stood there.

    Raises:
        ExportError: A power cut, or somebody, has spoiled it.
    """
    try:
        with opened(journal) as file:
            told = json.loads(file.read(_LONGEST))
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, dict) or not all(_is_plain(name) and isinstance(told[name], bool) for name in told):
        raise ExportError(
            f"{journal.parent} is left of a command that was killed, and its journal is spoiled; nothing was written: "
            f"take what you miss out of {journal.parent / OLD}, then delete {journal.parent.name}"
        )
    return told


def _is_plain(name: str) -> bool:
    """Whether it is a name, and not a way to another folder."""
    return name.isprintable() and name not in ("", ".", "..") and Path(name).name == name
