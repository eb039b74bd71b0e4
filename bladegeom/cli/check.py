"""The command ``check``: everything that is wrong or worth knowing."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from bladegeom.cli.asked import asked_design
from bladegeom.cli.tell import tell
from bladegeom.knife.finding import Finding


def check_command(options: argparse.Namespace) -> int:
    """Print the findings."""
    script, design = asked_design(options)
    with script.named():
        findings = design.findings
    for finding in findings:
        tell(f"{finding.severity} [{finding.code}] {finding.message}  (source: {finding.source})")
    tell(_summary(findings))
    return int(bool(design.errors))


def _summary(findings: Sequence[Finding]) -> str:
    count = {severity: sum(f.severity == severity for f in findings) for severity in ("error", "warning", "note")}
    return ", ".join(f"{n} {severity}{'' if n == 1 else 's'}" for severity, n in count.items())
