"""Printing."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from typing import TextIO

from bladegeom.cli.terminal import coloured, shown_text
from bladegeom.design.release import refusal
from bladegeom.knife.finding import Finding


def tell(text: str, *, to: TextIO | None = None) -> None:
    """One line, or several, on the standard output or another stream; on a terminal coloured sparingly."""
    stream = sys.stdout if to is None else to
    stream.write(coloured(shown_text(text), stream) + "\n")


def tell_findings(findings: Iterable[Finding]) -> None:
    """Each finding in a line, without its source."""
    for finding in findings:
        tell(f"{finding.severity} [{finding.code}] {finding.message}")


def refused(standing: Sequence[Finding]) -> str:
    """Why no cut file is written, and how the maker can have one all the same."""
    return refusal((finding.code for finding in standing), "--allow {0}")
