"""The command ``export``: papers, cut files and report of a script's design, written together."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.tell import refused, tell, tell_findings
from bladegeom.commands.export import exported
from bladegeom.drawing.printer import Printer
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.units import length


def export_command(options: argparse.Namespace) -> int:
    """Write all files into a folder: 0 where no error stands but those allowed, else 1 and no cut file."""
    script, design = asked_design(options)
    printer = None if options.printer is None else printer_of(options.printer)
    with script.named():
        made = exported(design, papers=options.paper, printer=printer, dxf=options.dxf)
    folder: Path = options.out or folder_of(options.script, "export")
    for path in made.save(folder):
        tell(str(path))
    for line in made.told:
        tell(line)
    for path in made.left_over(folder):
        tell(f"left from an earlier export, not of this design as it stands: {path}")
    tell_findings(finding for finding in design.findings if finding.severity == "warning" or finding in design.standing)
    if design.standing:
        tell(refused(design.standing))
    return int(not design.released)


def printer_of(text: str) -> Printer:
    """What two bars measured, across and along the page: '99.6 x 100.2'.

    Raises:
        ExportError: It is not two lengths with an x between them.
        ParameterError: A reading that no printer gives at 100 %.
    """
    across, _, along = (part.strip() for part in text.lower().replace("\u00d7", "x").partition("x"))
    if not (across and along):
        raise ExportError(
            f"--printer {text!r}: tell what the two 100 mm bars measured, across and along the page, such as "
            "'99.6 x 100.2'"
        )
    return Printer(across=length(across), along=length(along))
