"""Pages ready to be saved: as one PDF, or as SVG pictures."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

from bladegeom import writers
from bladegeom.book.printed import Printed
from bladegeom.drawing.drawing import Sheet
from bladegeom.quantities.paths import path_of
from bladegeom.writers.files import numbered, require_ending, write_together


@dataclass(frozen=True, kw_only=True)
class Printout:
    """Pages at true size, to print at 100 %.

    Args:
        sheets: In order.
        date: Of the revision, told in the PDF; None tells none.
        chapters: Bookmarks of the PDF: what begins on which page, counted from 0.

    >>> from bladegeom import template
    >>> printout = template(design)
    >>> len(printout.sheets), printout.pdf[:5]
    (2, b'%PDF-')
    >>> [path.name for path in printout.save(folder / "template.pdf")]
    ['template.pdf']
    """

    sheets: tuple[Sheet, ...]
    date: datetime.date | None = None
    chapters: tuple[tuple[str, int], ...] = ()

    @property
    def pdf(self) -> bytes:
        """All pages as one PDF; the same pages give the same bytes."""
        return writers.pdf_of_sheets(self.sheets, date=self.date, chapters=self.chapters)

    @property
    def svgs(self) -> tuple[bytes, ...]:
        """Each page as a picture."""
        return tuple(map(writers.svg_of_sheet, self.sheets))

    def save(self, path: str | Path) -> tuple[Path, ...]:
        """Write a PDF, or an SVG; of several pages each SVG has its number.

        Args:
            path: Ends with .pdf or .svg.

        Returns:
            What was written.

        Raises:
            ExportError: The name ends otherwise, something else stands in its place, or it cannot be written.
        """
        return write_together(self.files(path_of("save", path)))

    def files(self, path: Path) -> dict[Path, bytes]:
        """What is written under a name: a PDF, or an SVG for each page.

        Args:
            path: Ends with .pdf or .svg.

        Raises:
            ExportError: The name ends otherwise.
        """
        require_ending("save", path, ".pdf", ".svg")
        if path.suffix.lower() == ".pdf":
            return {path: self.pdf}
        return dict(zip(numbered(path, len(self.sheets)), self.svgs, strict=True))

    def _repr_svg_(self) -> str:
        return writers.svg_of_sheet(self.sheets[0]).decode()


def files_of(made: Printed, stem: str, date: datetime.date | None) -> dict[str, bytes]:
    """The files of some pages by name: all of them as PDF, single ones as SVG."""
    pictures = {f"{stem}_{name}.svg": writers.svg_of_sheet(sheet) for name, sheet in made.single.items()}
    return {
        f"{stem}_{made.name}.pdf": writers.pdf_of_sheets(made.sheets, date=date, chapters=made.chapters),
        **pictures,
    }
