"""All profiles on one page for a browser: a small picture of each, drawn inside the page; no other file is needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.drawing.drawing import Drawing
from bladegeom.writers.html import html_page

_MARGIN = 0.5
"""Round each picture, mm."""


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One profile on the page.

    Args:
        name: As it is asked for.
        words: What it is, in a sentence.
        picture: Of it.
        rows: Of its parameters: name, how it comes, range, meaning.
    """

    name: str
    words: str
    picture: Drawing
    rows: Sequence[tuple[str, ...]]

    @property
    def margin(self) -> float:
        """Round the picture, mm."""
        return _MARGIN

    @property
    def width(self) -> float:
        """Of the picture with its margins, mm."""
        x0, _, x1, _ = self.picture.bounds
        return x1 - x0 + 2 * _MARGIN


def profile_page(groups: Sequence[tuple[str, Sequence[Entry]]]) -> bytes:
    """The page; all pictures on it have one scale.

    Args:
        groups: Headings, each with its profiles.
    """
    widest = max(entry.width for _, entries in groups for entry in entries)
    return html_page("profiles.html.j2", groups=groups, widest=widest)
