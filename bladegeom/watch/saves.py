"""Saves of the watched files, seen as the editor makes them."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncGenerator, Sequence
from pathlib import Path

from watchfiles import Change, awatch

from bladegeom.quantities.file_errors import ExportError
from bladegeom.watch.desk import Desk

_PAUSE = 25
"""A save is over when the folder is quiet for this long, ms; own choice: an editor writes in two or three steps."""

_CHECKED = 1000
"""A folder may be taken away and made anew, by a version control for one; that is looked after this often, ms."""

_LONGEST = 100
"""Changes that go on and on are looked at after this long all the same, ms."""


async def look_again(desk: Desk, stopped: asyncio.Event) -> None:
    """Have the desk read again whatever is saved.

    The folders are watched, not the files: many editors write a new file and give it the old one's name.

    Raises:
        ExportError: The system does not tell of saves: a folder is gone, or too many are watched already.
    """
    missed = frozenset[Path]()
    while not stopped.is_set():
        folders = _folders(desk)
        async with contextlib.aclosing(_saves(desk, sorted(folders), stopped)) as saves:
            async for paths in saves:
                if paths or missed:
                    await desk.saved(paths | missed)
                    missed = frozenset()
                if _folders(desk) != folders or paths & folders.keys():
                    # A helper of another folder is imported now, or another folder stands in the place of this.
                    break
        # Whatever is saved until the other folders are watched.
        missed = desk.watched


async def _saves(desk: Desk, folders: Sequence[Path], stopped: asyncio.Event) -> AsyncGenerator[set[Path], None]:
    """The files of each save; none from time to time."""

    def is_watched(_: Change, path: str) -> bool:
        return Path(path) in desk.watched or Path(path) in folders

    heard = awatch(
        *folders,
        watch_filter=is_watched,
        step=_PAUSE,
        debounce=_LONGEST,
        stop_event=stopped,
        recursive=False,
        rust_timeout=_CHECKED,
        yield_on_timeout=True,
    )
    try:
        async for changes in heard:
            yield {Path(path) for _, path in changes}
    except (OSError, RuntimeError) as error:
        named = ", ".join(map(str, folders))
        raise ExportError(f"saves cannot be seen in {named}: {error}") from error


def _folders(desk: Desk) -> dict[Path, tuple[int, int]]:
    """Folders to watch, each with what tells it from another of its name."""
    found = {}
    for folder in {path.parent for path in desk.watched}:
        with contextlib.suppress(OSError):
            told = folder.stat()
            found[folder] = (told.st_dev, told.st_ino)
    return found
