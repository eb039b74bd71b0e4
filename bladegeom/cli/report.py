"""The command ``report``: lengths, masses, balance, holes and findings."""

from __future__ import annotations

import argparse
import sys

from bladegeom.cli.asked import asked_design
from bladegeom.design.report import report
from bladegeom.writers.report_json import as_json
from bladegeom.writers.report_text import as_text


def report_command(options: argparse.Namespace) -> int:
    """Print the report."""
    script, design = asked_design(options)
    with script.named():
        content = report(design, geometry=options.geometry)
        text = as_json(content) if options.json else as_text(content)
    sys.stdout.write(text)
    return 0
