"""Saves of the watched files, seen as the editor makes them."""

from __future__ import annotations

import asyncio
from pathlib import Path

from watchfiles import Change, awatch

from bladegeom.watch.desk import Desk

_PAUSE = 25
"""A save is over when the folder is quiet for this long, ms; own choice: an editor writes in two or three steps."""

_LONGEST = 100
"""Changes that go on and on are looked at after this long all the same, ms."""


async def look_again(desk: Desk, stopped: asyncio.Event) -> None:
    """Have the desk read again whatever is saved.

    The folders are watched, not the files: many editors write a new file and give it the old one's name.
    """

    def is_watched(_: Change, path: str) -> bool:
        return Path(path) in desk.watched

    while not stopped.is_set():
        folders = _folders(desk)
        changes = awatch(
            *sorted(folders),
            watch_filter=is_watched,
            step=_PAUSE,
            debounce=_LONGEST,
            stop_event=stopped,
            recursive=False,
        )
        async for saved in changes:
            await desk.saved(Path(path) for _, path in saved)
            if _folders(desk) != folders:
                # A helper of another folder is imported now.
                break


def _folders(desk: Desk) -> frozenset[Path]:
    return frozenset(folder for folder in (path.parent for path in desk.watched) if folder.is_dir())
