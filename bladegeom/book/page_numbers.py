"""The number of each page with the mark of the revision, where nothing else stands on it."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterator, Sequence

from bladegeom.drawing.drawing import Drawing, Label, Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import TEXT
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import DEPTH

_FREE = 1.0
"""Kept between the number of a page and what stands on it, mm."""

_STEP = 3.0
"""Places that are tried are this far apart, mm."""


def numbered_pages(sheets: Sequence[Sheet], mark: str) -> tuple[Sheet, ...]:
    """The pages of one binding, each with the mark and its number.

    Args:
        sheets: In order.
        mark: What tells this binding from that of another revision.

    Raises:
        ExportError: A page has no room for its number.
    """
    return tuple(_numbered(sheet, f"{mark}, page {i} of {len(sheets)}") for i, sheet in enumerate(sheets, start=1))


def _numbered(sheet: Sheet, words: str) -> Sheet:
    taken = sheet.drawing.boxes
    for x, y in _places(sheet):
        label = Label(layer="NOTE", x=x, y=y, text=words, height=TEXT, anchor="end", bold=True)
        x0, y0, x1, y1 = Drawing(name="", items=(label,)).bounds
        beside = (taken[:, 0] > x1 + _FREE) | (taken[:, 2] < x0 - _FREE)
        if x0 >= MARGIN and (beside | (taken[:, 1] > y1 + _FREE) | (taken[:, 3] < y0 - _FREE)).all():
            drawing = dataclasses.replace(sheet.drawing, items=(*sheet.drawing.items, label))
            return dataclasses.replace(sheet, drawing=drawing)
    raise ExportError(f"{sheet.drawing.name}: a page has no room for {words!r}; name a larger paper")


def _places(sheet: Sheet) -> Iterator[tuple[float, float]]:
    """Right ends of the number, from the lower border upwards and from the right to the left."""
    columns = int((sheet.width - 2 * MARGIN) / _STEP)
    rows = int((sheet.height - 2 * MARGIN - TEXT) / _STEP)
    for row, column in itertools.product(range(rows), range(columns)):
        yield sheet.width - MARGIN - _STEP * column, MARGIN + DEPTH * TEXT + _STEP * row
