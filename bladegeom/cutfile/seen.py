"""A cut file as the rules of preflight see it: what it holds, and what was measured of it, each thing once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.cutfile.cut_doubles import Doubles, find_doubles
from bladegeom.cutfile.cut_loops import REACH, Loops, find_loops
from bladegeom.cutfile.cut_narrows import Narrows, find_narrows
from bladegeom.cutfile.cut_nest import NestedLoops, nested_loops
from bladegeom.cutfile.cut_specks import specks
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.knife.rules import Process


@dataclass(frozen=True, kw_only=True)
class TabGaps:
    """Gaps that a design leaves in its outline.

    Args:
        count: How many.
        width: Of each, mm.
    """

    count: int = 0
    width: float = 0.0


NO_TABS = TabGaps()


@dataclass(frozen=True, kw_only=True, eq=False)
class Seen:
    """A cut file, and what it is held to.

    Args:
        plan: What the file holds.
        process: Against whose limits.
        thickness: Of the stock, mm; 0 where it is not known.
        tabs: Gaps that the outline is meant to have.
    """

    plan: CutPlan
    process: Process
    thickness: float
    tabs: TabGaps = NO_TABS

    @cached_property
    def doubles(self) -> Doubles:
        """Lines that lie on each other."""
        return find_doubles(self.plan)

    @cached_property
    def loops(self) -> Loops | None:
        """What the lines form, copies left out; None where they are too tangled."""
        if self.doubles.pairs is None:
            return None
        # A copy and a speck are told as such, and do not count again as a line that crosses or stays open.
        left_out = self.doubles.copies | specks(self.plan)
        chains = [i for i in range(len(self.plan.chains)) if i not in left_out]
        return find_loops(self.plan, chains, reach=max(REACH, 1.1 * self.tabs.width))

    @cached_property
    def nest(self) -> NestedLoops | None:
        """Which loop is the outline, which are holes; None where they cannot be sorted."""
        return None if self.loops is None else nested_loops(self.loops.loops)

    @cached_property
    def narrows(self) -> Narrows | None:
        """Narrow places; None without an outline."""
        return None if self.nest is None or self.nest.outline is None else find_narrows(self.nest)
