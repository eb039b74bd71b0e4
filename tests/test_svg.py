"""SVG: true size in any viewer, the design's own curves, well-formed text, the same bytes every time."""

from __future__ import annotations

import dataclasses
import io
import re
from functools import cache
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import raster
import resvg_py
import specimens
from PIL import Image

from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import CUT_PEN, SCRIBE_PEN, Circle, Drawing, Label, Path, Pen, Sheet
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.sheets.template import template_drawing
from bladegeom.writers.svg import number, svg_of_drawing, svg_of_sheet

NS = "{http://www.w3.org/2000/svg}"
NASTY = 'Tom & "Jerry" <b>\x00 \u5305\u4e01 ]]>'


@cache
def page(paper_name: str = "A4", name: str = "specimen") -> Sheet:
    knife = dataclasses.replace(
        add_lightening_row(add_fasteners(specimens.drop_point(), specimens.pins("1/4"), count=2)), name=name
    )
    (pages,) = blade_pages(Design(knife), [paper(paper_name)])
    return pages.faces["right"][0]


def tree(svg: bytes) -> ET.Element:
    return ET.fromstring(svg)


# Source: ISO 216 (A4) and ASME Y14.1 size A (Letter).
@pytest.mark.parametrize(("name", "width", "height"), [("A4", "297", "210"), ("Letter", "279.4", "215.9")])
def test_page_and_view_box_are_in_mm(name: str, width: str, height: str) -> None:
    root = tree(svg_of_sheet(page(name)))
    assert (root.get("width"), root.get("height")) == (f"{width}mm", f"{height}mm")
    x, y, w, h = (float(v) for v in (root.get("viewBox") or "").split(" "))
    assert (x, w, h) == (0.0, float(width), float(height))
    # y grows downwards in SVG: our page runs from -height to 0.
    assert y == -float(height)


def test_bars_measure_true_when_rendered() -> None:
    png = resvg_py.svg_to_bytes(svg_string=svg_of_sheet(page()).decode(), dpi=raster.DPI, skip_system_fonts=True)
    found = list(raster.measured(Image.open(io.BytesIO(bytes(png))), page()))
    assert len(found) == 4
    for wanted, got in found:
        assert got == pytest.approx(wanted, abs=raster.PIXEL / 2)


def outline_path(root: ET.Element) -> str:
    (d,) = (p.get("d") or "" for p in root.iter(f"{NS}path") if p.get("class") == "CUT")
    return d


