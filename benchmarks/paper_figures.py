"""What printed pages are like to read: pages, least type, how much of a page is filled, letters, what overlaps.

    python benchmarks/paper_figures.py exports/galley_petty/*_A4.pdf

Each figure is read from the PDF as a printer gets it, not from the drawing. Nothing is asserted: tests hold the limits.
"""

from __future__ import annotations

import argparse
import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium

MM = 25.4 / 72
"""A point, mm."""

CELL = 5.0
"""A page is filled where a square of this side holds ink, mm."""

SHARED = 0.1
"""Boxes of text may share so much, mm: they are rounded in the file."""

DPI = 72
BORDER = 10.0
"""Kept free on every page, mm: no part of what can be filled."""


@dataclass(frozen=True)
class Figures:
    """Of one page."""

    letters: int
    least_pt: float
    filled: float
    overlaps: int
    border: float


def figures(page: pypdfium2.PdfPage) -> Figures:
    """Of a page as it is read back."""
    text = page.get_textpage()
    boxes = np.array([text.get_rect(i) for i in range(text.count_rects())]).reshape(-1, 4) * MM
    grey = np.asarray(page.render(scale=DPI / 72).to_pil().convert("L"))
    dark = np.argwhere(grey < 200) * 25.4 / DPI
    height, width = (length * 25.4 / DPI for length in grey.shape)
    border = 0.0 if not len(dark) else float(np.minimum(dark.min(axis=0), (height, width) - dark.max(axis=0)).min())
    return Figures(
        letters=len("".join(text.get_text_bounded().split())),
        least_pt=min(sizes(text), default=0.0),
        filled=_filled(dark, width, height),
        overlaps=_overlaps(boxes),
        border=border,
    )


def sizes(text: pypdfium2.PdfTextPage) -> Iterator[float]:
    """Of each visible letter, points on the paper."""
    for i in range(text.count_chars()):
        if chr(pdfium.FPDFText_GetUnicode(text, i)).strip():
            matrix = pdfium.FS_MATRIX()
            pdfium.FPDFText_GetMatrix(text, i, matrix)
            yield float(pdfium.FPDFText_GetFontSize(text, i) * np.hypot(matrix.c, matrix.d))


def _filled(dark: np.ndarray, width: float, height: float) -> float:
    """Share of the squares within the borders that hold ink."""
    columns, rows = int((width - 2 * BORDER) / CELL), int((height - 2 * BORDER) / CELL)
    cells = np.unique(((dark - BORDER) // CELL).astype(int), axis=0)
    inside = ((cells >= 0) & (cells < (rows, columns))).all(axis=1)
    return float(inside.sum() / (rows * columns))


def _overlaps(boxes: np.ndarray) -> int:
    """Pairs of boxes of text that share more than a rounding."""
    return sum(
        bool(min(a[2], b[2]) - max(a[0], b[0]) > SHARED and min(a[3], b[3]) - max(a[1], b[1]) > SHARED)
        for a, b in itertools.combinations(boxes, 2)
    )


def main() -> None:
    """Print a line a page, and one a file."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("pdf", nargs="+", type=Path)
    for path in parser.parse_args().pdf:
        document = pypdfium2.PdfDocument(path)
        read = [figures(page) for page in document]
        print(f"{path.name}: {len(read)} pages")
        for i, page in enumerate(read, start=1):
            print(
                f"  {i:3}: least type {page.least_pt:4.1f} pt, filled {page.filled:4.0%}, {page.letters:5} letters, "
                f"{page.overlaps} overlaps, border {page.border:4.1f} mm"
            )
        filled = np.mean([page.filled for page in read])
        print(
            f"  all: least type {min(page.least_pt for page in read):.1f} pt, filled {filled:.0%}, "
            f"{np.mean([page.letters for page in read]):.0f} letters a page"
        )


if __name__ == "__main__":
    main()
