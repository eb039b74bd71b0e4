"""Lines of a cut file that lie on each other, each told once however many there are."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from bladegeom.curves.segment_pairs import Pairs
from bladegeom.cutfile.cut_doubles import Doubles
from bladegeom.cutfile.cut_loops import MOST_PAIRS
from bladegeom.cutfile.preflight_words import NO_DOUBLES, a_or_an, cut_finding, each
from bladegeom.cutfile.seen import Seen
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.units import show_length


@rule(
    Code("tangle", ("error",), "so many lines lie over each other that nothing can be told apart"),
    Code("overlap", ("error",), "two lines run along each other, or one back over itself"),
    Code("duplicate", ("error",), "one line lies wholly on another"),
)
def doubles(seen: Seen) -> Iterator[Finding]:
    """What lies on something else: the machine would cut it twice."""
    plan, found_doubles = seen.plan, seen.doubles
    if found_doubles.pairs is None:
        text = f"more than {MOST_PAIRS} pairs of lines lie over each other; such a heap cannot be cut: draw it again"
        yield cut_finding("tangle", "error", text, None, source=NO_DOUBLES)
        return
    runs = _runs(plan, found_doubles, found_doubles.pairs)
    for code in dict.fromkeys(run.code for run in runs):
        yield from each([run for run in runs if run.code == code], functools.partial(_doubled, plan))


class _Run(NamedTuple):
    """Two things that lie on each other."""

    first: int
    second: int
    along: float
    """How far, mm."""
    segment: int
    """The shorter of the first two lines of them that do."""
    code: str


def _runs(plan: CutPlan, found: Doubles, pairs: Pairs) -> list[_Run]:
    """All of them in the order of the file; of two copies each of which lies on what is no copy, nothing more."""
    row = np.flatnonzero(found.along > 0)
    i, j = (side[row] for side in pairs)
    pair, where, which = np.unique(
        plan.owner[i] * len(plan.chains) + plan.owner[j], return_index=True, return_inverse=True
    )
    first, second = np.divmod(pair, len(plan.chains))
    along = np.bincount(which, found.along[row], len(pair))
    length = plan.segments.length
    shorter = np.where(length[i[where]] < length[j[where]], i[where], j[where])
    copy = np.isin(np.arange(len(plan.chains)), list(found.copies))
    told = np.zeros(len(plan.chains), dtype=bool)
    single = copy[first] != copy[second]
    told[first[single]] = told[second[single]] = True
    again = copy[first] & copy[second] & told[first] & told[second] & (first != second)
    duplicate = (copy[first] | copy[second]) & (first != second)
    return [
        _Run(
            int(first[k]), int(second[k]), float(along[k]), int(shorter[k]), "duplicate" if duplicate[k] else "overlap"
        )
        for k in np.argsort(where).tolist()
        if not again[k]
    ]


def _doubled(plan: CutPlan, run: _Run) -> Finding:
    kind, other = (a_or_an(plan.chains[owner].kind) for owner in (run.first, run.second))
    x, y = plan.segments.middle[run.segment].tolist()
    size = show_length(run.along)
    if run.first == run.second:
        text = f"{kind} runs back over itself for {size}; delete the doubled part"
    elif run.code == "duplicate":
        text = f"{other} lies on {kind} for {size}: cut twice; delete one of them"
    else:
        text = f"{other} and {kind} run along each other for {size}; cut one back to where they meet"
    return cut_finding(run.code, "error", text, (x, y), source=NO_DOUBLES, measured=run.along, limit=0.0)
