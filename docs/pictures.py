"""Make docs/pictures/ again: parts of what the examples export, of what commands write, and of what Chromium shows."""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pypdfium2
import screens
from PIL import Image, ImageChops

from bladegeom.cli import main
from bladegeom.commands.template import pages
from bladegeom.design.design import Design

HERE = Path(__file__).resolve().parent
EXPORTS, EXAMPLES = HERE.parent / "exports", HERE.parent / "examples"

DPI = 160
MARGIN = 2.0
"""White that stays round a picture, mm."""


@dataclass(frozen=True)
class Page:
    """A part of what an example prints.

    Args:
        example: The script.
        chapter: Of its book, or what is printed apart from it.
        number: Of the page in it, counted from 1.
        box: Left, top, right and bottom, mm.
    """

    example: str
    chapter: str
    number: int
    box: tuple[float, float, float, float]


@dataclass(frozen=True)
class Exported:
    """A part of a page of a PDF in exports/: the file, left, top, right and bottom of its first page in mm."""

    file: str
    box: tuple[float, float, float, float]


SHEET = (5.0, 5.0, 292.0, 205.0)
UPRIGHT = (5.0, 5.0, 205.0, 292.0)
ABOVE_THE_BAR = (5.0, 5.0, 265.0, 172.0)

PAGES = {
    "template": Page("rigging_knife", "template", 1, SHEET),
    "template-close": Page("rigging_knife", "template", 1, (8.0, 36.5, 265.0, 112.0)),
    "template-tile": Page("galley_chef", "template", 1, SHEET),
    "bar": Page("galley_petty", "template", 1, SHEET),
    "knife": Page("galley_petty", "knife", 1, UPRIGHT),
    "grind": Page("rigging_knife", "grind", 1, (5.0, 5.0, 205.0, 180.0)),
    "sections": Page("rigging_knife", "grind", 1, (5.0, 180.0, 205.0, 284.0)),
    "gauges": Page("rigging_knife", "grind", 2, (5.0, 159.0, 205.0, 292.0)),
    "scales": Page("rigging_knife", "template", 2, SHEET),
    "drill": Page("rigging_knife", "drill", 1, UPRIGHT),
    "fastener": Page("rigging_knife", "drill", 3, (5.0, 128.0, 205.0, 292.0)),
    "bolt": Page("kindling_knife", "drill", 2, (5.0, 172.0, 205.0, 255.0)),
    "levers": Page("rigging_knife", "balance", 1, ABOVE_THE_BAR),
    "patterns": Page("rigging_knife", "balance", 2, ABOVE_THE_BAR),
    "steel-left": Page("rigging_knife", "balance", 4, ABOVE_THE_BAR),
    "order": Page("galley_petty", "order", 1, UPRIGHT),
    "route": Page("galley_petty", "route", 1, UPRIGHT),
    "traced": Page("traced_knife", "template", 1, (5.0, 5.0, 265.0, 172.0)),
}
"""Pages of the examples on A4, as an export prints them."""

EXPORTED = {
    "pass": Exported("rigging_knife/*_cut_steel_*_pass_A4.pdf", UPRIGHT),
    "agreement": Exported("galley_petty/*_agreement_A4.pdf", UPRIGHT),
}

BOOKS = {"book-petty": "galley_petty", "book-kindling": "kindling_knife"}
"""Whole books on A4, all pages beside each other."""

COMMANDS = {
    "nest": (("nest", "rigging_knife.py", "--bar", "50 x 1000", "--copies", "4", "--out"), (5.0, 5.0, 205.0, 120.0)),
    "quote": (
        ("quote", "galley_petty.py", "--prices", "prices.toml", "--log", "grinding_log.csv", "--out"),
        (5.0, 5.0, 205.0, 200.0),
    ),
}
"""Commands that write one PDF, with the wanted part of its first page; files are those of the examples."""

LIGHT = {
    "light": ("picture", "rigging_knife.py", "--width", "1400", "--out"),
    "light-slanted": ("picture", "rigging_knife.py", "--view", "three-quarter", "--width", "1400", "--out"),
    "light-beside": ("picture", "galley_petty.py", "--beside", "galley_chef.py", "--width", "1400", "--out"),
}
"""Commands that write a picture of a knife in light."""

SWEEP = ("sweep", "rigging_knife.py", "blade_length=100:130:5", "thickness=3.5,4,4.5", "--plot")


def names() -> set[str]:
    """The files that belong into docs/pictures."""
    return {f"{name}.png" for name in (*PAGES, *EXPORTED, *BOOKS, *COMMANDS, *LIGHT, *screens.NAMES)} | {
        "profiles.svg",
        "drop_point.svg",
        "sweep.svg",
    }


