"""A cut file looked at again as a cutter sees it, beside the part of the design that it cuts where that is known."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, join
from bladegeom.cutfile.cut import CutPart
from bladegeom.cutfile.preflight import Preflight, preflight_plan
from bladegeom.cutfile.preflight_design import Deviation, compare, deviation_findings
from bladegeom.cutfile.seen import NO_TABS, TabGaps
from bladegeom.drawing.drawing import Circle, Path
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.knife.finding import Finding, Findings
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Process


@dataclass(frozen=True, kw_only=True)
class Meant:
    """What a cut file is meant to cut.

    Args:
        knife: The design.
        part: Of the design.
    """

    knife: Knife
    part: CutPart

    @property
    def tabs(self) -> TabGaps:
        """Gaps that the design leaves in the part's outline."""
        tabs = self.knife.cutting.tabs
        return TabGaps(count=self.part.tabs, width=tabs.width) if self.part.tabs and tabs is not None else NO_TABS


@dataclass(frozen=True, kw_only=True)
class CutFileCheck:
    """What preflight finds in a cut file.

    Args:
        found: In the file, with what differs from the design.
        off: How far it is off the design; None where none is known or the file has no outline.
        meant: What it is meant to cut, if known.

    >>> from bladegeom import cut_files
    >>> checked = cut_files(design)["steel"].check
    >>> checked.findings, checked.off.greatest < 0.011
    ((), True)
    """

    found: Preflight
    off: Deviation | None
    meant: Meant | None

    @property
    def findings(self) -> Findings:
        """What is wrong or worth knowing, errors first."""
        return self.found.findings


def verify_cut_file(plan: CutPlan, process: Process, thickness: float, meant: Meant | None = None) -> CutFileCheck:
    """Preflight a cut file.

    Args:
        plan: What stands in the file.
        process: Whose limits count.
        thickness: Of the stock, mm; 0 where it is not known.
        meant: What it is meant to cut, if known.
    """
    found = preflight_plan(plan, process, thickness, tabs=meant.tabs if meant else NO_TABS)
    off = compare(found.nest, tuple(_curves(meant.part))) if meant and found.nest is not None else None
    differs = deviation_findings(off, process) if off else ()
    ranked = Findings.ranked((*_known(found.findings, meant), *differs))
    return CutFileCheck(found=dataclasses.replace(found, findings=ranked), off=off, meant=meant)


def _known(findings: Sequence[Finding], meant: Meant | None) -> Iterator[Finding]:
    """Findings, with marks that the design asks for a note: the order says what they are."""
    asked = sum(item.layer == "MARK" for item in meant.part.drawing.items) if meant else 0
    for finding in findings:
        yield (
            dataclasses.replace(finding, severity="note")
            if asked and (finding.code, finding.measured) == ("marks", asked)
            else finding
        )


def _curves(part: CutPart) -> Iterator[Curve]:
    """The lines of a part, the outline first, its gaps for tabs closed by straight lines."""
    items = [item for item in part.drawing.items if item.layer == "CUT"]
    pieces = [item.curve for item in items if isinstance(item, Path) and not item.closed]
    if pieces:
        bridges = [line(a.end, b.start) for a, b in zip(pieces, (*pieces[1:], pieces[0]), strict=True)]
        yield join(*(curve for pair in zip(pieces, bridges, strict=True) for curve in pair))
    for item in items:
        if isinstance(item, Circle):
            yield arc((item.x, item.y), item.radius, 0.0, 360.0)
        elif isinstance(item, Path) and item.closed:
            yield item.curve
