"""Whatever page of an export is printed: its bars measure true, and it says which design it is and when to stop."""

from __future__ import annotations

import dataclasses
from functools import cache
from itertools import product

import pypdfium2
import pytest
import raster
import specimens
from draws import quick, quick_rows
from fastened import FLAT, mixed

from bladegeom.book.register import APART, CHAPTERS, page_named
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Label, Path, Sheet
from bladegeom.drawing.sheet import PagePiece, on_smallest
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.papers import paper
from bladegeom.sheets.net_section_chart import net_section_chart
from bladegeom.writers.pdf import pdf_of_sheets

UPRIGHT = {"knife", "order", "drill", "care", "heat_treater", "route", "inspection"}
"""Chapters of words, which need no size; the strip of the drill card has a test of its own."""

NAMES = tuple(page.name for page in (*CHAPTERS, *APART) if page.name not in UPRIGHT)
KINDS = (*NAMES, "tiles", "one chart")
"""All pages that an export prints; a template of a blade too long for the paper; and a chart by itself."""


@cache
def knife() -> Knife:
    return dataclasses.replace(mixed(scales=FLAT, taper=()), revision="C")


@cache
def sheets(kind: str, name: str) -> tuple[Sheet, ...]:
    specimen, size = knife(), [paper(name)]
    if kind == "tiles":
        specimen = dataclasses.replace(specimens.profile("chef", "straight"), revision="C")
    design = Design(specimen)
    if kind == "one chart":
        head = (design.title, "Steel beside the holes of the tang.")
        piece = PagePiece(drawing=net_section_chart(specimen), head=head, foot=())
        return (on_smallest((piece,), size)[1],)
    page = page_named("template" if kind == "tiles" else kind)
    return tuple(sheet for made in page.draw(design, size, ()) for sheet in made.sheets)


def is_read(sheet: Sheet) -> bool:
    """Whether nothing on an upright page of the book is to scale: nothing is cut out of it."""
    cut = any(isinstance(item, Path) and item.layer == "CUT" for item in sheet.drawing.items)
    return sheet.height > sheet.width and not sheet.windows and not cut


@pytest.mark.parametrize(
    ("kind", "name"), quick_rows(product(KINDS, ["A4", "Letter"]), ("template", "A4"), ("tiles", "A4"))
)
def test_bars_of_every_page_measure_true(kind: str, name: str) -> None:
    document = pypdfium2.PdfDocument(pdf_of_sheets(sheets(kind, name)))
    for page, sheet in zip(document, sheets(kind, name), strict=True):
        if is_read(sheet):
            continue
        found = list(raster.measured(page.render(scale=raster.DPI / 72, grayscale=True).to_pil(), sheet))
        # 100 mm and 4 in along both axes.
        assert sorted(wanted for wanted, _ in found) == [100.0, 100.0, 101.6, 101.6]
        for wanted, got in found:
            assert got == pytest.approx(wanted, abs=raster.PIXEL / 2)


@pytest.mark.parametrize("name", quick(["A4", "Letter"], "A4"))
@pytest.mark.parametrize("kind", KINDS)
def test_every_page_says_which_design_it_is_and_when_not_to_cut(kind: str, name: str) -> None:
    specimen = specimens.profile("chef", "straight") if kind == "tiles" else knife()
    mark = revision_id(dataclasses.replace(specimen, revision="C"))
    assert sheets(kind, name)
    assert not all(map(is_read, sheets(kind, name)))
    for sheet in sheets(kind, name):
        told = " ".join(item.text for item in sheet.drawing.items if isinstance(item, Label))
        assert f"revision {mark}" in told
        for wanted in (
            "Print at 100 %",
            "profile 99.5 to 100.5 mm, 3.98 to 4.02 in",
            "hole layout 99.75 to 100.25 mm, 3.99 to 4.01 in",
            "do not cut",
            "--printer 'ACROSS x ALONG'",
            "ALONG",
            "long side of the paper",
            "ACROSS",
            "short side of the paper",
        ):
            assert (wanted in told) is not is_read(sheet), wanted


@pytest.mark.parametrize("kind", KINDS)
def test_the_bar_named_along_runs_along_the_long_side(kind: str) -> None:
    for sheet in sheets(kind, "A4"):
        if is_read(sheet):
            continue
        turned = {item.text: item.angle_deg for item in sheet.drawing.items if isinstance(item, Label)}
        assert turned["ALONG"] == (0.0 if sheet.width > sheet.height else 90.0)
        assert turned["ACROSS"] == (90.0 if sheet.width > sheet.height else 0.0)
