"""Telling on which paper is printed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.settings.settings import Settings


def paper_lines(asked: Sequence[str] | None, settings: Settings) -> Iterator[str]:
    """Which paper is printed on, and why; nothing where it was asked for.

    Args:
        asked: Papers of the command line.
        settings: Of the design.
    """
    source = settings.source("paper")
    if asked is None and source != "option":
        yield f"printed on {settings.paper} ({source}); others by --paper, for good by a line in your settings"
