"""Everything that can be told of a cut file before a shop sees it: what was measured, and what is wrong."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from bladegeom.cutfile.cut_loops import JOIN, REACH, Loops, find_loops
from bladegeom.cutfile.cut_measures import NECKS, Narrow
from bladegeom.cutfile.cut_nest import Nest, misplaced, nest
from bladegeom.cutfile.cut_specks import specks
from bladegeom.cutfile.preflight_lines import (
    NO_TABS,
    Doubles,
    Tabs,
    crossings,
    doubles,
    find_doubles,
    gaps,
    short_lines,
)
from bladegeom.cutfile.preflight_things import layer_findings, line_findings, thing_findings, unit_findings
from bladegeom.cutfile.preflight_widths import Narrows, chord_findings, corner_findings, find_narrows, narrow_places
from bladegeom.cutfile.preflight_words import NO_DOUBLES, few, found
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.knife.finding import Finding
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
    """

    plan: CutPlan
    process: Process
    thickness: float
    loops: Loops
    nest: Nest | None
    narrows: Narrows | None
    findings: tuple[Finding, ...]
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


def preflight(plan: CutPlan, process: Process, thickness: float, *, tabs: Tabs = NO_TABS) -> Preflight:
    """Measure and check what a cut file holds.

    Args:
        plan: The file.
        process: Whose limits count.
        thickness: Of the stock, mm; 0 where it is not known.
        tabs: Gaps that the outline is meant to have.
    """
    known = find_doubles(plan)
    # A copy and a speck are told as such, and do not count again as a line that crosses or stays open.
    chains = [i for i in range(len(plan.chains)) if i not in known.copies | specks(plan)]
    reach = max(REACH, 1.1 * tabs.width)
    loops = find_loops(plan, chains, reach=reach) if known.pairs is not None else None
    sorted_loops = nest(loops.loops) if loops is not None else None
    narrows = find_narrows(sorted_loops) if sorted_loops is not None and sorted_loops.outline is not None else None
    told = itertools.chain(
        layer_findings(plan),
        thing_findings(plan),
        unit_findings(plan) if plan.chains else (),
        line_findings(plan),
        doubles(plan, known),
        short_lines(plan, known.copies),
        _loop_findings(plan, known, loops, sorted_loops, tabs),
        _narrow_findings(plan, sorted_loops, narrows, process, thickness),
    )
    return Preflight(
        plan=plan,
        process=process,
        thickness=thickness,
        loops=loops or Loops(loops=(), gaps=(), forks=(), joints=()),
        nest=sorted_loops,
        narrows=narrows,
        findings=tuple(sorted(few(told), key=lambda one: one.rank)),
        unsought=tuple(_unsought(loops, sorted_loops, narrows)),
    )


def _loop_findings(
    plan: CutPlan, known: Doubles, loops: Loops | None, sorted_loops: Nest | None, tabs: Tabs
) -> Iterator[Finding]:
    if loops is None:
        if known.pairs is not None:
            text = "so many ends of lines lie together that outlines cannot be told apart; draw it again"
            yield found("tangle", "error", text, None, source=NO_DOUBLES)
        return
    yield from crossings(plan, known, loops)
    yield from gaps(loops, plan, tabs)
    if sorted_loops is None:
        text = "so many loops stand in each other that they cannot be sorted; draw it again"
        yield found("tangle", "error", text, None, source=NO_DOUBLES)
    else:
        yield from misplaced(sorted_loops)


def _narrow_findings(
    plan: CutPlan, sorted_loops: Nest | None, narrows: Narrows | None, process: Process, thickness: float
) -> Iterator[Finding]:
    if sorted_loops is None or narrows is None:
        return
    yield from narrow_places(narrows, process, thickness)
    yield from corner_findings(narrows, process)
    yield from chord_findings(sorted_loops, plan)


def _unsought(loops: Loops | None, sorted_loops: Nest | None, narrows: Narrows | None) -> Iterator[str]:
    if loops is None or sorted_loops is None:
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
    return min(narrow, key=lambda one: one.size, default=None)
