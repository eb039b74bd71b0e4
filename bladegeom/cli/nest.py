"""The command ``nest``: blanks of scripts on bars or sheets; a sheet to saw by, a cut file if asked for."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from bladegeom.cli.endings import require_ending
from bladegeom.cli.order import findings_of
from bladegeom.cli.remarks import remarks_of, require_known
from bladegeom.cli.script import load_design
from bladegeom.cli.tell import errors_of, tell
from bladegeom.cutfile.cut import left_for_the_drill
from bladegeom.cutfile.dxf import dxf_of_drawing
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Nest, nest_most
from bladegeom.nesting.nest import nest as lay
from bladegeom.nesting.nest_stock import StockPiece
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Paper, paper
from bladegeom.quantities.tolerances import GROWN_FIT
from bladegeom.quantities.units import length, show_length, show_size
from bladegeom.sheets.nest_drawing import blank_of, nest_drawing
from bladegeom.sheets.nest_sheet import nest_sheets, piece_words
from bladegeom.writers.files import write_all
from bladegeom.writers.pdf import pdf_of_sheets
from bladegeom.writers.svg import svg_of_sheet

_PAPERS = ("A4", "A3")
_BY = re.compile(r"\s*[x\N{MULTIPLICATION SIGN}]\s*|\s+by\s+", re.IGNORECASE)


def nest(options: argparse.Namespace) -> int:
    """Lay out the blanks and tell what is left: 1 where some find no room, or a cut file is refused."""
    if options.out:
        require_ending("--out", options.out, ".pdf", ".svg")
    if options.dxf:
        require_ending("--dxf", options.dxf, ".dxf")
    knives, findings = _knives(options.scripts)
    chosen = {"spacing": length(options.spacing), "margin": length(options.margin), "grain": options.grain}
    if options.copies == "most":
        if len(knives) > 1:
            options.parser.error("--copies most takes one script")
        if options.pieces is not None:
            options.parser.error("--copies most fills one bar or sheet; leave --pieces out")
        done = nest_most(blank_of(knives[0]), _stock(options), flip=options.flip, **chosen)
    else:
        blanks = [blank_of(knife, copies=_copies(options.copies)) for knife in knives]
        done = lay(blanks, _stock(options), flip=options.flip, pieces=options.pieces, **chosen)
    for line in _told(done):
        tell(line)
    standing = _standing(findings, options.allow)
    _write(options, done, knives, remarks_of(findings, options.allow), released=not standing)
    if options.dxf and standing:
        codes = " ".join(f"--allow {code}" for code in dict.fromkeys(finding.code for finding in standing))
        tell(
            f"cut file refused, an error stands: {standing[0].message}; mend the design, or take the risk with {codes}"
        )
    return int(bool(sum(done.left_out)) or bool(options.dxf and standing))


def _knives(scripts: Sequence[Path]) -> tuple[list[Knife], list[Finding]]:
    knives: list[Knife] = []
    findings: list[Finding] = []
    for script in scripts:
        design = load_design(script)
        knife, _ = design.knife()
        with design.named():
            findings += findings_of(design, knife)
        knives.append(knife)
    return knives, findings


def _stock(options: argparse.Namespace) -> StockPiece:
    """A bar's longer side is its length, however it is written; a sheet's length is the side named first."""
    name, text = ("--bar", options.bar) if options.bar is not None else ("--sheet", options.sheet)
    parts = _BY.split(text.strip())
    if len(parts) != 2:
        raise ParameterError(name, repr(text), "name two sides, such as '50 x 1000' or '2 in x 36 in'")
    first, second = (length(part) for part in parts)
    if name == "--bar":
        return StockPiece(length=max(first, second), width=min(first, second))
    return StockPiece(length=first, width=second)


def _copies(text: str) -> int:
    if not text.isdecimal() or int(text[:_DIGITS]) < 1:
        raise ParameterError("--copies", repr(text), "be a whole number from 1 on, or 'most'")
    return int(text[:_DIGITS])


_DIGITS = 9
"""Digits read of a count; what is longer is too many in any case."""


def _told(done: Nest) -> Iterator[str]:
    stock = done.blanks[0].stock
    pieces = len(done.pieces)
    yield (
        f"{pieces} piece{'' if pieces == 1 else 's'} of {stock.material.name}, {show_length(stock.thickness)} thick, "
        f"{done.stock.size}"
    )
    for number, piece in enumerate(done.pieces, start=1):
        yield f"stock {number}: {piece_words(done, piece)}"
        if piece.saw_cuts:
            yield f"  saw across at {', '.join(show_length(x) for x in piece.saw_cuts)}"
        if piece.saw_along is not None:
            yield f"  saw along, {show_length(piece.saw_along)} from below"
    yield f"measured again: {show_length(done.spacing)} between blanks, {show_length(done.margin)} to the border"
    for blank, left in zip(done.blanks, done.left_out, strict=True):
        if left:
            yield f"no room for {left} of {blank.copies} of {blank.name}; with more stock leave --pieces out"


def _standing(findings: Sequence[Finding], allowed: Sequence[str]) -> list[Finding]:
    """Errors that the maker did not allow."""
    require_known(allowed, findings)
    return [finding for finding in errors_of(findings) if finding.code not in allowed]


def _write(
    options: argparse.Namespace, done: Nest, knives: Sequence[Knife], remarks: Sequence[str], *, released: bool
) -> None:
    """The sheet, and the cut file if it is asked for and no error stands; several pieces of stock are numbered."""
    drawings = [nest_drawing(piece, knives) for piece in done.pieces] if options.dxf and released else []
    # The curves of a grown outline are off by a part of what the file may be.
    off = GROWN_FIT if any(knife.cutting.allowance for knife in knives) else 0.0
    files: dict[Path, bytes] = {}
    for path, drawing in zip(_numbered(options.dxf, len(drawings)), drawings, strict=True):
        files[path], measured = dxf_of_drawing(drawing, off=off)
        tell(
            f"{path.name} read back: {measured.loops} closed outlines, {measured.circles} circles, "
            f"{show_size(measured.width, measured.height)}, no kerf; "
            "the stock's border is on layer NOTE, not to be cut"
        )
    for name in dict.fromkeys(name for knife in knives if drawings for name in _drilled(knife)):
        tell(name)
    if options.out:
        papers = [paper(name) for name in options.paper or _PAPERS]
        files |= _sheets(options.out, done, knives, papers, remarks)
    for path, data in files.items():
        write_all(path.parent, {path.name: data})
        tell(str(path))


def _drilled(knife: Knife) -> Iterator[str]:
    if names := left_for_the_drill(knife):
        yield f"{knife.name}: not in the cut file, left for the drill: {', '.join(names)}"


def _sheets(
    out: Path, done: Nest, knives: Sequence[Knife], papers: Sequence[Paper], remarks: Sequence[str]
) -> dict[Path, bytes]:
    """One PDF with all pages, or an SVG for each."""
    sheets = nest_sheets(done, knives, papers, remarks=remarks)
    if out.suffix.lower() == ".pdf":
        return {out: pdf_of_sheets(sheets)}
    return dict(zip(_numbered(out, len(sheets)), map(svg_of_sheet, sheets), strict=True))


def _numbered(path: Path, count: int) -> list[Path]:
    """The path itself for one file, with a number behind its name for several."""
    if count <= 1:
        return [path][:count]
    return [path.with_name(f"{path.stem}-{i}{path.suffix}") for i in range(1, count + 1)]
