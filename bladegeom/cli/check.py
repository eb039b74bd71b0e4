"""The command ``check``: everything that is wrong or worth knowing."""

from __future__ import annotations

import argparse

from bladegeom.cli.asked import asked_design
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.knife.finding import severity_counts


def check_command(options: argparse.Namespace) -> int:
    """Print the findings."""
    script, design = asked_design(options)
    with script.named(), busy(f"checking {options.script.name}"):
        findings = design.findings
        # Whoever reads the output may leave in the middle of it.
        options.status = int(bool(design.errors))
    for finding in findings:
        tell(f"{finding.severity} [{finding.code}] {finding.message}  (source: {finding.source})")
    tell(severity_counts(finding.severity for finding in findings))
    return int(options.status)
