"""The number of each page with the mark of the revision, where nothing else stands on it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.drawing.drawing import Drawing, Label, Sheet
from bladegeom.drawing.footprint import Footprint
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import HEAD, LEADING, TEXT
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import DEPTH, text_width

_FREE = 1.0
"""Kept between the number of a page and what stands on it, mm."""

_STEP = 3.0
"""Places that are tried are this far apart, mm."""


def numbered_pages(sheets: Sequence[Sheet], mark: str, *, name: str = "") -> tuple[Sheet, ...]:
    """The pages of one binding, each with the knife's name, the mark and its number.

    Args:
        sheets: In order.
        mark: What tells this binding from that of another revision.
        name: Of the knife; left out where a page has no room for it, as it stands in the head of each.

    Raises:
        ExportError: A page has no room for its number.
    """
    return tuple(_numbered(sheet, name, f"{mark}, page {i} of {len(sheets)}") for i, sheet in enumerate(sheets, 1))


def _numbered(sheet: Sheet, name: str, words: str) -> Sheet:
    for lines in _ways(sheet, name, words):
        number = Drawing(name="", items=tuple(_line(text, i, len(lines)) for i, text in enumerate(lines)))
        if (place := _free_place(sheet, number)) is not None:
            drawing = dataclasses.replace(sheet.drawing, items=(*sheet.drawing.items, *number.moved(*place).items))
            return dataclasses.replace(sheet, drawing=drawing)
    raise ExportError(f"{sheet.drawing.name}: a page has no room for {words!r}; name a larger paper")


def _ways(sheet: Sheet, name: str, words: str) -> Iterator[Sequence[str]]:
    """Lines of a number, the best first: on one line, on two, without the name."""
    room, whole = sheet.width - 2 * MARGIN, f"{name} {words}".lstrip()
    if text_width(whole, TEXT, bold=True) <= room:
        yield (whole,)
    if name and max(text_width(text, TEXT, bold=True) for text in (name, words)) <= room:
        yield name, words
    yield (words,)


def _line(text: str, number: int, many: int) -> Label:
    up = (many - 1 - number) * TEXT * LEADING
    return Label(layer="NOTE", x=0.0, y=up, text=text, height=TEXT, anchor="end", bold=True)


def _free_place(sheet: Sheet, number: Drawing) -> tuple[float, float] | None:
    """Where the lower right end of a number comes to lie; None where nothing is free."""
    x0, y0, x1, y1 = number.bounds
    places = _places(sheet, -x0, y1)
    rooms = places[:, [0, 1, 0, 1]] + [x0 - _FREE, y0 - _FREE, x1 + _FREE, y1 + _FREE]
    free = ~_meet(rooms, _taken(sheet)).any(axis=1)
    if not free.any():
        # A slanting knife leaves free much of the box around it.
        free = ~shapely.intersects(_solid(sheet), shapely.box(*rooms.T))
    return tuple(places[free.argmax()].tolist()) if free.any() else None


def _places(sheet: Sheet, width: float, height: float) -> FloatArray:
    """Lower right ends of a number so large, shape (n, 2).

    In the lower right corner, where pages of text have it; in the upper one, as bars stand in the other; or else from
    the lower border upwards and from right to left.
    """
    right, top = sheet.width - MARGIN, sheet.height - MARGIN - max(height, HEAD)
    x = np.arange(sheet.width - MARGIN, MARGIN + width, -_STEP)
    y = np.arange(MARGIN + DEPTH * TEXT, sheet.height - MARGIN - height, _STEP)
    corners = np.array([(right, MARGIN + DEPTH * TEXT), (right, top)])
    return np.concatenate([corners, np.stack([np.tile(x, len(y)), np.repeat(y, len(x))], axis=1)])


def _solid(sheet: Sheet) -> BaseGeometry:
    """What stands on a page, with what lies within closed lines."""
    seen = [Footprint(sheet.drawing).solid]
    seen += [shapely.intersection(Footprint(each.drawing).solid, shapely.box(*each.box)) for each in sheet.windows]
    whole = shapely.union_all(seen)
    shapely.prepare(whole)
    return whole


def _taken(sheet: Sheet) -> FloatArray:
    """Boxes of what stands on a page; of what is cut off at a border, as much as is seen."""
    seen = [sheet.drawing.boxes]
    for window in sheet.windows:
        boxes = window.drawing.boxes[_meet(window.drawing.boxes, np.array([window.box]))[:, 0]]
        seen.append(np.hstack([np.maximum(boxes[:, :2], window.box[:2]), np.minimum(boxes[:, 2:], window.box[2:])]))
    return np.concatenate(seen)


def _meet(boxes: FloatArray, others: FloatArray) -> npt.NDArray[np.bool_]:
    """Which boxes meet which others, shape (n, m)."""
    after = (boxes[:, None, :2] <= others[None, :, 2:]).all(axis=2)
    return np.asarray(after & (others[None, :, :2] <= boxes[:, None, 2:]).all(axis=2))
