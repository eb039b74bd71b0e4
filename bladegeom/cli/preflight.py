"""The command ``preflight``: what is in a cut file, what is wrong with it, what size the shop saw."""

from __future__ import annotations

import argparse
import contextlib
import math

from bladegeom.cli.asked import asked_script, design_of
from bladegeom.cli.busy import busy
from bladegeom.cli.lengths import length_of
from bladegeom.cli.tell import tell
from bladegeom.commands.preflight import preflight, preflight_sheet
from bladegeom.cutfile.pass_words import measured_rows
from bladegeom.cutfile.preflight import TESTED, Preflight
from bladegeom.cutfile.preflight_design import Deviation
from bladegeom.cutfile.preflight_words import width_by_height
from bladegeom.cutfile.size_seen import Reading, read_seen
from bladegeom.cutfile.verify_cut_file import CutFileCheck
from bladegeom.design.design import Design
from bladegeom.design.release import errors_of
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.units import show_length
from bladegeom.writers.files import require_ending


def preflight_command(options: argparse.Namespace) -> int:
    """Read a cut file again, list what is in it and what is wrong; 1 where an error is found."""
    if options.sheet:
        require_ending("--sheet", options.sheet, ".pdf")
    design = design_of(asked_script(options.design)) if options.design else None
    with design.settings.in_force() if design else contextlib.nullcontext():
        return _looked(options, design)


def _looked(options: argparse.Namespace, design: Design | None) -> int:
    thickness = length_of("--thickness", options.thickness) if options.thickness is not None else None
    with busy(f"reading {options.file.name}"):
        looked = preflight(options.file, design=design, process=options.process, thickness=thickness, unit=options.unit)
    if options.seen:
        _tell_seen(looked.found, options.seen)
        return 0
    errors = errors_of(looked.findings)
    options.status = int(bool(errors))
    _tell_measured(looked.found, looked.off)
    for finding in looked.findings:
        tell(f"{finding.severity} [{finding.code}] {finding.message}  (source: {finding.source})")
    if options.sheet:
        _write_sheet(options, looked)
    _tell_tested(looked.found, len(errors))
    return int(options.status)


def _write_sheet(options: argparse.Namespace, looked: CutFileCheck) -> None:
    with busy(f"pass sheet of {options.file.name}"):
        (path,) = preflight_sheet(looked, papers=options.paper).save(options.sheet)
    tell(f"pass sheet written: {path}")


def _tell_measured(result: Preflight, off: Deviation | None) -> None:
    tell(result.plan.name)
    for name, value in measured_rows(result, off):
        tell(f"  {name:<16} {value}")
    tell(f"  {'sha256':<16} {result.plan.sha256}")


def _tell_tested(result: Preflight, errors: int) -> None:
    thick = show_length(result.thickness) if result.thickness else "thickness not given"
    tell(f"tested against {result.process.name}, {thick}, and for nothing else:")
    for words in TESTED:
        tell(f"  {words}")
    for words in result.unsought:
        tell(f"  NOT tested: {words}")
    tell(f"{errors} error{'' if errors == 1 else 's'}")


def _tell_seen(result: Preflight, seen: str) -> None:
    if not math.isfinite(result.width):
        raise UnreadableFileError(result.plan.name, "the file has nothing to cut, so that no size can be compared")
    tell(f"true size {width_by_height(result.width, result.height)}; seen {seen}")
    for reading in read_seen(seen, result.width, result.height):
        for words in _seen_lines(reading, result):
            tell(words)


def _seen_lines(reading: Reading, result: Preflight) -> list[str]:
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
    right = width_by_height(result.width, result.height)
    out += [
        f"  write to the shop: The part in {result.plan.name} is {right}. {ask}. It must then measure {right}."
        for ask in dict.fromkeys(cause.ask for cause in reading.causes)
    ]
    return out
