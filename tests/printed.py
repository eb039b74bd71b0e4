"""Pages as another program reads them: paths in mm from a PDF, and tiles put together again by their crosshairs."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt
import pypdfium2
from PIL import Image
from raster import DPI, PIXEL

from bladegeom.drawing.drawing import Circle, Sheet
from bladegeom.drawing.seams import OVERLAP

Array = npt.NDArray[np.float64]

POINT = 25.4 / 72
"""mm, by definition of the PDF user space unit."""

_RING = 1.5
"""Radius of a crosshair's ring, mm."""


def paths(page: pypdfium2.PdfPage) -> list[Array]:
    """All paths of a page, each as its points and control points in order, shape (n, 2), mm."""
    raw, out = pypdfium2.raw, []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        x, y = ctypes.c_float(), ctypes.c_float()
        rows = []
        for i in range(raw.FPDFPath_CountSegments(item)):
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, i), x, y)
            rows.append((x.value, y.value))
        m = item.get_matrix()
        xy = np.array(rows) @ np.array([[m.a, m.b], [m.c, m.d]]) + [m.e, m.f]
        out.append(xy * POINT)
    return out


def rings(found: Sequence[Array]) -> Array:
    """Centres of all crosshairs, in the order in which they were drawn, shape (n, 2), mm."""
    return np.array([xy.mean(axis=0) for xy in map(_corners, found) if _is_ring(xy)])


def _corners(xy: Array) -> Array:
    return np.array([xy.min(axis=0), xy.max(axis=0)])


def _is_ring(corners: Array) -> bool:
    return bool(np.allclose(np.ptp(corners, axis=0), 2 * _RING, atol=0.02))


def crosshairs(sheet: Sheet) -> Array:
    """Where the crosshairs that a tile shows should stand on it, shape (n, 2), mm."""
    (window,) = sheet.windows
    x0, y0, x1, y1 = window.box
    return np.array(
        [
            (item.x, item.y)
            for item in window.drawing.items
            if isinstance(item, Circle)
            and item.radius == _RING
            and item.layer == "NOTE"
            and x0 < item.x < x1
            and y0 < item.y < y1
        ]
    )


def ink_of(pdf: bytes, index: int = 0) -> Array:
    """A page's darkness at 600 dpi, upper left corner first."""
    picture = pypdfium2.PdfDocument(pdf)[index].render(scale=DPI / 72, grayscale=True).to_numpy()
    return np.asarray(255.0 - picture.reshape(*picture.shape[:2], -1)[:, :, 0])


def seen(ink: Array, sheet: Sheet) -> Array:
    """Where the crosshairs of a tile are in its picture: middles of their hair lines' ink, mm from the lower left."""
    out = []
    for x, y in crosshairs(sheet):
        row, column = len(ink) - y / PIXEL, x / PIXEL
        # Between the ring and the end of an arm, 1.7 to 4.8 mm from the centre, on the two sides without a name.
        near, far, wide = round(1.7 / PIXEL), round(4.8 / PIXEL), round(1.0 / PIXEL)
        r, c = round(row), round(column)
        left = ink[r - wide : r + wide, c - far : c - near].sum(axis=1)
        below = ink[r + near : r + far, c - wide : c + wide].sum(axis=0)
        up = (np.arange(r - wide, r + wide) + 0.5) @ left / left.sum()
        across = (np.arange(c - wide, c + wide) + 0.5) @ below / below.sum()
        out.append((across * PIXEL, (len(ink) - up) * PIXEL))
    return np.array(out)


def laid_on(first: Array, second: Array) -> Array:
    """The shift, mm, that brings the second page's crosshairs onto the first one's."""
    return np.asarray((first - second).mean(axis=0))


def lines_at(ink: Array, x: float, y: tuple[float, float]) -> Iterator[float]:
    """Heights of the middles of all thin lines that cross an upright one, mm from the page's lower border.

    Args:
        ink: Of the page.
        x: From its left border, mm.
        y: From where to where, mm from its lower border.
    """
    at = x / PIXEL - 0.5
    left = int(at)
    column = (1 - at + left) * ink[:, left] + (at - left) * ink[:, left + 1]
    top, low = round(len(ink) - y[1] / PIXEL), round(len(ink) - y[0] / PIXEL)
    rows = np.flatnonzero(column[top:low] > 20) + top
    for run in np.split(rows, np.flatnonzero(np.diff(rows) > 2) + 1):
        if 2 <= len(run) <= 12:
            around = np.arange(run[0] - 1, run[-1] + 2)
            yield float((len(ink) - (around + 0.5) @ column[around] / column[around].sum()) * PIXEL)


def joined(pictures: Sequence[Array], sheets: Sequence[Sheet]) -> Image.Image:
    """Tiles of one row as they lie when they are taped: each later one trimmed in the middle of its overlap."""
    shift = np.zeros(2)
    placed = [(pictures[0], 0.0, shift)]
    for i in range(1, len(sheets)):
        before, here = seen(pictures[i - 1], sheets[i - 1])[-2:], seen(pictures[i], sheets[i])[:2]
        shift = shift + laid_on(before, here)
        placed.append((pictures[i], sheets[i].windows[0].box[0] + OVERLAP / 2, shift))
    width = round((placed[-1][2][0] + sheets[-1].width) / PIXEL)
    height = len(pictures[0])
    board = np.zeros((height, width + 1))
    for ink, cut, by in placed:
        c, r = round((cut + by[0]) / PIXEL), -round(by[1] / PIXEL)
        part = ink[:, round(cut / PIXEL) :]
        lines = np.roll(part, r, axis=0)
        board[:, c:] = 0
        board[:, c : c + lines.shape[1]] = lines[:, : board.shape[1] - c]
    return Image.fromarray((255 - board).astype(np.uint8))
