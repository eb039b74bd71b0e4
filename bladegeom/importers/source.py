"""Bytes of a maker's file, no more than a drawing of a knife can need."""

from __future__ import annotations

from pathlib import Path

from bladegeom.quantities.errors import UnreadableFileError

MOST_BYTES = 20_000_000
"""A drawing of one knife takes thousands of bytes, with a scan embedded some millions; own choice."""


def read_bytes(path: str | Path) -> bytes:
    """The whole file.

    Raises:
        UnreadableFileError: It cannot be opened, or is larger than 20 MB.
    """
    place = Path(path)
    try:
        with place.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise UnreadableFileError(str(path), f"cannot be read: {error.strerror or error}") from error
    if len(data) > MOST_BYTES:
        raise UnreadableFileError(
            str(path), f"is larger than {MOST_BYTES / 1e6:g} MB; leave pictures out and save the line alone"
        )
    return data
