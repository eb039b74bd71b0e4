"""A sheet as PDF: the page box is the paper in true size, and viewers are asked not to scale it."""

from __future__ import annotations

import datetime
import hashlib
import io
from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFDocument, PDFInfo, PDFString, PDFZCompress
from reportlab.pdfgen.canvas import Canvas

from bladegeom.drawing.drawing import Sheet
from bladegeom.quantities.lettering import one_line
from bladegeom.writers.ownership import MARK
from bladegeom.writers.pdf_content import PageContent
from bladegeom.writers.pdf_pixels import place_pixels

_VERSION = (1, 6)
"""The first that knows PrintScaling; source: PDF 1.7, table 150."""

_ROUND = 1
"""Line join; source: PDF 1.7, table 55."""


class _About(PDFInfo):
    """What a viewer tells of the document: nothing that nobody declared, no hour of the day."""

    def __init__(self, title: str, date: datetime.date | None) -> None:
        super().__init__()
        self.title, self.date = title, date

    def format(self, document: PDFDocument) -> bytes:
        entries = {"Title": self.title, "Creator": "bladegeom"}
        if self.date is not None:
            entries["CreationDate"] = f"D:{self.date:%Y%m%d}"
        return PDFDictionary({key: PDFString(text) for key, text in entries.items()}).format(document)


def pdf_of_sheets(
    sheets: Sequence[Sheet], *, date: datetime.date | None = None, chapters: Sequence[tuple[str, int]] = ()
) -> bytes:
    """One page a sheet; the same sheets give the same bytes.

    Args:
        sheets: In order; the document is called by what the first one shows.
        date: Of what is shown, where one is declared.
        chapters: Bookmarks: what begins on which page, counted from 0.

    Raises:
        LetterError: A text with a letter that the face lacks.
    """
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=0, pdfVersion=_VERSION)
    canvas.setViewerPreference("PrintScaling", "None")
    # No method of the writer leaves an author or an hour out, or compresses without writing the result as letters.
    document: PDFDocument = canvas._doc  # type: ignore[attr-defined]  # not in its stubs
    # The library's own mark of the file depends on a date of the environment.
    document.signature = hashlib.md5(MARK, usedforsecurity=False)  # type: ignore[attr-defined]  # not in its stubs
    document.info = _About(one_line(sheets[0].drawing.name), date)
    document.defaultStreamFilters = [PDFZCompress]
    begins = {page: title for title, page in chapters}
    for i, sheet in enumerate(sheets):
        if i in begins:
            canvas.bookmarkPage(f"page{i}")
            canvas.addOutlineEntry(begins[i], f"page{i}")
        canvas.setPageSize((sheet.width * mm, sheet.height * mm))
        canvas.scale(mm, mm)
        if sheet.scale != (1.0, 1.0):
            canvas.translate(*sheet.shift)
            canvas.scale(*sheet.scale)
        # A mitred corner would run past the tip.
        canvas.setLineJoin(_ROUND)
        content = PageContent(document)
        for raster in sheet.rasters:
            name = place_pixels(document, raster.pixels)
            canvas._formsinuse.append(name)  # type: ignore[attr-defined]  # no method takes pixels as they are
            content.draw_raster(raster, name)
        for window in sheet.windows:
            content.draw_window(window)
        content.draw(sheet.drawing.items)
        canvas.addLiteral(content.text)
        canvas.showPage()
    if chapters:
        canvas.showOutline()
    canvas.save()
    return buffer.getvalue()
