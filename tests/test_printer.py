"""A printer's correction: two readings make every page come out true, or are refused."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import cache
from xml.etree import ElementTree as ET

import pypdfium2
import pytest
import raster
import resvg_py
import shapely
import specimens
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from refusals import refusal

from bladegeom import Hole
from bladegeom.commands.export import exported
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Label, Sheet
from bladegeom.drawing.printer import Printer, printer_of
from bladegeom.drawing.ruler import MARGIN
from bladegeom.placing.place import add_fasteners
from bladegeom.quantities.errors import BladegeomError, ParameterError
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.writers.pdf import pdf_of_sheets
from bladegeom.writers.svg import svg_of_sheet

ONE = Printer(across=99.6, along=100.2)


@cache
def sheets(printer: Printer = ONE, name: str = "A4") -> tuple[Sheet, ...]:
    knife = add_fasteners(specimens.chef(), specimens.pins("1/4"), count=2)
    (pages,) = blade_pages(Design(knife), [printer.room(paper(name))], remarks=[printer.words])
    return tuple(printer.corrected(sheet) for sheet in pages.sheets)


def rendered_pdf(sheet: Sheet) -> Image.Image:
    page = pypdfium2.PdfDocument(pdf_of_sheets([sheet]))[0]
    picture: Image.Image = page.render(scale=raster.DPI / 72, grayscale=True).to_pil()
    return picture


def rendered_svg(sheet: Sheet) -> Image.Image:
    png = resvg_py.svg_to_bytes(svg_string=svg_of_sheet(sheet).decode(), dpi=raster.DPI, skip_system_fonts=True)
    return Image.open(io.BytesIO(bytes(png)))


@pytest.mark.parametrize("render", quick([rendered_pdf, rendered_svg], rendered_pdf))
def test_bars_are_longer_by_the_reciprocal_of_the_reading(render: Callable[[Sheet], Image.Image]) -> None:
    sheet = sheets()[0]
    # Lying: the long side of the paper is the page's width.
    assert sheet.scale == pytest.approx((100 / 100.2, 100 / 99.6))
    got = sorted(raster.measured(render(sheet), sheet))
    wanted = sorted((100 * 100 / 100.2, 101.6 * 100 / 100.2, 100 * 100 / 99.6, 101.6 * 100 / 99.6))
    assert [w for w, _ in got] == pytest.approx(wanted)
    for length, measured in got:
        assert measured == pytest.approx(length, abs=raster.PIXEL / 2)


def test_every_page_says_for_whom_it_is_drawn() -> None:
    assert len(sheets()) > 2
    for sheet in sheets():
        told = " ".join(item.text for item in sheet.drawing.items if isinstance(item, Label))
        assert "Corrected for printer: across 1.0040, along 0.9980; use on no other printer." in told


@given(across=st.floats(90.0, 110.0), along=st.floats(90.0, 110.0), name=st.sampled_from(["A4", "Letter", "Tabloid"]))
def test_margins_hold_on_the_page_and_on_the_print(across: float, along: float, name: str) -> None:
    printer, own = Printer(across=across, along=along), paper(name)
    room = printer.room(own)
    corners = Drawing(
        name="x",
        items=(
            Label(layer="NOTE", x=MARGIN, y=MARGIN, text=""),
            Label(layer="NOTE", x=room.height - MARGIN, y=room.width - MARGIN, text=""),
        ),
    )
    for width, height in ((room.height, room.width), (room.width, room.height)):
        sheet = printer.corrected(Sheet(width=width, height=height, drawing=corners))
        assert sorted((sheet.width, sheet.height)) == pytest.approx(sorted((own.width, own.height)), abs=1e-5)
        for size, laid, factor, shift in zip(
            (sheet.width, sheet.height), (width, height), sheet.scale, sheet.shift, strict=True
        ):
            ends = [factor * v + shift for v in (MARGIN, laid - MARGIN)]
            assert min(ends[0], size - ends[1]) >= MARGIN - 1e-5
            # As it comes out of the printer, about the middle of the paper.
            half = (ends[1] - ends[0]) / 2 / factor
            assert half <= size / 2 - MARGIN + 1e-5


def test_everything_keeps_within_the_margins() -> None:
    for printer in (ONE, Printer(across=90.0, along=110.0), Printer(across=110.0, along=91.0)):
        for sheet in sheets(printer):
            (a, b), (c, d) = sheet.scale, sheet.shift
            reach = shapely.box(MARGIN, MARGIN, sheet.width - MARGIN, sheet.height - MARGIN).buffer(1e-5)
            boxes = [sheet.drawing.bounds, *(window.box for window in sheet.windows)]
            for x0, y0, x1, y1 in boxes:
                assert reach.contains(shapely.box(a * x0 + c, b * y0 + d, a * x1 + c, b * y1 + d))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("100", "such as '99.6 x 100.2'"),
        ("", "such as '99.6 x 100.2'"),
        ("good", "such as '99.6 x 100.2'"),
        ("nan x 100", "nan"),
        ("100 x", "such as '99.6 x 100.2'"),
        ("99 x 100 x 101", "100 x 101"),
        ("89.9 x 100", refusal("printer: the 100 mm bar across the page", "89.9 mm")),
        ("100 x 110.1", refusal("printer: the 100 mm bar along the page", "110.1 mm")),
        ("-99 x 100", "across the page"),
        ("1e2 x 100", "1e2"),
    ],
)
def test_readings_that_no_printer_gives_are_refused(text: str, words: str) -> None:
    with pytest.raises(BladegeomError, match=re.escape(words)):
        printer_of(text)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), 0.0])
def test_no_number_is_refused(bad: float) -> None:
    with pytest.raises(ParameterError):
        Printer(across=bad, along=100.0)
    with pytest.raises(ParameterError):
        Printer(across=100.0, along=bad)


@pytest.mark.parametrize("text", ["99.6 x 100.2", "99.6x100.2", "99.6 mm X 100.2 mm", "99.6 \u00d7 100.2"])
def test_readings_may_be_written_in_several_ways(text: str) -> None:
    assert printer_of(text) == ONE


def test_all_files_of_an_export_are_corrected() -> None:
    hole = Hole(x=-60.0, y=-14.0, diameter=6.0, purpose="lightening")
    files = exported(Design(specimens.drop_point(holes=(hole,))), papers=("Letter",), printer=ONE)
    out = {name: data for name, data in files.items() if name.endswith((".pdf", ".svg")) and "_cut_" not in name}
    assert len(out) >= 2
    for name, data in out.items():
        if name.endswith(".pdf"):
            for page in pypdfium2.PdfDocument(data):
                assert "Corrected for printer" in page.get_textpage().get_text_range()
                # The paper itself stays what it is.
                assert sorted(page.get_size()) == pytest.approx([612.0, 792.0], abs=0.01)
        else:
            (group,) = ET.fromstring(data).iter("{http://www.w3.org/2000/svg}g")
            assert (group.get("transform") or "").startswith("matrix(0.998004 0 0 1.004016 ")