def area_of(d: str) -> float:
    """Area inside a path of cubics, by the shoelace formula over 500 points a piece."""
    assert d.startswith("M")
    assert d.endswith("Z")
    start, *cubics = re.findall(r"[MC]([^MCZ]*)", d)
    numbers = [float(v) for part in (start, *cubics) for v in part.split()]
    p = np.array(numbers).reshape(-1, 2)
    t = np.linspace(0, 1, 500, endpoint=False)[:, None]
    rows = [
        (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t**3 * e
        for a, b, c, e in zip(p[:-1:3], p[1::3], p[2::3], p[3::3], strict=True)
    ]
    x, y = np.concatenate(rows).T
    return float(abs(np.roll(x, -1) @ y - x @ np.roll(y, -1)) / 2)


@pytest.mark.parametrize(
    ("blade", "handle"), [("chef", "birds_head"), ("drop_point", "swelled"), ("petty", "straight")]
)
def test_outline_read_back_has_the_designs_area(blade: str, handle: str) -> None:
    knife = specimens.profile(blade, handle)
    svg = svg_of_drawing(template_drawing(knife))
    # Four decimals of a mm on some 600 mm of outline: 0.00005 * 600 = 0.03 mm2 at worst.
    assert area_of(outline_path(tree(svg))) == pytest.approx(knife.outline.area, abs=0.03)


def test_circles_stay_circles_and_y_points_down() -> None:
    drawing = Drawing(name="x", items=(Circle(layer="CUT", x=3.5, y=2.25, radius=1.25, pen=CUT_PEN),))
    (circle,) = tree(svg_of_drawing(drawing, margin=0.0)).iter(f"{NS}circle")
    assert {k: circle.get(k) for k in ("cx", "cy", "r", "class", "fill")} == {
        "cx": "3.5",
        "cy": "-2.25",
        "r": "1.25",
        "class": "CUT",
        "fill": "none",
    }


def test_drawing_alone_lies_on_a_page_that_just_holds_it() -> None:
    drawing = Drawing(name="x", items=(Path(layer="CUT", curve=line((10, 20), (40, 60))),))
    root = tree(svg_of_drawing(drawing, margin=5.0))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("40mm", "50mm", "5 -65 40 50")


def test_pens_become_strokes() -> None:
    items = (
        Path(layer="MARK", curve=line((0, 0), (9, 0)), pen=SCRIBE_PEN),
        Path(layer="NOTE", curve=line((0, 0), (9, 9)), pen=Pen(width=0.5, grey=1 / 3), filled=True, closed=True),
    )
    dashed, filled = tree(svg_of_drawing(Drawing(name="x", items=items))).iter(f"{NS}path")
    assert (dashed.get("stroke-width"), dashed.get("stroke-dasharray"), dashed.get("fill")) == ("0.18", "3 1", "none")
    # 255 / 3 = 85 = 0x55.
    assert (filled.get("stroke"), filled.get("fill"), filled.get("stroke-width")) == ("#555555", "#555555", "0.5")
    # A mitred join would make a pointed tip longer than it is.
    assert {dashed.get("stroke-linejoin"), filled.get("stroke-linejoin")} == {"round"}


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (-0.00004, "0"),
        (1.0, "1"),
        (-12.5, "-12.5"),
        (100.0, "100"),
        (1 / 3, "0.3333"),
        (1234.56789, "1234.5679"),
    ],
)
def test_numbers_have_four_decimals_and_no_negative_nought(value: float, text: str) -> None:
    assert number(value) == text


def test_no_negative_nought_on_a_page() -> None:
    assert not re.search(rb"-0(?![.\d])|-0\.0+(?!\d)", svg_of_sheet(page()))


def test_nasty_names_are_well_formed_and_read_back() -> None:
    root = tree(svg_of_sheet(page(name=NASTY)))
    title = next(root.iter(f"{NS}title")).text
    assert title == NASTY.replace("\x00", " ")
    text = " ".join(t.text or "" for t in root.iter(f"{NS}text") if t.get("font-weight") == "bold")
    named = re.escape(" ".join(f"{NASTY.replace(chr(0), ' ')}, revision A".split()))
    assert re.fullmatch(named + r"-\w{8} ALONG ACROSS", text)
    # Nothing of the name became markup.
    assert not list(root.iter(f"{NS}b"))


def test_text_keeps_to_its_room_in_any_face() -> None:
    label = Label(layer="NOTE", x=1, y=2, text="edge", height=2.7, angle_deg=90, anchor="end")
    (text,) = tree(svg_of_drawing(Drawing(name="x", items=(label,)))).iter(f"{NS}text")
    # edge: four letters of 1139 in 2048 of an em of 3 mm (the face's hmtx, by fontTools).
    assert float(text.get("textLength") or 0) == pytest.approx(4 * 1139 / 2048 * 3.0, abs=1e-4)
    assert (text.get("lengthAdjust"), text.get("text-anchor"), text.get("font-size")) == (
        "spacingAndGlyphs",
        "end",
        "3",
    )
    assert (text.get("x"), text.get("y"), text.get("transform")) == ("1", "-2", "rotate(-90 1 -2)")


def test_the_same_sheet_gives_the_same_bytes() -> None:
    page.cache_clear()
    first = svg_of_sheet(page())
    page.cache_clear()
    assert svg_of_sheet(page()) == first
