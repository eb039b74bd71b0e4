"""Ruler bars of SVG pages measured in programs that makers print from; skipped where these are not installed."""

from __future__ import annotations

import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest
import raster
import specimens
from PIL import Image

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.placing.place import add_fasteners
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.writers.svg import svg_of_sheet

pytestmark = pytest.mark.long

BROWSER = next((path for name in ("chromium", "chromium-browser") if (path := shutil.which(name))), None)

CSS_PX = 96
"""To the inch; source: CSS Values and Units, section 6.2."""


@cache
def sheets(name: str) -> tuple[Sheet, ...]:
    """One sheet, a tile, and one that is corrected for a printer."""
    printer = Printer(across=99.0, along=101.5)
    short = add_fasteners(specimens.drop_point(), specimens.pins("1/4"), count=2)
    long = add_fasteners(specimens.profile("chef", "straight"), specimens.pins("1/4"), count=2)
    out = []
    for knife, size in ((short, paper(name)), (long, paper(name)), (short, printer.room(paper(name)))):
        (pages,) = blade_pages(Design(knife), [size])
        out.append(pages.faces["right"][0])
    return out[0], out[1], printer.corrected(out[2])


def require_true(picture: Path, sheet: Sheet) -> None:
    with Image.open(picture) as image:
        found = list(raster.measured(image, sheet))
    assert len(found) == 4
    for wanted, got in found:
        assert got == pytest.approx(wanted, abs=raster.PIXEL / 2)


@pytest.mark.skipif(shutil.which("rsvg-convert") is None, reason="rsvg-convert is not installed")
@pytest.mark.parametrize("which", [0, 1, 2], ids=["one sheet", "tile", "corrected"])
@pytest.mark.parametrize("name", ["A4", "Letter"])
def test_bars_measure_true_in_rsvg_convert(tmp_path: Path, name: str, which: int) -> None:
    sheet = sheets(name)[which]
    svg, png = tmp_path / "page.svg", tmp_path / "page.png"
    svg.write_bytes(svg_of_sheet(sheet))
    dpi = str(raster.DPI)
    subprocess.run(["rsvg-convert", "-d", dpi, "-p", dpi, "-o", png, svg], check=True, timeout=120)
    require_true(png, sheet)


@pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed")
@pytest.mark.parametrize("which", [0, 1, 2], ids=["one sheet", "tile", "corrected"])
def test_bars_measure_true_in_chromium(tmp_path: Path, which: int) -> None:
    sheet = sheets("A4")[which]
    svg, png = tmp_path / "page.svg", tmp_path / "page.png"
    svg.write_bytes(svg_of_sheet(sheet))
    size = (-(-int(side * CSS_PX * 10) // 254) + 1 for side in (sheet.width, sheet.height))
    assert BROWSER is not None
    subprocess.run(
        [
            BROWSER,
            *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars"),
            *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
            f"--user-data-dir={tmp_path / 'profile'}",
            f"--force-device-scale-factor={raster.DPI / CSS_PX}",
            f"--window-size={','.join(str(side) for side in size)}",
            f"--screenshot={png}",
            svg.as_uri(),
        ],
        check=True,
        timeout=180,
        capture_output=True,
    )
    require_true(png, sheet)
