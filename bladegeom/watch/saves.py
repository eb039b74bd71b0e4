"""Saves of the watched files, seen as the editor makes them."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncGenerator
from pathlib import Path

from watchfiles import Change, awatch

from bladegeom.quantities.file_errors import ExportError
from bladegeom.watch.desk import Desk

_PAUSE = 25
"""A save is over when the folder is quiet for this long, ms; own choice: an editor writes in two or three steps."""

_LONGEST = 100
"""Changes that go on and on are looked at after this long all the same, ms."""


async def look_again(desk: Desk, stopped: asyncio.Event) -> None:
    """Have the desk read again whatever is saved.

    The folders are watched, not the files: many editors write a new file and give it the old one's name.

    Raises:
        ExportError: The system does not tell of saves: a folder is gone, or too many are watched already.
    """
    while not stopped.is_set():
        folders = _folders(desk)
        async with contextlib.aclosing(_saves(desk, folders, stopped)) as saves:
            async for paths in saves:
                await desk.saved(paths)
                if _folders(desk) != folders:
                    # A helper of another folder is imported now.
                    break


async def _saves(desk: Desk, folders: frozenset[Path], stopped: asyncio.Event) -> AsyncGenerator[set[Path], None]:
    """The files of each save."""

    def is_watched(_: Change, path: str) -> bool:
        return Path(path) in desk.watched

    heard = awatch(
        *sorted(folders),
        watch_filter=is_watched,
        step=_PAUSE,
        debounce=_LONGEST,
        stop_event=stopped,
        recursive=False,
    )
    try:
        async for changes in heard:
            yield {Path(path) for _, path in changes}
    except (OSError, RuntimeError) as error:
        named = ", ".join(map(str, sorted(folders)))
        raise ExportError(f"saves cannot be seen in {named}: {error}") from error


def _folders(desk: Desk) -> frozenset[Path]:
    return frozenset(folder for folder in (path.parent for path in desk.watched) if folder.is_dir())
