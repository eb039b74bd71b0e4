"""Printed pages as they are read back from their PDF: words, boxes of text, sizes of type."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pypdfium2
import pypdfium2.raw as pdfium

from bladegeom.drawing.ruler import MARGIN

PT = 25.4 / 72
"""A point, mm."""

SHARED = 0.05
"""Boxes may share so much, mm: they are rounded in the file."""


@dataclass(frozen=True)
class ReadPage:
    """A page.

    Args:
        words: With single spaces between them.
        boxes: Of the words of each line, shape (n, 4), mm.
        width: Of the paper, mm.
        height: Of the paper, mm.
        least_pt: Of its letters, points.
    """

    words: str
    boxes: npt.NDArray[np.float64]
    width: float
    height: float
    least_pt: float


def read_pages(pdf: bytes) -> list[ReadPage]:
    """Every page of a document."""
    return [_read(page) for page in pypdfium2.PdfDocument(io.BytesIO(pdf))]


def bookmarks(pdf: bytes) -> list[tuple[str, int]]:
    """Title and page of each, counted from 0."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    return [(mark.get_title(), mark.get_dest().get_index()) for mark in document.get_toc()]


def require_clear(pdf: bytes) -> None:
    """No text of a document leaves what a printer reaches, and none is written over another."""
    for page in read_pages(pdf):
        require_clear_page(page)


def require_clear_page(page: ReadPage, margin: float = MARGIN) -> None:
    """The same of one page."""
    boxes = page.boxes
    assert boxes[:, :2].min() >= margin - SHARED, page.words
    assert boxes[:, 2].max() <= page.width - margin + SHARED, page.words
    assert boxes[:, 3].max() <= page.height - margin + SHARED, page.words
    low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
    over = np.triu(((high - low) > SHARED).all(axis=2), k=1)
    assert not over.any(), (page.words, boxes[over.any(axis=1)])


def _read(page: pypdfium2.PdfPage) -> ReadPage:
    text = page.get_textpage()
    boxes = np.array([text.get_rect(i) for i in range(text.count_rects())]).reshape(-1, 4) * PT
    words = " ".join(text.get_text_bounded().split())
    width, height = page.get_width() * PT, page.get_height() * PT
    return ReadPage(words, boxes, width, height, min(_sizes(text), default=np.inf))


def _sizes(text: pypdfium2.PdfTextPage) -> Iterator[float]:
    matrix = pdfium.FS_MATRIX()
    for i in range(text.count_chars()):
        if chr(pdfium.FPDFText_GetUnicode(text, i)).strip():
            pdfium.FPDFText_GetMatrix(text, i, matrix)
            yield float(pdfium.FPDFText_GetFontSize(text, i) * np.hypot(matrix.c, matrix.d))
