"""Printing, and counting what is wrong."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from bladegeom.knife.finding import Finding
from bladegeom.quantities.lettering import visible


def tell(text: str) -> None:
    """One line on the standard output, or several."""
    sys.stdout.write(shown(text) + "\n")


def shown(text: str) -> str:
    """The text as a terminal may have it: names out of a file cannot clear the screen or change its title."""
    return "\n".join(visible(line) for line in text.split("\n"))


def errors_of(findings: Sequence[Finding]) -> list[Finding]:
    """Those that keep a cut file back."""
    return [finding for finding in findings if finding.severity == "error"]
