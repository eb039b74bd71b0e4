"""PDF: the page box is the paper, bars measure true when rendered, text can be found, the same bytes every time."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import io
import os
import re
import subprocess
import sys
import zlib
from functools import cache

import numpy as np
import pypdfium2
import pytest
import raster
import specimens
from draws import quick
from hypothesis import given
from hypothesis.strategies import floats
from PIL import ImageFont
from reportlab.pdfgen.canvas import Canvas

from bladegeom.curves.build import direction, line
from bladegeom.curves.curve import Curve, join
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import CUT_PEN, Circle, Drawing, Label, Path, Pen, Sheet, Window
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.errors import LetterError
from bladegeom.quantities.face import face
from bladegeom.quantities.lettering import EM
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.writers.pdf import pdf_of_sheets
from bladegeom.writers.pdf_content import PageContent

POINT = 25.4 / 72
"""mm, by definition of the PDF user space unit."""


@cache
def page(paper_name: str = "A4", name: str = "specimen") -> Sheet:
    knife = dataclasses.replace(
        add_lightening_row(add_fasteners(specimens.drop_point(), specimens.pins("1/4"), count=2)), name=name
    )
    (pages,) = blade_pages(Design(knife), [paper(paper_name)])
    return pages.faces["right"][0]


def opened(*sheets: Sheet) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(pdf_of_sheets(sheets))


def plain(*items: Path | Circle | Label, width: float = 100.0, height: float = 50.0) -> Sheet:
    return Sheet(width=width, height=height, drawing=Drawing(name="x", items=items))


def drawn(*items: Path | Circle | Label) -> list[str]:
    """By which operators lines and curves go on, as the file holds them."""
    file = pdf_of_sheets((plain(*items),))
    streams = re.findall(rb"/Filter \[ /FlateDecode \].*?stream\r?\n(.*?)endstream", file, flags=re.DOTALL)
    (content,) = (text for text in map(zlib.decompress, streams) if text.startswith(b"1 0 0 1 0 0 cm"))
    return [word for word in content.decode().split() if word in ("l", "c", "h", "S", "B*")][:-1]


# Source: ISO 216 and ASME Y14.1 size A in points of 1/72 in, computed to six decimals.
@pytest.mark.parametrize(("name", "width", "height"), [("A4", 841.889764, 595.275591), ("Letter", 792.0, 612.0)])
def test_page_box_is_the_paper(name: str, width: float, height: float) -> None:
    document = opened(page(name))
    assert len(document) == 1
    assert document[0].get_mediabox() == pytest.approx((0, 0, width, height), abs=0.01)
    assert document[0].get_size() == pytest.approx((width, height), abs=0.01)


def test_viewers_are_asked_not_to_scale() -> None:
    # Source: PDF 1.7, table 150: PrintScaling None asks for no scaling; it came with PDF 1.6.
    document = opened(page())
    assert not pypdfium2.raw.FPDF_VIEWERREF_GetPrintScaling(document)
    assert document.get_version() == 16


@pytest.mark.parametrize("name", quick(["A4", "Letter"], "A4"))
def test_bars_measure_true_when_rendered(name: str) -> None:
    picture = opened(page(name))[0].render(scale=raster.DPI / 72, grayscale=True).to_pil()
    found = list(raster.measured(picture, page(name)))
    assert len(found) == 4
    for wanted, got in found:
        assert got == pytest.approx(wanted, abs=raster.PIXEL / 2)


def test_shapes_stand_where_they_are_drawn() -> None:
    square = join(line((10, 10), (30, 10), (30, 20)), line((30, 20), (10, 20), (10, 10)))
    sheet = plain(
        Path(layer="CUT", curve=square, closed=True, filled=True),
        Circle(layer="CUT", x=60, y=25, radius=10, filled=True),
        Label(layer="NOTE", x=80, y=40, text="H", height=9.0),
    )
    ink = 255 - np.asarray(opened(sheet)[0].render(scale=720 / 72, grayscale=True).to_pil(), dtype=float)
    per_mm = 720 / 25.4
    for left, right, low, high in ((9, 31, 9, 21), (49, 71, 14, 36)):
        part = ink[
            round((50 - high) * per_mm) : round((50 - low) * per_mm), round(left * per_mm) : round(right * per_mm)
        ]
        wanted = 20 * 10 if left == 9 else np.pi * 100
        # The pen of 0.13 mm is centred on the border: half of it lies outside.
        border = 60 if left == 9 else 2 * np.pi * 10
        assert part.sum() / 255 / per_mm**2 == pytest.approx(wanted + border * 0.13 / 2, rel=2e-3)
    rows, _ = np.nonzero(ink[:, round(75 * per_mm) :] > 128)
    # An H of the face is 0.688 em high (Pillow's picture of the file); 9 mm of ours are an em of 10 mm.
    assert np.ptp(rows) / per_mm == pytest.approx(6.88, abs=0.1)
    assert 50 - rows.max() / per_mm == pytest.approx(40.0, abs=0.1)


def test_a_pointed_tip_is_not_drawn_longer_than_it_is() -> None:
    tip = join(line((10, 20), (60, 25)), line((60, 25), (10, 30)))
    picture = opened(plain(Path(layer="CUT", curve=tip, pen=CUT_PEN)))[0].render(scale=20, grayscale=True).to_pil()
    columns = np.nonzero((np.asarray(picture) < 128).any(axis=0))[0]
    # Half the pen of 0.2 mm beyond the tip; a mitred join would reach 1 mm.
    assert columns.max() * POINT / 20 == pytest.approx(60.1, abs=0.03)


def test_text_can_be_found_and_turned() -> None:
    text = opened(page())[0].get_textpage().get_text_range()
    for wanted in ("specimen, revision A-", "handle front", "F1 dia. 6.35 mm (1/4 in), drilled", "100 mm", "4 in"):
        assert wanted in text


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ('Tom & "Jerry" <b> (50 %) \\', 'Tom & "Jerry" <b> (50 %) \\'),
        ("K\u00fcchenmesser \u20ac", "K\u00fcchenmesser \u20ac"),
        ("Ji\u0159\u00ed \u0150, \u017beglarz", "Ji\u0159\u00ed \u0150, \u017beglarz"),
        ("Jir\u030ci\u0301 O\u030b", "Ji\u0159\u00ed \u0150"),
        ("\u0395\u03bb\u03bb\u03ac\u03b4\u03b1", "\u0395\u03bb\u03bb\u03ac\u03b4\u03b1"),
        ("\u041d\u043e\u0436 \u0404\u0432\u0433\u0435\u043d", "\u041d\u043e\u0436 \u0404\u0432\u0433\u0435\u043d"),
    ],
)
def test_names_in_latin_greek_and_cyrillic_are_shown_letter_for_letter(name: str, shown: str) -> None:
    # Source: the text as PDFium extracts it; accents that follow their letter are composed as Unicode's NFC says.
    document = opened(page(name=name))
    assert shown in document[0].get_textpage().get_text_range()
    assert document.get_metadata_value("Title") == shown


def test_each_letter_leaves_the_ink_of_its_own_shape() -> None:
    # The face that Debian's package fonts-liberation2 2.1.5 brings, drawn by another library: FreeType through Pillow.
    font = ImageFont.truetype(io.BytesIO(face().data), 400)
    for letter in "\u0159\u0150\u03a9\u0416":
        sheet = plain(Label(layer="NOTE", x=20, y=20, text=letter, height=20 / EM))
        ink = 255 - np.asarray(opened(sheet)[0].render(scale=720 / 72, grayscale=True).to_pil(), dtype=float)
        rows, columns = np.nonzero(ink > 128)
        left, top, right, bottom = font.getmask(letter).getbbox()
        per_mm = 720 / 25.4
        # An em is 20 mm on the page, 400 pixels in the other picture.
        assert np.ptp(columns) / per_mm == pytest.approx((right - left) / 20, abs=0.15)
        assert np.ptp(rows) / per_mm == pytest.approx((bottom - top) / 20, abs=0.15)


@pytest.mark.parametrize("text", ["\u5305\u4e01", "\u05e9", "x\u030c", "\U0001f52a"])
def test_a_letter_that_the_face_lacks_is_named_and_never_swapped(text: str) -> None:
    with pytest.raises(LetterError, match=f"U\\+{ord(text[-1]):04X}"):
        pdf_of_sheets([plain(Label(layer="NOTE", x=10, y=10, text=f"for {text}"))])


def test_nothing_is_told_of_the_document_that_nobody_declared() -> None:
    told = opened(page()).get_metadata_dict()
    assert {name: text for name, text in told.items() if text} == {"Title": "specimen", "Creator": "bladegeom"}
    dated = pypdfium2.PdfDocument(pdf_of_sheets([page()], date=datetime.date(2026, 3, 1)))
    # Source: ISO 32000-1, 7.9.4: a date may end after its day.
    assert dated.get_metadata_value("CreationDate") == "D:20260301"


def test_several_sheets_are_several_pages() -> None:
    document = opened(page(), page("Letter"), plain(width=50.8, height=25.4))
    # 50.8 x 25.4 mm are 144 x 72 points.
    assert [round(p.get_width()) for p in document] == [842, 792, 144]


def test_the_same_sheet_gives_the_same_bytes() -> None:
    page.cache_clear()
    first = pdf_of_sheets([page()])
    page.cache_clear()
    assert pdf_of_sheets([page()]) == first
    assert not re.search(rb"/CreationDate \(D:20[1-9]", first)


_SMALL = """
import hashlib
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Circle, Drawing, Label, Path, Sheet
from bladegeom.writers.pdf import pdf_of_sheets
items = (Path(layer="CUT", curve=line((1, 1), (9, 9))), Label(layer="NOTE", x=1, y=1, text="a", bold=True),
         Circle(layer="DRILL", x=5, y=5, radius=1), Label(layer="NOTE", x=1, y=1, text="b"))
