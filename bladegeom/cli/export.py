"""The command ``export``: papers, cut files and report of a script's design, written together."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.busy import busy
from bladegeom.cli.paper_lines import paper_lines
from bladegeom.cli.tell import refused, tell, tell_findings
from bladegeom.commands.export import exported


def export_command(options: argparse.Namespace) -> int:
    """Write all files into a folder: 0 where no error stands but those allowed, else 1 and no cut file."""
    script, design = asked_design(options)
    with script.named(), busy(f"papers and cut files of {options.script.name}"):
        made = exported(design, papers=options.paper, dxf=options.dxf, only=options.only)
    folder: Path = options.out or folder_of(options.script, "export")
    for line in paper_lines(options.paper, design.settings):
        tell(line)
    for path in made.save(folder):
        tell(str(path))
    for line in made.told:
        tell(line)
    for name, why in made.left_out.items():
        tell(f"{name} pages left out: {why}; --only {name} prints them")
    for path in made.left_over(folder):
        tell(f"left from an earlier export and not written anew, of no use unless it says {made.mark}: {path}")
    tell_findings(finding for finding in design.findings if finding.severity == "warning" or finding in design.standing)
    if design.standing:
        tell(refused(design.standing))
    return int(not design.released)
