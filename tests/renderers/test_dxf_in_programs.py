"""Cut files opened by other programs, which read DXF with code of their own: the same size comes out.

Inkscape 1.2 (Debian's inkscape, with python3-lxml, python3-cssselect, python3-numpy): its own reader of DXF, the script
``dxf_input.py``, run by itself, since the program wants a display; the SVG that it writes is drawn by rsvg-convert.
LibreCAD 2.2 (Debian's librecad): ``librecad dxf2pdf`` on a page of A3, drawn by pypdfium2. Both are skipped where the
program is not installed.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import specimens
from PIL import Image

from bladegeom.cutfile.cut import cut_parts
from bladegeom.cutfile.dxf import Release, dxf_of_drawing
from bladegeom.knife.knife import Knife
from bladegeom.placing.place import add_fasteners, add_lightening_row

pytestmark = pytest.mark.long

READER = Path("/usr/share/inkscape/extensions/dxf_input.py")
PYTHON = "/usr/bin/python3"
"""Debian's own, which sees Debian's packages."""

DPI = 600
NEAR = 0.2
"""A pen's width, a pixel and the paper's whole points, mm."""


@cache
def design(name: str) -> Knife:
    knife = {"drop point": specimens.drop_point, "chef": specimens.chef, "recurve": specimens.recurve}[name]()
    if name == "recurve":
        return knife
    return add_lightening_row(add_fasteners(knife, specimens.pins("1/4"), count=2))


def written(knife: Knife, release: Release, folder: Path) -> tuple[Path, tuple[float, float]]:
    """The cut file of the steel, and its size, mm."""
    part = cut_parts(knife)[0]
    data, _ = dxf_of_drawing(part.drawing, release=release, off=part.off, comment=("a comment",))
    path = folder / "part.dxf"
    path.write_bytes(data)
    return path, part.size


def inked(image: Image.Image, dpi: float) -> tuple[float, float]:
    """Width and height of what is dark, mm."""
    rows, columns = np.nonzero(np.asarray(image.convert("L")) < 128)
    return tuple(float(np.ptp(column) + 1) / dpi * 25.4 for column in (columns, rows))  # type: ignore[return-value]


designs = pytest.mark.parametrize("name", ["drop point", "chef", "recurve"])
releases = pytest.mark.parametrize("release", ["R2000", "R12"])


@pytest.mark.skipif(not READER.exists() or shutil.which("rsvg-convert") is None, reason="Inkscape is not installed")
@designs
@releases
def test_the_same_size_in_inkscape(tmp_path: Path, name: str, release: Release) -> None:
    path, size = written(design(name), release, tmp_path)
    svg, png = tmp_path / "part.svg", tmp_path / "part.png"
    subprocess.run([PYTHON, READER, path, "--output", svg], check=True, timeout=120, capture_output=True)
    # It draws in the pixels of CSS, 96 to the inch, on an upright page of A4, which would cut a knife off.
    page = re.compile(r'viewBox="0 0 \S+ (\S+)" width="\S+"')
    text, count = page.subn(r'viewBox="0 0 1600 \1" width="1600"', svg.read_text(), count=1)
    assert count == 1
    # Its pen of a whole pixel, 0.26 mm, would run past a tip by its mitre.
    svg.write_text(text.replace("stroke:#000000", "stroke:#000000;stroke-width:0.3;stroke-linejoin:round"))
    subprocess.run(["rsvg-convert", "--zoom", str(DPI / 96), "-b", "white", "-o", png, svg], check=True, timeout=120)
    with Image.open(png) as image:
        assert inked(image, DPI) == pytest.approx(size, abs=NEAR)


@pytest.mark.skipif(shutil.which("librecad") is None, reason="LibreCAD is not installed")
@designs
@releases
def test_the_same_size_in_librecad(tmp_path: Path, name: str, release: Release) -> None:
    path, size = written(design(name), release, tmp_path)
    own = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(tmp_path), "XDG_RUNTIME_DIR": str(tmp_path)}
    subprocess.run(
        ["librecad", "dxf2pdf", "-s", "1", "-c", "-m", "-p", "420x297", "part.dxf"],
        check=True,
        timeout=120,
        capture_output=True,
        cwd=tmp_path,
        env=own,
    )
    document = pypdfium2.PdfDocument(path.with_suffix(".pdf"))
    assert inked(document[0].render(scale=DPI / 72).to_pil(), DPI) == pytest.approx(size, abs=NEAR)
