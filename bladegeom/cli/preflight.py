"""Preflight of a cut file, ours or anybody's: what is in it, what is wrong with it, what size the shop saw."""

from __future__ import annotations

import argparse
import math
from pathlib import Path

from bladegeom.cli.endings import require_ending
from bladegeom.cli.look_again import Looked, Meant, look_again
from bladegeom.cli.script import load_design
from bladegeom.cli.tell import errors_of, tell
from bladegeom.cutfile.cut import cut_parts
from bladegeom.cutfile.pass_words import measured_rows
from bladegeom.cutfile.preflight import TESTED, Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.cutfile.preflight_words import size
from bladegeom.cutfile.size_seen import Reading, read_seen
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.importers.dxf_file import MOST_BYTES
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Process
from bladegeom.quantities.errors import UnreadableFileError
from bladegeom.quantities.tables import paper
from bladegeom.quantities.units import length, show_length
from bladegeom.writers.files import write_all


def preflight(options: argparse.Namespace) -> int:
    """Read a cut file again, list what is in it and what is wrong; 1 where an error is found."""
    if options.sheet:
        require_ending("--sheet", options.sheet, ".pdf")
    plan = read_cut_plan(_bytes(options.file), options.file.name, unit=options.unit)
    knife = load_design(options.design).knife()[0] if options.design else None
    process, thickness = _process(options, knife)
    looked = _nearest(plan, process, thickness, knife) if knife else look_again(plan, process, thickness or 0.0)
    one = looked.found
    if options.seen:
        _tell_seen(one, options.seen)
        return 0
    _tell_measured(one, looked.off)
    for finding in one.findings:
        tell(f"{finding.severity} [{finding.code}] {finding.message}  (source: {finding.source})")
    errors = errors_of(one.findings)
    if options.sheet:
        _write_sheet(options, looked)
    _tell_tested(one, len(errors))
    return int(bool(errors))


def _nearest(plan: CutPlan, process: Process, told: float | None, knife: Knife) -> Looked:
    """The file beside that part of a knife which it is nearest to: by its holes, then by its lines."""
    looked = []
    for part in cut_parts(knife):
        thickness = part.thickness if told is None else told
        looked.append(look_again(plan, process, thickness, Meant(knife=knife, part=part)))
    return min(looked, key=_differs)


def _differs(one: Looked) -> tuple[int, float]:
    off = one.off
    return (len(off.missing) + len(off.extra), off.greatest) if off else (0, 0.0)


def _process(options: argparse.Namespace, knife: Knife | None) -> tuple[Process, float | None]:
    """Whose limits count, as told, else as the design says; and the thickness, if it is told."""
    own = knife.shop.process if knife else Process()
    process = Process.named(options.process) if options.process else own
    return process, length(options.thickness) if options.thickness else None


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            # One byte more than is allowed is enough to see that there are too many.
            return stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise UnreadableFileError(str(path), f"the file cannot be read: {error.strerror or error}") from error


def _write_sheet(options: argparse.Namespace, looked: Looked) -> None:
    papers = tuple(paper(name) for name in options.paper or ("A4", "A3"))
    _, pdf = looked.sheet(papers)
    (path,) = write_all(options.sheet.parent, {options.sheet.name: pdf})
    tell(f"pass sheet written: {path}")


def _tell_measured(one: Preflight, off: Deviation | None) -> None:
    tell(one.plan.name)
    for name, value in measured_rows(one, off):
        tell(f"  {name:<16} {value}")
    tell(f"  {'sha256':<16} {one.plan.sha256}")


def _tell_tested(one: Preflight, errors: int) -> None:
    thick = show_length(one.thickness) if one.thickness else "thickness not given"
    tell(f"tested against {one.process.name}, {thick}, and for nothing else:")
    for words in TESTED:
        tell(f"  {words}")
    for words in one.unsought:
        tell(f"  NOT tested: {words}")
    tell(f"{errors} error{'' if errors == 1 else 's'}")


def _tell_seen(one: Preflight, seen: str) -> None:
    if not math.isfinite(one.width):
        raise UnreadableFileError(one.plan.name, "the file has nothing to cut, so that no size can be compared")
    tell(f"true size {size(one.width, one.height)}; seen {seen}")
    for reading in read_seen(seen, one.width, one.height):
        for words in _seen_lines(reading, one):
            tell(words)


def _seen_lines(reading: Reading, one: Preflight) -> list[str]:
    read = f"read as {reading.unit}, " if reading.unit else ""
    factors = " and ".join(f"{factor:.4g}" for factor in reading.factors)
    head = f"{read}{reading.side} seen is {factors} times the true one: "
    if not reading.causes:
        why = (
            "width and height by factors of their own: another part, or stretched"
            if reading.uneven
            else "cause unknown"
        )
        return [f"{head}{why}; ask the shop for a picture of its screen with the size and the unit on it"]
    out = [head + (" or ".join(cause.why for cause in reading.causes))]
    if len(reading.causes) > 1:
        out.append("  more than one cause gives this factor: ask which program, which file and which setting it was")
    right = size(one.width, one.height)
    out += [
        f"  write to the shop: The part in {one.plan.name} is {right}. {ask}. It must then measure {right}."
        for ask in dict.fromkeys(cause.ask for cause in reading.causes)
    ]
    return out
