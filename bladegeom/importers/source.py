"""Bytes of a maker's drawing, no more than a knife can need."""

from __future__ import annotations

from pathlib import Path

from bladegeom.quantities.text_file import bounded_bytes

MOST_BYTES = 20_000_000
"""A drawing of one knife takes thousands of bytes, with a scan embedded some millions; own choice."""


def read_bytes(path: str | Path) -> bytes:
    """The whole file.

    Raises:
        UnreadableFileError: It cannot be opened, or is larger than 20 MB.
    """
    return bounded_bytes(path, most_bytes=MOST_BYTES, advice="leave pictures out and save the line alone")
