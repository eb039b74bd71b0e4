"""Pixels on a page come back as they are, at their place and size, in PDF and SVG; the same in, the same bytes."""

from __future__ import annotations

import base64
import io
import re

import numpy as np
import numpy.typing as npt
import pypdfium2
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from bladegeom.drawing.drawing import Circle, Drawing, Pen, Raster, Sheet
from bladegeom.writers.pdf import pdf_of_sheets
from bladegeom.writers.svg import svg_of_sheet

POINT = 25.4 / 72
INK = Circle(layer="NOTE", x=50.0, y=60.0, radius=2.0, pen=Pen(width=0.2), filled=True)


def shown(pixels: npt.NDArray[np.uint8]) -> Raster:
    return Raster(x=20.0, y=40.0, width=60.0, height=40.0, pixels=pixels)


def sheet(*rasters: Raster) -> Sheet:
    return Sheet(width=210.0, height=297.0, drawing=Drawing(name="pixels", items=(INK,)), rasters=rasters)


def noise(seed: int, rows: int = 20, columns: int = 30) -> npt.NDArray[np.uint8]:
    return np.random.default_rng(seed).integers(0, 256, (rows, columns, 3), dtype=np.uint8)


@given(st.integers(0, 1000), st.integers(1, 9), st.integers(1, 9))
def test_a_pdf_gives_every_pixel_back_in_its_place(seed: int, rows: int, columns: int) -> None:
    pixels = noise(seed, rows, columns)
    (page,) = pypdfium2.PdfDocument(pdf_of_sheets((sheet(shown(pixels)),)))
    (image,) = page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])
    assert np.array_equal(np.asarray(image.get_bitmap(render=False).to_pil().convert("RGB")), pixels)
    assert np.allclose(np.array(image.get_bounds()) * POINT, (20.0, 40.0, 80.0, 80.0), atol=1e-3)


def test_lines_lie_over_pixels() -> None:
    light = np.full((4, 6, 3), 230, dtype=np.uint8)
    page = pypdfium2.PdfDocument(pdf_of_sheets((sheet(shown(light)),)))[0].render(scale=2).to_pil().convert("RGB")
    place = (round(50.0 / POINT * 2), round((297.0 - 60.0) / POINT * 2))
    assert page.getpixel(place) == (0, 0, 0)
    assert page.getpixel((place[0] + 30, place[1])) == (230, 230, 230)


def test_an_svg_holds_the_same_pixels() -> None:
    pixels = noise(1)
    text = svg_of_sheet(sheet(shown(pixels))).decode()
    (data,) = re.findall(r'xlink:href="data:image/png;base64,([^"]+)"', text)
    made = Image.open(io.BytesIO(base64.b64decode(data)))
    assert np.array_equal(np.asarray(made.convert("RGB")), pixels)
    assert 'x="20"' in text
    assert 'y="-80"' in text
    assert re.search(r'height="40"[^>]*width="60"|width="60"[^>]*height="40"', text)


def test_the_same_pixels_give_the_same_bytes_and_stand_there_once() -> None:
    pixels, other = noise(1), noise(2)
    pages = (sheet(shown(pixels)), sheet(shown(pixels.copy())), sheet(shown(other)))
    made = pdf_of_sheets(pages)
    assert made == pdf_of_sheets(pages)
    assert made.count(b"/Subtype /Image") == 2
