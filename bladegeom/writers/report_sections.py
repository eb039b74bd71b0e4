"""Sections of the report for reading, each by itself: its paragraphs are those of the whole."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from bladegeom.writers.report_text import (
    agreement_lines,
    balance_lines,
    fastener_lines,
    finding_lines,
    grind_lines,
    handle_lines,
    hole_lines,
    length_lines,
    lever_lines,
    part_lines,
    setting_lines,
    step_lines,
    stock_lines,
    stop_lines,
    zone_lines,
)

_Content = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class ReportSection:
    """What a section is told from and what it tells.

    Args:
        keys: Of the report.
        paragraphs: As they stand in the whole report; those without lines are left out.
    """

    keys: tuple[str, ...]
    paragraphs: tuple[Callable[[_Content], Iterable[str]], ...]

    def text(self, content: _Content) -> str:
        """What it tells of a report, without a line end; empty where the design has nothing of the kind."""
        told = ("\n".join(lines(content)) for lines in self.paragraphs)
        return "\n\n".join(paragraph for paragraph in told if paragraph)


REPORT_SECTIONS: Final[Mapping[str, ReportSection]] = {
    "lengths": ReportSection(keys=("outline", "total"), paragraphs=(length_lines,)),
    "steel": ReportSection(keys=("stock", "removed"), paragraphs=(stock_lines, step_lines)),
    "bevel": ReportSection(keys=("stock", "grind"), paragraphs=(grind_lines,)),
    "mass": ReportSection(keys=("parts", "total"), paragraphs=(part_lines,)),
    "balance": ReportSection(
        keys=("total", "balance_band", "lightening", "levers"), paragraphs=(balance_lines, lever_lines)
    ),
    "holes": ReportSection(keys=("holes", "lightening"), paragraphs=(hole_lines, stop_lines)),
    "fasteners": ReportSection(keys=("fasteners",), paragraphs=(fastener_lines,)),
    "handle": ReportSection(keys=("handle",), paragraphs=(handle_lines,)),
    "zones": ReportSection(keys=("zones",), paragraphs=(zone_lines,)),
    "settings": ReportSection(keys=("settings",), paragraphs=(setting_lines,)),
    "agreement": ReportSection(keys=("agreement",), paragraphs=(agreement_lines,)),
    "findings": ReportSection(keys=("findings", "overridden"), paragraphs=(finding_lines,)),
}
"""In the order of the whole report; a maker asks for them by these names."""
