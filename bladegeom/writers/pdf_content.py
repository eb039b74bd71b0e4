"""What draws one page of a PDF: its operators, each written once, in mm.

The library that makes the document writes each number by a search for its shortest form and sets up the pen anew for
every line; that took as long as all geometry of a page. Here numbers have four decimals, and a pen is set when it
changes.

Source:
    The operators: PDF 1.7 (ISO 32000-1), tables 51, 57, 59 to 61, 74, 87, 105, 107 to 109.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from functools import cache

from reportlab.pdfbase.pdfdoc import PDFDocument, xObjectName
from reportlab.pdfbase.ttfonts import TTFont

from bladegeom.drawing.drawing import Circle, Item, Label, Path, Pen, Raster, Window
from bladegeom.quantities.errors import LetterError
from bladegeom.quantities.face import face
from bladegeom.quantities.lettering import EM, lacking

_STRAIGHT = 1e-9
"""A line is straight whose inner control points stand at its thirds, but for so much, mm."""

_ROUND = 4 / 3 * (math.sqrt(2) - 1)
"""Where the control points of a quarter circle stand, in radii: its middle lies on the circle."""

_PAINT = {False: "S", True: "B*"}
"""Draw the line; or fill it too, by the rule of odd and even. Source: PDF 1.7, table 60."""

_MOVE = "{:z.4f} {:z.4f} m".format
_LINE = "{:z.4f} {:z.4f} m {:z.4f} {:z.4f} l".format
_CURVE = "{:z.4f} {:z.4f} {:z.4f} {:z.4f} {:z.4f} {:z.4f} c".format
_CLIP = "{:z.4f} {:z.4f} {:z.4f} {:z.4f} re W n".format
_RASTER = "{:z.4f} 0 0 {:z.4f} {:z.4f} {:z.4f} cm".format
_TEXT = "BT {:z.6f} {:z.6f} {:z.6f} {:z.6f} {:z.4f} {:z.4f} Tm".format

_ANCHORED = {"start": 0.0, "middle": 0.5, "end": 1.0}


class PageContent:
    """Operators of a page, in order.

    Args:
        document: Of which the page is; it gets those letters of the faces that the page shows.
    """

    def __init__(self, document: PDFDocument) -> None:
        self._document = document
        self._steps: list[str] = []
        self._lines: list[str] = []
        self._pen: Pen | None = None
        self._fill: float | None = None

    @property
    def text(self) -> str:
        """All that was drawn."""
        self._end_lines()
        return "\n".join(self._steps)

    def draw(self, items: Iterable[Item]) -> None:
        """In order; straight lines of one pen that follow each other, such as the ticks of a bar, are one path.

        Raises:
            LetterError: A text with a letter that the face lacks.
        """
        for item in items:
            if isinstance(item, Path):
                self._draw_path(item)
            elif isinstance(item, Circle):
                self._draw_circle(item)
            else:
                self._draw_text(item)

    def draw_raster(self, raster: Raster, name: str) -> None:
        """Pixels that the document holds under a name."""
        self._add("q", _RASTER(raster.width, raster.height, raster.x, raster.y), f"/{xObjectName(name)} Do", "Q")

    def draw_window(self, window: Window) -> None:
        """The same curves as everywhere else; the page itself cuts them off.

        Raises:
            LetterError: A text with a letter that the face lacks.
        """
        x0, y0, x1, y1 = window.box
        self._add("q", _CLIP(x0, y0, x1 - x0, y1 - y0))
        self.draw(window.drawing.items)
        self._add("Q")
        # What was set inside is forgotten.
        self._pen = self._fill = None

    def _add(self, *steps: str) -> None:
        self._end_lines()
        self._steps += steps

    def _end_lines(self) -> None:
        if self._lines:
            self._steps += [*self._lines, "S"]
            self._lines = []

    def _draw_path(self, item: Path) -> None:
        pieces = item.curve.pieces.tolist()
        if len(pieces) == 1 and not (item.closed or item.filled) and _is_straight(pieces[0]):
            (x0, y0), *_, (x1, y1) = pieces[0]
            self._set(item.pen, filled=False)
            self._lines.append(_LINE(x0, y0, x1, y1))
            return
        self._set(item.pen, filled=item.filled)
        self._add(_MOVE(*pieces[0][0]))
        self._steps += [_CURVE(*a, *b, *end) for _, a, b, end in pieces]
        self._steps.append(f"h {_PAINT[item.filled]}" if item.closed else _PAINT[item.filled])

    def _draw_circle(self, item: Circle) -> None:
        self._set(item.pen, filled=item.filled)
        x, y, r, c = item.x, item.y, item.radius, _ROUND * item.radius
        quarters = (
            (x + r, y + c, x + c, y + r, x, y + r),
            (x - c, y + r, x - r, y + c, x - r, y),
            (x - r, y - c, x - c, y - r, x, y - r),
            (x + c, y - r, x + r, y - c, x + r, y),
        )
        self._add(_MOVE(x + r, y))
        self._steps += [_CURVE(*quarter) for quarter in quarters]
        self._steps.append(f"h {_PAINT[item.filled]}")

    def _draw_text(self, label: Label) -> None:
        if letters := lacking(label.text):
            raise LetterError(label.text, letters)
        font, size = _font(bold=label.bold), label.height * EM
        turn = math.radians(label.angle_deg)
        along, across = math.cos(turn), math.sin(turn)
        back = _ANCHORED[label.anchor] * font.stringWidth(label.text, size) if label.anchor != "start" else 0.0
        place = (along, across, -across, along, label.x - back * along, label.y - back * across)
        self._set_fill(0.0)
        self._add(_TEXT(*place))
        for subset, letters_of_it in font.splitString(label.text, self._document):
            name = font.getSubsetInternalName(subset, self._document)
            self._steps.append(f"{name} {size:.6f} Tf <{letters_of_it.hex()}> Tj")
        self._steps.append("ET")

    def _set(self, pen: Pen, *, filled: bool) -> None:
        if pen != self._pen:
            self._pen = pen
            dashes = " ".join(f"{dash:.4f}" for dash in pen.dashes)
            self._add(f"{pen.width:.4f} w [{dashes}] 0 d {pen.grey:.4f} G")
        if filled:
            self._set_fill(pen.grey)

    def _set_fill(self, grey: float) -> None:
        if grey != self._fill:
            self._fill = grey
            self._add(f"{grey:.4f} g")


def _is_straight(piece: list[list[float]]) -> bool:
    (x0, y0), (ax, ay), (bx, by), (x1, y1) = piece
    off = (3 * ax - 2 * x0 - x1, 3 * ay - 2 * y0 - y1, 3 * bx - x0 - 2 * x1, 3 * by - y0 - 2 * y1)
    return max(map(abs, off)) < _STRAIGHT


@cache
def _font(*, bold: bool) -> TTFont:
    """The face; of its letters, a document gets those that it shows."""
    typeface = face(bold=bold)
    return TTFont(typeface.name, io.BytesIO(typeface.data), asciiReadable=False)