def _is_coloured(page: Image.Image) -> bool:
    red, green, blue = page.split()
    return any(ImageChops.difference(a, b).getbbox() for a, b in ((red, green), (green, blue)))


@cache
def design(example: str) -> Design:
    """Of an example, without any machine's settings."""
    return Design.from_script(EXAMPLES / f"{example}.py")


def picture(pdf: bytes, number: int, box: tuple[float, float, float, float]) -> bytes:
    """A part of a page as PNG in few greys, or in few colours where it has any, its white border cut off."""
    scale = DPI / 25.4
    page = pypdfium2.PdfDocument(pdf)[number - 1].render(scale=DPI / 72).to_pil().convert("RGB")
    if not (coloured := _is_coloured(page)):
        page = page.convert("L")
    part = page.crop(tuple(round(edge * scale) for edge in box))
    inked = ImageChops.invert(part).getbbox()
    if inked is None:
        raise ValueError(f"page {number}: nothing is drawn in {box}")
    white = round(MARGIN * scale)
    trimmed = part.crop(inked)
    framed = Image.new(trimmed.mode, (trimmed.width + 2 * white, trimmed.height + 2 * white), "white")
    framed.paste(trimmed, (white, white))
    written = io.BytesIO()
    framed.quantize(96 if coloured else 16).save(written, "PNG", optimize=True)
    return written.getvalue()


def whole_book(pdf: bytes) -> bytes:
    """All pages of a book in rows, as PNG in few greys."""
    seen = [page.render(scale=_SMALL_DPI / 72).to_pil().convert("L") for page in pypdfium2.PdfDocument(pdf)]
    side = max(max(page.size) for page in seen) + _APART
    wide = max(min(page.size) for page in seen) + _APART
    rows = -(-len(seen) // _ROW)
    table = Image.new("L", (_ROW * wide + _APART, rows * side + _APART), _TABLE)
    for i, page in enumerate(seen):
        upright = page if page.height > page.width else page.transpose(Image.Transpose.ROTATE_90)
        table.paste(upright, (i % _ROW * wide + _APART, i // _ROW * side + _APART))
    written = io.BytesIO()
    table.quantize(8).save(written, "PNG", optimize=True)
    return written.getvalue()


_SMALL_DPI, _ROW, _APART, _TABLE = 42, 5, 8, 190
"""Of a page in a book's picture; pages in a row, pixels between them, the grey that they lie on."""


def in_few_shades(path: Path) -> bytes:
    """A picture in steps of four shades: half the bytes."""
    written = io.BytesIO()
    with Image.open(path) as seen:
        seen.point(lambda shade: min((shade + 2) // 4 * 4, 255)).save(written, "PNG", optimize=True)
    return written.getvalue()


def run(arguments: tuple[str, ...], out: Path) -> None:
    """Run one command on the examples' files."""
    status = main([str(EXAMPLES / text) if (EXAMPLES / text).is_file() else text for text in arguments] + [str(out)])
    if status == 2 or not out.is_file():
        raise RuntimeError(f"bladegeom {' '.join(arguments)} wrote nothing")


def make_all(folder: Path) -> None:
    """Write every picture."""
    for name, page in PAGES.items():
        printout = pages(design(page.example), page.chapter, paper="A4")
        (folder / f"{name}.png").write_bytes(picture(printout.pdf, page.number, page.box))
    for name, exported in EXPORTED.items():
        (file,) = EXPORTS.glob(exported.file)
        (folder / f"{name}.png").write_bytes(picture(file.read_bytes(), 1, exported.box))
    for name, example in BOOKS.items():
        (folder / f"{name}.png").write_bytes(whole_book(pages(design(example), "book", paper="A4").pdf))
    with tempfile.TemporaryDirectory() as scratch:
        for name, (arguments, box) in COMMANDS.items():
            pdf = Path(scratch) / f"{name}.pdf"
            run(arguments, pdf)
            (folder / f"{name}.png").write_bytes(picture(pdf.read_bytes(), 1, box))
        for name, line in LIGHT.items():
            run(line, Path(scratch) / f"{name}.png")
            (folder / f"{name}.png").write_bytes(in_few_shades(Path(scratch) / f"{name}.png"))
        run(SWEEP, Path(scratch) / "sweep.svg")
        shutil.copyfile(Path(scratch) / "sweep.svg", folder / "sweep.svg")
    screens.take_all(folder)
    shutil.copyfile(EXPORTS / "profiles" / "all_profiles.svg", folder / "profiles.svg")
    shutil.copyfile(EXPORTS / "profiles" / "drop_point.svg", folder / "drop_point.svg")


if __name__ == "__main__":
    for old in (HERE / "pictures").iterdir():
        old.unlink()
    make_all(HERE / "pictures")
    sys.exit(0)
