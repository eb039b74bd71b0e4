"""A sheet as PDF: the page box is the paper in true size, and viewers are asked not to scale it."""

from __future__ import annotations

import datetime
import io
import itertools
from collections.abc import Iterable, Sequence
from functools import cache

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFDocument, PDFInfo, PDFString
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from bladegeom.drawing.drawing import Circle, Item, Label, Path, Pen, Sheet, Window
from bladegeom.quantities.errors import LetterError
from bladegeom.quantities.face import face
from bladegeom.quantities.lettering import EM, lacking, one_line

_VERSION = (1, 6)
"""The first that knows PrintScaling; source: PDF 1.7, table 150."""

_ROUND = 1
"""Line join; source: PDF 1.7, table 55."""

_STRAIGHT = 1e-9
"""A line is straight whose inner control points stand at its thirds, but for so much, mm."""


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


def pdf_of_sheets(sheets: Sequence[Sheet], *, date: datetime.date | None = None) -> bytes:
    """One page a sheet; the same sheets give the same bytes.

    Args:
        sheets: In order; the document is called by what the first one shows.
        date: Of what is shown, where one is declared.

    Raises:
        LetterError: A text with a letter that the face lacks.
    """
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, pdfVersion=_VERSION)
    canvas.setViewerPreference("PrintScaling", "None")
    # No method of the writer leaves an author or an hour out.
    canvas._doc.info = _About(one_line(sheets[0].drawing.name), date)  # type: ignore[attr-defined]  # not in its stubs
    for sheet in sheets:
        canvas.setPageSize((sheet.width * mm, sheet.height * mm))
        canvas.scale(mm, mm)
        if sheet.scale != (1.0, 1.0):
            canvas.translate(*sheet.shift)
            canvas.scale(*sheet.scale)
        # A mitred corner would run past the tip.
        canvas.setLineJoin(_ROUND)
        for window in sheet.windows:
            _draw_window(canvas, window)
        _draw_all(canvas, sheet.drawing.items)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _draw_window(canvas: Canvas, window: Window) -> None:
    """The same curves as everywhere else; the page itself cuts them off."""
    canvas.saveState()
    x0, y0, x1, y1 = window.box
    border = canvas.beginPath()
    border.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(border, stroke=0, fill=0)
    _draw_all(canvas, window.drawing.items)
    canvas.restoreState()


def _draw_all(canvas: Canvas, items: Iterable[Item]) -> None:
    """In order; straight lines of one pen that follow each other, such as the ticks of a bar, as one path."""
    for pen, run in itertools.groupby(items, _straight_pen):
        if pen is None:
            for item in run:
                _draw(canvas, item)
        else:
            _set_pen(canvas, pen)
            canvas.lines([(*item.curve.start, *item.curve.end) for item in run if isinstance(item, Path)])


def _straight_pen(item: Item) -> Pen | None:
    """The pen of one straight open line."""
    if not isinstance(item, Path) or item.closed or item.filled or len(item.curve.pieces) > 1:
        return None
    (x0, y0), (ax, ay), (bx, by), (x1, y1) = item.curve.pieces[0].tolist()
    off = (3 * ax - 2 * x0 - x1, 3 * ay - 2 * y0 - y1, 3 * bx - x0 - 2 * x1, 3 * by - y0 - 2 * y1)
    return item.pen if max(map(abs, off)) < _STRAIGHT else None


def _draw(canvas: Canvas, item: Item) -> None:
    if isinstance(item, Label):
        _draw_text(canvas, item)
        return
    _set_pen(canvas, item.pen)
    if isinstance(item, Circle):
        canvas.circle(item.x, item.y, item.radius, stroke=1, fill=int(item.filled))
    else:
        _draw_path(canvas, item)


def _draw_path(canvas: Canvas, item: Path) -> None:
    pieces = item.curve.pieces.tolist()
    path = canvas.beginPath()
    path.moveTo(*pieces[0][0])
    for _, a, b, end in pieces:
        path.curveTo(*a, *b, *end)
    if item.closed:
        path.close()
    canvas.drawPath(path, stroke=1, fill=int(item.filled))


def _set_pen(canvas: Canvas, pen: Pen) -> None:
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dashes))
    canvas.setStrokeGray(pen.grey)
    canvas.setFillGray(pen.grey)


def _draw_text(canvas: Canvas, label: Label) -> None:
    if letters := lacking(label.text):
        raise LetterError(label.text, letters)
    canvas.saveState()
    canvas.setFillGray(0.0)
    canvas.translate(label.x, label.y)
    canvas.rotate(label.angle_deg)
    canvas.setFont(_embedded(bold=label.bold), label.height * EM)
    draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    draw[label.anchor](0, 0, label.text)
    canvas.restoreState()


@cache
def _embedded(*, bold: bool) -> str:
    """The name under which the face is known; of its letters, a document gets those that it shows."""
    typeface = face(bold=bold)
    registerFont(TTFont(typeface.name, io.BytesIO(typeface.data), asciiReadable=False))
    return typeface.name
