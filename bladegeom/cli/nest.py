"""The command ``nest``: blanks of scripts on bars or sheets; a sheet to saw by, a cut file if asked for."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from bladegeom.book.nest_pages import piece_words
from bladegeom.cli.asked import asked_script, design_of
from bladegeom.cli.busy import busy
from bladegeom.cli.lengths import length_of
from bladegeom.cli.tell import tell
from bladegeom.commands.nest import nest_sheet
from bladegeom.cutfile.cut import left_for_the_drill
from bladegeom.design.design import Design
from bladegeom.design.release import errors_of, refusal, require_known
from bladegeom.knife.knife import Knife
from bladegeom.nesting.nest import Nest, nest_most
from bladegeom.nesting.nest import nest as lay
from bladegeom.nesting.nest_stock import StockPiece
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.shown import rule_length
from bladegeom.quantities.units import show_length, show_size
from bladegeom.sheets.nest_drawing import blank_of
from bladegeom.writers.files import numbered, require_ending, write_together

_BY = re.compile(r"\s*[x\N{MULTIPLICATION SIGN}]\s*|\s+by\s+", re.IGNORECASE)


def nest_command(options: argparse.Namespace) -> int:
    """Lay out the blanks and tell what is left: 1 where some find no room, or a cut file is refused."""
    if options.out:
        require_ending("--out", options.out, ".pdf", ".svg")
    if options.dxf:
        require_ending("--dxf", options.dxf, ".dxf")
    designs = _designs(options.scripts)
    with busy("laying the blanks"):
        done = _laid(options, [design.knife for design in designs])
    for line in _told(done):
        tell(line)
    designs = _allowing(designs, options.allow)
    standing = [finding for design in designs for finding in design.standing]
    _write(options, done, designs, released=not standing)
    if options.dxf and standing:
        why = f"cut file refused, an error stands: {standing[0].message}; "
        tell(why + refusal((finding.code for finding in standing), "--allow {0}").removeprefix("cut file refused: "))
    return int(bool(sum(done.left_out)) or bool(options.dxf and standing))


def _designs(scripts: Sequence[Path]) -> list[Design]:
    designs = []
    for path in scripts:
        script = asked_script(path)
        design = design_of(script)
        with script.named(), busy(f"checking {path.name}"):
            # What goes wrong in a check is told with the script that it comes from.
            design.findings  # noqa: B018
        designs.append(design)
    return designs


def _allowing(designs: Sequence[Design], codes: Sequence[str]) -> list[Design]:
    """Each design with those of the codes that it has errors of; every code must stand somewhere."""
    require_known(codes, [finding for design in designs for finding in design.findings])
    has = [{finding.code for finding in errors_of(design.findings)} for design in designs]
    return [design.allowing(*(code for code in codes if code in own)) for design, own in zip(designs, has, strict=True)]


def _laid(options: argparse.Namespace, knives: Sequence[Knife]) -> Nest:
    chosen = {
        "spacing": length_of("--spacing", options.spacing),
        "margin": length_of("--margin", options.margin),
        "grain": options.grain,
    }
    if options.copies == "most":
        if len(knives) > 1:
            options.parser.error("--copies most takes one script")
        if options.pieces is not None:
            options.parser.error("--copies most fills one bar or sheet; leave --pieces out")
        return nest_most(blank_of(knives[0]), _stock(options), flip=options.flip, **chosen)
    blanks = [blank_of(knife, copies=_copies(options.copies)) for knife in knives]
    return lay(blanks, _stock(options), flip=options.flip, pieces=options.pieces, **chosen)


def _stock(options: argparse.Namespace) -> StockPiece:
    """A bar's longer side is its length, however it is written; a sheet's length is the side named first."""
    name, text = ("--bar", options.bar) if options.bar is not None else ("--sheet", options.sheet)
    parts = _BY.split(text.strip())
    if len(parts) != 2:
        raise ParameterError(name, repr(text), "name two sides, such as '50 x 1000' or '2 in x 36 in'")
    first, second = (length_of(name, part) for part in parts)
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
            yield f"  saw across at {', '.join(rule_length(x).text for x in piece.saw_cuts)}"
        if piece.saw_along is not None:
            yield f"  saw along, {rule_length(piece.saw_along)} from below"
    yield f"measured again: {show_length(done.spacing)} between blanks, {show_length(done.margin)} to the border"
    for blank, left in zip(done.blanks, done.left_out, strict=True):
        if left:
            yield f"no room for {left} of {blank.copies} of {blank.name}; with more stock leave --pieces out"


def _write(options: argparse.Namespace, done: Nest, designs: Sequence[Design], *, released: bool) -> None:
    """The sheet, and the cut file if it is asked for and no error stands; several pieces of stock are numbered."""
    files = _cut(options.dxf, done, designs) if options.dxf and released else {}
    with busy("sheet to saw by"):
        sheet = nest_sheet(done, designs, papers=options.paper).files(options.out) if options.out else {}
    for path in write_together({**files, **sheet}):
        tell(str(path))


def _cut(named: Path, done: Nest, designs: Sequence[Design]) -> dict[Path, bytes]:
    """The cut files; what was read back, and what is left for the drill, is told."""
    from bladegeom.commands.nest_cut_files import nest_cut_files  # noqa: PLC0415

    with busy("cut file of the nest"):
        cut = nest_cut_files(done, designs)
    files: dict[Path, bytes] = {}
    for path, file in zip(numbered(named, len(cut)), cut, strict=True):
        files[path], measured = file.data, file.measured
        tell(
            f"{path.name} read back: {measured.loops} closed outlines, {measured.circles} circles, "
            f"{show_size(measured.width, measured.height)}, no kerf; "
            "the stock's border is on layer NOTE, not to be cut"
        )
    for words in dict.fromkeys(words for design in designs for words in _drilled(design.knife)):
        tell(words)
    return files


def _drilled(knife: Knife) -> Iterator[str]:
    if names := left_for_the_drill(knife):
        yield f"{knife.name}: not in the cut file, left for the drill: {', '.join(names)}"
