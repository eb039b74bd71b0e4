"""Everything that can be told of a cut file before a shop sees it: what was measured, and what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from bladegeom.cutfile.cut_loops import JOIN, Loops
from bladegeom.cutfile.cut_measures import NECKS, Narrow
from bladegeom.cutfile.cut_narrows import Narrows
from bladegeom.cutfile.cut_nest import NestedLoops
from bladegeom.cutfile.preflight_words import few
from bladegeom.cutfile.seen import NO_TABS, Seen, TabGaps
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.knife.finding import Findings
from bladegeom.knife.rule import rules_in
from bladegeom.knife.rules import Process

TESTED = (
    "release, unit and layers",
    "text, hatches, dimensions, points, blocks, splines, other things, things outside model space",
    "widths, thickness, arcs of more than 10 m radius, a part more than 10 m from the origin",
    f"open ends and gaps (ends within {JOIN} mm are joined for measuring)",
    "lines drawn twice or over each other, crossings, three-way joints, lines shorter than 0.1 mm",
    "one outline, every other loop a hole in it",
    "holes, webs, inside radii against the process; necks and gaps up to 3 mm within one loop",
)
"""What a pass says, and no more."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Preflight:
    """A cut file, measured and checked.

    Args:
        plan: What the file holds.
        process: Against whose limits.
        thickness: Of the stock, mm; 0 where it is not known.
        loops: What its lines form, copies left out.
        nest: Which is the outline, which are holes; None where they could not be sorted.
        narrows: Narrow places; None without an outline.
        findings: Errors first.
        unsought: What could not be looked at, in words.

    >>> from bladegeom import cut_files
    >>> found = cut_files(design)["steel"].check.found
    >>> round(found.width, 1), round(found.height, 1)
    (228.0, 31.1)
    """

    plan: CutPlan
    process: Process
    thickness: float
    loops: Loops
    nest: NestedLoops | None
    narrows: Narrows | None
    findings: Findings
    unsought: tuple[str, ...]

    @property
    def width(self) -> float:
        """Of all lines to cut, mm; nan without any."""
        return float(self.plan.bounds[2] - self.plan.bounds[0])

    @property
    def height(self) -> float:
        """The same upwards."""
        return float(self.plan.bounds[3] - self.plan.bounds[1])

    @property
    def perimeter(self) -> float:
        """Length of all lines to cut, copies and gaps left out, mm."""
        return sum(loop.cut_length for loop in self.loops.loops)

    @property
    def pierces(self) -> int:
        """How often the machine starts a cut: once for each loop and open line, for each piece of those with gaps."""
        return sum(loop.pierces for loop in self.loops.loops)

    @property
    def smallest_hole(self) -> Narrow | None:
        """The narrowest hole, by the largest circle that fits it."""
        return _least(self.narrows.holes if self.narrows else ())

    @property
    def narrowest_web(self) -> Narrow | None:
        """The narrowest steel beside a hole."""
        return _least(self.narrows.webs if self.narrows else ())

    @property
    def narrowest_neck(self) -> Narrow | None:
        """The narrowest neck of steel within one loop, if it is 3 mm or less."""
        return _least(self.narrows.necks if self.narrows else ())

    @property
    def smallest_radius(self) -> Narrow | None:
        """The smallest inside radius, 0 for a sharp inside corner."""
        return _least(self.narrows.corners if self.narrows else ())


def preflight_plan(plan: CutPlan, process: Process, thickness: float, *, tabs: TabGaps = NO_TABS) -> Preflight:
    """Measure and check what a cut file holds.

    Args:
        plan: The file.
        process: Whose limits count.
        thickness: Of the stock, mm; 0 where it is not known.
        tabs: Gaps that the outline is meant to have.
    """
    seen = Seen(plan=plan, process=process, thickness=thickness, tabs=tabs)
    told = (finding for rule in rules_in("bladegeom.cutfile") for finding in rule(seen))
    return Preflight(
        plan=plan,
        process=process,
        thickness=thickness,
        loops=seen.loops or Loops(loops=(), gaps=(), forks=(), joints=()),
        nest=seen.nest,
        narrows=seen.narrows,
        findings=Findings.ranked(few(told)),
        unsought=tuple(_unsought(seen)),
    )


def _unsought(seen: Seen) -> Iterator[str]:
    narrows = seen.narrows
    if seen.nest is None:
        yield "crossings, loops and widths: the lines are too tangled"
        return
    if narrows is None:
        yield "holes, webs and necks: there is no outline"
        return
    if narrows.crossed:
        yield f"widths within {narrows.crossed} of the loops: they cross themselves or stay open"
    if narrows.unsought:
        yield f"all webs, and necks narrower than {NECKS:g} mm: there are too many holes or pieces"


def _least(narrow: Iterable[Narrow]) -> Narrow | None:
    return min(narrow, key=lambda narrow_place: narrow_place.size, default=None)
