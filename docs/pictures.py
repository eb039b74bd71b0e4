"""Make docs/pictures/ again: parts of what the examples export, of what commands write, and of what Chromium shows."""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import screens
from PIL import Image, ImageChops

from bladegeom.cli import main

HERE = Path(__file__).resolve().parent
EXPORTS, EXAMPLES = HERE.parent / "exports", HERE.parent / "examples"

DPI = 160
MARGIN = 2.0
"""White that stays round a picture, mm."""


@dataclass(frozen=True)
class Page:
    """A part of a page of a PDF: the file, the page counted from 1, left, top, right and bottom in mm."""

    file: str
    number: int
    box: tuple[float, float, float, float]


SHEET = (5.0, 5.0, 292.0, 205.0)
UPRIGHT = (5.0, 5.0, 205.0, 292.0)
ABOVE_THE_BAR = (5.0, 5.0, 265.0, 172.0)

PAGES = {
    "template": Page("rigging_knife/*_template_A4.pdf", 1, SHEET),
    "template-close": Page("rigging_knife/*_template_A4.pdf", 1, (25.0, 65.0, 265.0, 172.0)),
    "template-tile": Page("galley_chef/*_template_A4.pdf", 1, SHEET),
    "bar": Page("rigging_knife/*_template_A4.pdf", 3, (5.0, 60.0, 265.0, 172.0)),
    "grind": Page("rigging_knife/*_grind_A4.pdf", 1, (5.0, 5.0, 205.0, 180.0)),
    "sections": Page("rigging_knife/*_grind_A4.pdf", 1, (5.0, 180.0, 205.0, 280.0)),
    "gauges": Page("rigging_knife/*_grind_A4.pdf", 2, (5.0, 159.0, 205.0, 292.0)),
    "scales": Page("rigging_knife/*_handle_A4.pdf", 1, (5.0, 5.0, 265.0, 182.0)),
    "drill": Page("rigging_knife/*_drill_A4.pdf", 1, ABOVE_THE_BAR),
    "fastener": Page("rigging_knife/*_drill_A4.pdf", 6, ABOVE_THE_BAR),
    "bolt": Page("kindling_knife/*_drill_A4.pdf", 4, ABOVE_THE_BAR),
    "levers": Page("rigging_knife/*_balance_A4.pdf", 1, ABOVE_THE_BAR),
    "patterns": Page("rigging_knife/*_balance_A4.pdf", 2, ABOVE_THE_BAR),
    "steel-left": Page("rigging_knife/*_balance_A4.pdf", 4, ABOVE_THE_BAR),
    "pass": Page("rigging_knife/*_cut_steel_*_pass_A4.pdf", 1, UPRIGHT),
    "order": Page("galley_petty/*_job_card_A4.pdf", 1, SHEET),
    "route": Page("galley_petty/*_job_card_A4.pdf", 3, SHEET),
    "agreement": Page("galley_petty/*_agreement_A4.pdf", 1, UPRIGHT),
    "traced": Page("traced_knife/*_template_A4.pdf", 1, (5.0, 5.0, 265.0, 172.0)),
}
"""Of the committed exports."""

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
    return {f"{name}.png" for name in (*PAGES, *COMMANDS, *LIGHT, *screens.NAMES)} | {
        "profiles.svg",
        "drop_point.svg",
        "sweep.svg",
    }


def _is_coloured(page: Image.Image) -> bool:
    red, green, blue = page.split()
    return any(ImageChops.difference(a, b).getbbox() for a, b in ((red, green), (green, blue)))


def picture(pdf: Path, number: int, box: tuple[float, float, float, float]) -> bytes:
    """A part of a page as PNG in few greys, or in few colours where it has any, its white border cut off."""
    scale = DPI / 25.4
    page = pypdfium2.PdfDocument(pdf)[number - 1].render(scale=DPI / 72).to_pil().convert("RGB")
    if not (coloured := _is_coloured(page)):
        page = page.convert("L")
    part = page.crop(tuple(round(edge * scale) for edge in box))
    inked = ImageChops.invert(part).getbbox()
    if inked is None:
        raise ValueError(f"{pdf.name}, page {number}: nothing is drawn in {box}")
    white = round(MARGIN * scale)
    trimmed = part.crop(inked)
    framed = Image.new(trimmed.mode, (trimmed.width + 2 * white, trimmed.height + 2 * white), "white")
    framed.paste(trimmed, (white, white))
    written = io.BytesIO()
    framed.quantize(96 if coloured else 16).save(written, "PNG", optimize=True)
    return written.getvalue()


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
        (pdf,) = EXPORTS.glob(page.file)
        (folder / f"{name}.png").write_bytes(picture(pdf, page.number, page.box))
    with tempfile.TemporaryDirectory() as scratch:
        for name, (arguments, box) in COMMANDS.items():
            pdf = Path(scratch) / f"{name}.pdf"
            run(arguments, pdf)
            (folder / f"{name}.png").write_bytes(picture(pdf, 1, box))
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
