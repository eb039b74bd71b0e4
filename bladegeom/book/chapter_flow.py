"""The upright pages of a chapter: its title on top, text and blocks below each other, the place of the number below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bladegeom.drawing.drawing import Drawing, Label, Sheet
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import HEAD, KEY, LEADING, TEXT
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import DEPTH, text_width, wrapped
from bladegeom.quantities.papers import Paper

FOOT: Final = 2 * TEXT
"""Kept free at the lower border of a page for its number, mm."""

_GAP: Final = 6.0
"""Between the chapter's title and the knife's name, mm, at least."""

_MOST_HEAD: Final = 0.35
"""Of a page that its title and the remarks may take."""


class ChapterFlow(PageFlow):
    """Pages that stand upright.

    Args:
        paper: Of them.
        title: Of the chapter, over every page.
        name: Of the knife with its revision, beside it.
        remarks: Lines under both, on every page.

    Raises:
        ExportError: Title and remarks leave no room.
    """

    def __init__(self, paper: Paper, title: str, name: str, remarks: Sequence[str] = ()) -> None:
        self._paper, self._title, self._name, self._remarks = paper, title, name, tuple(remarks)
        top, width = paper.height - MARGIN, paper.width - 2 * MARGIN
        room = top - MARGIN - FOOT
        super().__init__(room=room, top=top, x=MARGIN, width=width, leading=LEADING, head=self._page_head)
        lines = sum(len(wrapped(text, TEXT, width, bold=True)) for text in self._remarks)
        names = sum(len(wrapped(text, HEAD, width, bold=True)) for text in (title, name))
        if (lines * TEXT + names * HEAD) * LEADING > _MOST_HEAD * room:
            raise ExportError(
                f"the name of {name[:40]} and its remarks take more than a third of a page of {paper.name}: shorten "
                "them, or name a larger paper"
            )

    def sheets(self) -> tuple[Sheet, ...]:
        """All pages, called by the knife's name."""
        return tuple(
            Sheet(
                width=self._paper.width,
                height=self._paper.height,
                drawing=Drawing(name=self._name, items=tuple(items)),
            )
            for items in self.pages
        )

    def _page_head(self) -> None:
        beside = self.width - text_width(self._title, KEY, bold=True) - _GAP
        if beside >= text_width(self._name, HEAD, bold=True):
            self.y -= KEY
            right = self.x + self.width
            self.add(
                Label(layer="NOTE", x=self.x, y=self.y, text=self._title, height=KEY, bold=True),
                Label(layer="NOTE", x=right, y=self.y, text=self._name, height=HEAD, anchor="end", bold=True),
            )
        else:
            self._line(self._title, KEY)
            self._line(self._name, HEAD)
        for text in self._remarks:
            self._line(text, TEXT)
        self.rule(DEPTH * KEY + 0.8)
        self.y -= 1.0

    def _line(self, text: str, size: float) -> None:
        for part in wrapped(text, size, self.width, bold=True):
            self.y -= size * LEADING
            self.add(Label(layer="NOTE", x=self.x, y=self.y, text=part, height=size, bold=True))
