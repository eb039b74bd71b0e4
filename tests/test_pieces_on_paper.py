"""Every piece that is cut out or glued on is as large on the printed page as it is declared, at 600 dpi."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path as FilePath

import numpy as np
import pypdfium2
import pytest
import raster

from bladegeom.book.grind_pages import grind_pages
from bladegeom.book.handle_pages import handle_pages
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Path, Sheet
from bladegeom.drawing.sheet import PagePiece
from bladegeom.grinding.grind_sheet import grind_sheet
from bladegeom.handle.section import handle_sections
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.sheets.gauge import CARD, gauge
from bladegeom.sheets.handle_gauge import card_size
from bladegeom.sheets.scale_pages import scale_pieces
from bladegeom.sheets.spine_view import spine_strips
from bladegeom.writers.pdf import pdf_of_sheets

EXAMPLES = FilePath(__file__).resolve().parent.parent / "examples"

WITHIN = 0.05
"""Of a size measured between two straight borders, mm: a pixel and a little."""

AT_A_POINT = 0.15
"""Of one that ends in a point, or where a tick crosses the border, whose ink is measured too, mm."""


def petty() -> Design:
    return Design.from_script(EXAMPLES / "galley_petty.py")


def sizes_on_paper(sheet: Sheet) -> Iterator[tuple[float, float]]:
    """Width and height of each closed border to cut along, from the middle of its ink on either side."""
    page = pypdfium2.PdfDocument(pdf_of_sheets((sheet,)))[0]
    ink = 255.0 - np.asarray(page.render(scale=raster.DPI / 72).to_pil().convert("L"), dtype=np.float64)
    for path in sheet.drawing.items:
        if isinstance(path, Path) and path.layer == "CUT" and path.closed:
            points = flatten(path.curve, 0.002)
            left, right = (_foremost(points, 0, way) for way in (1.0, -1.0))
            low, high = (_foremost(points, 1, way) for way in (1.0, -1.0))
            yield (
                _across(ink, sheet, *right) - _across(ink, sheet, *left),
                _up(ink, sheet, *high) - _up(ink, sheet, *low),
            )


def _foremost(points: np.ndarray, axis: int, way: float) -> np.ndarray:
    """Where a border reaches farthest: the middle of the first stretch that does; no corner, where lines meet."""
    along = way * points[:, axis]
    most = np.unique(points[along < along.min() + 1e-3], axis=0)
    return np.asarray(most[np.argsort(most[:, 1 - axis])][:2].mean(axis=0))


def _across(ink: np.ndarray, sheet: Sheet, x: float, y: float) -> float:
    return _middle(ink[int((sheet.height - y) / raster.PIXEL)], x)


def _up(ink: np.ndarray, sheet: Sheet, x: float, y: float) -> float:
    return sheet.height - _middle(ink[:, int(x / raster.PIXEL)], sheet.height - y)


def _middle(row: np.ndarray, at: float) -> float:
    near = np.arange(round((at - 0.4) / raster.PIXEL), round((at + 0.4) / raster.PIXEL))
    assert row[near].sum() > 255.0, f"nothing is drawn near {at:.2f} mm"
    return float((near + 0.5) @ row[near] / row[near].sum() * raster.PIXEL)


def _rounded(size: tuple[float, float]) -> tuple[int, int]:
    return round(size[0]), round(size[1])


def declared(pieces: list[PagePiece]) -> Iterator[tuple[float, float]]:
    for piece in pieces:
        for path in piece.drawing.items:
            if isinstance(path, Path) and path.layer == "CUT" and path.closed:
                yield tuple(np.ptp(flatten(path.curve, 0.002), axis=0))


@pytest.mark.long
def test_templates_that_share_pages_are_of_true_size() -> None:
    design = petty()
    (pages,) = blade_pages(design, [paper("A4")])
    found = sorted((size for sheet in pages.sheets for size in sizes_on_paper(sheet)), key=_rounded)
    x0, y0, x1, y1 = design.knife.outline.bounds
    scales = [piece for piece in scale_pieces(design.knife, design.title, ()) if "SCALE" in str(piece.drawing.items)]
    strips = [
        np.ptp(flatten(each.curve, 0.002), axis=0)
        for strip in spine_strips(design.knife)
        for each in strip.items
        if isinstance(each, Path) and each.layer == "CUT"
    ]
    wanted = sorted([*[(x1 - x0, y1 - y0)] * 2, *declared(scales), *(tuple(strip) for strip in strips)], key=_rounded)
    assert len(found) == 6
    off = np.abs(np.array(found) - np.array(wanted))
    assert off.max() < AT_A_POINT
    # Bar and edge are bordered by straight lines.
    assert off[np.array(wanted)[:, 1] == 2.0].max() < WITHIN


@pytest.mark.long
def test_cards_to_cut_out_are_of_true_size() -> None:
    design = petty()
    of_handle, of_blade = (
        [size for sheet in draw(design, [paper("A4")]) for size in sizes_on_paper(sheet)]
        for draw in (handle_pages, grind_pages)
    )
    assert (
        np.abs(np.array(of_handle) - [card_size(section) for section in handle_sections(design.knife)]).max() < WITHIN
    )
    sheet = grind_sheet(design.knife)
    (border,) = (item for item in gauge(design.knife, sheet.stations[0], go=True) if isinstance(item, Path))
    height = float(np.ptp(flatten(border.curve, 0.002), axis=0)[1])
    assert len(of_blade) == 4
    assert np.abs(np.array(of_blade)[:, 0] - CARD[0]).max() < WITHIN
    assert abs(of_blade[0][1] - height) < WITHIN
