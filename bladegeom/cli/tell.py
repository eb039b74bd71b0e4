"""Printing, and counting what is wrong."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from bladegeom.reason.finding import Finding


def tell(text: str) -> None:
    """One line on the standard output."""
    sys.stdout.write(text + "\n")


def errors_of(findings: Sequence[Finding]) -> list[Finding]:
    """Those that keep a cut file back."""
    return [finding for finding in findings if finding.severity == "error"]