print(hashlib.sha256(pdf_of_sheets([Sheet(width=50, height=50, drawing=Drawing(name="x", items=items))])).hexdigest())
"""


def test_bytes_do_not_depend_on_the_hash_seed() -> None:
    running = [
        subprocess.Popen(
            [sys.executable, "-c", _SMALL],
            env={**os.environ, "PYTHONHASHSEED": str(seed)},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in range(4)
    ]
    sums = [process.communicate(timeout=60)[0].strip() for process in running]
    assert [process.returncode for process in running] == [0] * 4
    assert len(set(sums)) == 1
    assert len(sums[0]) == hashlib.sha256().digest_size * 2


@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 180.0, 270.0])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_curve_is_drawn_as_a_curve_to_whichever_side_it_bends(side: float, turn_deg: float) -> None:
    """A line that is straight goes with its neighbours, as one path from end to end."""
    way, over = direction(turn_deg), direction(turn_deg + side * 90.0)
    control = [(s * way[0] + b * over[0], s * way[1] + b * over[1]) for s, b in ((0, 0), (10, 2), (20, 2), (30, 0))]
    bent, straight = Curve(np.array([control])), line(control[0], control[3])
    assert drawn(Path(layer="NOTE", curve=bent)) == ["c"]
    assert drawn(Path(layer="NOTE", curve=straight)) == ["l"]


def test_lines_of_one_pen_that_follow_each_other_are_one_path() -> None:
    tick = Path(layer="NOTE", curve=line((0.0, 0.0), (1.0, 0.0)))
    other = dataclasses.replace(tick, pen=CUT_PEN)
    assert drawn(tick, tick, other, tick) == ["l", "l", "S", "l", "S", "l"]


def painted(content: str) -> list[list[str]]:
    """By which pen each thing is painted, and filled how, as a viewer does it: q keeps both and Q brings them back.

    Source: PDF 1.7, 8.4.2, and the first values of tables 52 and 74: a pen of 1, no dashes, all black.
    """
    now, kept, out = {"G": "1.0000 w [] 0 d 0.0000 G", "g": "0.0000 g"}, list[dict[str, str]](), list[list[str]]()
    for step in content.splitlines():
        word = step.rpartition(" ")[2]
        if word == "q":
            kept.append(dict(now))
        elif word == "Q":
            now = kept.pop()
        elif word in now:
            now[word] = step
        elif word in _BY:
            out.append([now[name] for name in _BY[word]])
    return out


_BY = {"S": ("G",), "B*": ("G", "g"), "Tj": ("g",)}
"""What paints, and by which of both; source: PDF 1.7, tables 60 and 109."""


def test_each_thing_is_painted_with_its_own_pen_whatever_came_before() -> None:
    grey = Pen(width=0.5, dashes=(2.0, 1.0), grey=0.75)
    bent = join(line((0, 0), (9, 0)), line((9, 0), (9, 9)))
    thin, wide = Path(layer="NOTE", curve=bent), Path(layer="NOTE", curve=bent, pen=grey, closed=True, filled=True)
    spot, words = (
        Circle(layer="DRILL", x=5, y=5, radius=1, pen=grey, filled=True),
        Label(layer="NOTE", x=1, y=1, text="a"),
    )
    content = PageContent(Canvas(io.BytesIO())._doc)  # type: ignore[attr-defined]
    content.draw([thin, wide, words])
    content.draw_window(Window(drawing=Drawing(name="x", items=(thin, spot)), box=(0, 0, 9, 9)))
    content.draw([wide, words, spot, thin, words])
    pens = {
        pen: f"{pen.width:.4f} w [{' '.join(f'{d:.4f}' for d in pen.dashes)}] 0 d {pen.grey:.4f} G"
        for pen in (thin.pen, grey)
    }
    by_thin, by_grey, black = [pens[thin.pen]], [pens[grey], "0.7500 g"], ["0.0000 g"]
    before, inside = [by_thin, by_grey, black], [by_thin, by_grey]
    assert painted(content.text) == [*before, *inside, by_grey, black, by_grey, by_thin, black]


def test_a_filled_line_is_no_plain_line() -> None:
    assert drawn(Path(layer="NOTE", curve=line((0.0, 0.0), (9.0, 0.0)), filled=True)) == ["c"]


# Source: no point of a circle drawn as four cubics is off it by more than 2.8e-4 radii, by the closed form of their
# greatest distance at t where 4 k t(1-t) is extreme; the text of a content stream has four decimals.
@given(x=floats(-50, 50), y=floats(-50, 50), radius=floats(0.1, 30.0))
def test_a_circle_is_round_and_lies_where_it_is_drawn(x: float, y: float, radius: float) -> None:
    content = PageContent(Canvas(io.BytesIO())._doc)  # type: ignore[attr-defined]
    content.draw([Circle(layer="DRILL", x=x, y=y, radius=radius)])
    start, *curves = [step for step in content.text.splitlines() if step.endswith((" m", " c"))]
    at = [float(value) for value in start.split()[:2]]
    for curve in curves:
        points = np.array([at, *np.reshape([float(value) for value in curve.split()[:6]], (3, 2))])
        t = np.linspace(0.0, 1.0, 33)[:, None]
        on = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
        off = np.hypot(*(sum(weight * point for weight, point in zip(on, points, strict=True)) - (x, y)).T) - radius
        assert np.abs(off).max() <= 2.8e-4 * radius + 2e-4
        at = points[3]
    assert at == pytest.approx((x + radius, y), abs=1e-4)
