"""Lines of a cut file that cross, touch, or are too short to be one."""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.segment_pairs import meetings
from bladegeom.curves.segments import Ints
from bladegeom.cutfile.cut_doubles import TINY
from bladegeom.cutfile.cut_loops import JOIN, Loops, one_place
from bladegeom.cutfile.cut_specks import unbridged
from bladegeom.cutfile.preflight_words import CLOSED_PATHS, NO_DOUBLES, cut_finding, each
from bladegeom.cutfile.seen import Seen
from bladegeom.importers.cut_plan import Chain, CutPlan
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

TINIEST = 0.01
"""And shorter than that may stop it, mm; common practice, no source."""

_ONE_PLACE = 0.1
"""Crossings no farther apart are told once, mm; own choice."""


_TAB = 0.05
"""A gap is a tab's if its width differs by no more, mm; own choice."""


@rule(Code("tiny", ("error", "warning"), "a line or an arc is hardly there"))
def short_lines(seen: Seen) -> Iterator[Finding]:
    """Lines and arcs that are hardly there; chords of splines do not count."""
    plan, copies = seen.plan, seen.doubles.copies
    segments = plan.segments
    drawn = np.array([c.kind not in ("spline", "ellipse") for c in plan.chains], dtype=bool)[plan.owner]
    drawn &= ~np.isin(plan.owner, list(copies))
    for least, most, severity in _TOO_SHORT:
        rows = np.flatnonzero(drawn & (segments.length >= least) & (segments.length < most))
        yield from each(rows.tolist(), functools.partial(_short_line, plan, severity, most))


_TOO_SHORT: Final[tuple[tuple[float, float, Severity], ...]] = (
    (0.0, TINIEST, "error"),
    (TINIEST, TINY, "warning"),
)


def _short_line(plan: CutPlan, severity: Severity, limit: float, k: int) -> Finding:
    segments = plan.segments
    size = float(segments.length[k])
    place = (float(segments.start[k, 0]), float(segments.start[k, 1]))
    what = "line" if segments.straight[k] else "arc"
    text = (
        f"two points of a {plan.chains[plan.owner[k]].kind} at one place; delete one"
        if size < 1e-6
        else f"{what} only {show_length(size)} long; draw its neighbours to meet without it"
    )
    return cut_finding("tiny", severity, text, place, source="common practice, no source", measured=size, limit=limit)


@rule(
    Code("three-way", ("error",), "a line begins, ends or bends on another"),
    Code("self-crossing", ("error",), "an outline crosses itself"),
    Code("crossing", ("error",), "two lines cross"),
)
def crossing_lines(seen: Seen) -> Iterator[Finding]:
    """Where lines cross, and where the end of one stands on another."""
    plan, known, loops = seen.plan, seen.doubles, seen.loops
    if known.pairs is None or loops is None:
        return
    i, j = known.pairs
    length = np.bincount(plan.owner, plan.segments.length, len(plan.chains))
    counts = length > JOIN
    counts[list(known.copies)] = False
    kept = (known.along == 0) & counts[plan.owner[i]] & counts[plan.owner[j]]
    pairs = i[kept], j[kept]
    met = meetings(plan.segments, pairs, SHOP)
    a, b = pairs[0][met.pair], pairs[1][met.pair]
    nodes, ends_a, ends_b = _nodes(plan, loops), _near_ends(plan, a, met.xy), _near_ends(plan, b, met.xy)
    joined = _round_a_bend(plan, a, b, met.xy)
    for end_a in (0, 1):
        for end_b in (0, 1):
            same = nodes[a, end_a] == nodes[b, end_b]
            joined |= same & ends_a[:, end_a] & ends_b[:, end_b]
    circles = np.array([chain.kind == "circle" for chain in plan.chains], dtype=bool)[plan.owner]
    corner = (ends_a.any(axis=1) & ~circles[a]) | (ends_b.any(axis=1) & ~circles[b])
    loop_of = _loop_of(plan, loops)
    told: list[tuple[str, Vector]] = []
    for k in np.flatnonzero(~joined):
        own = loop_of[plan.owner[a[k]]] == loop_of[plan.owner[b[k]]]
        code = "three-way" if corner[k] else "self-crossing" if own else "crossing"
        told.append((code, (float(met.xy[k, 0]), float(met.xy[k, 1]))))
    told += [("three-way", place) for place in loops.forks]
    for code, place in _once(told):
        yield cut_finding(code, "error", _CROSSED[code], place, source=NO_DOUBLES)


_CROSSED = {
    "three-way": "a line begins, ends or bends on another line: three ways to go on; trim it, or delete the rest",
    "self-crossing": "an outline crosses itself; untie the knot",
    "crossing": "two lines cross; move them apart, or join them into one outline",
}


@rule(
    Code("tangle", ("error",), "so many ends or loops lie together that they cannot be told apart"),
)
def tangles(seen: Seen) -> Iterator[Finding]:
    """Lines that end in such a heap, or loops that stand in each other so often, that nothing more is looked at."""
    if seen.doubles.pairs is not None and seen.loops is None:
        text = "so many ends of lines lie together that outlines cannot be told apart; draw it again"
        yield cut_finding("tangle", "error", text, None, source=NO_DOUBLES)
    if seen.loops is not None and seen.nest is None:
        text = "so many loops stand in each other that they cannot be sorted; draw it again"
        yield cut_finding("tangle", "error", text, None, source=NO_DOUBLES)


@rule(
    Code("tabs", ("note",), "the gaps for tabs are there as designed"),
    Code("gap", ("error", "warning"), "two ends of an outline do not meet"),
    Code("open", ("error",), "a line stays open"),
    Code("loose", ("warning",), "an outline consists of loose pieces"),
    Code("not-marked-closed", ("warning",), "a polyline ends where it begins and is not marked closed"),
)
def gaps(seen: Seen) -> Iterator[Finding]:
    """Ends that do not meet, and outlines that stay open; as many gaps as there are tabs are meant."""
    if seen.loops is None:
        return
    loops, plan, tabs = seen.loops, seen.plan, seen.tabs
    meant = [gap for gap in loops.gaps if abs(gap.size - tabs.width) <= _TAB] if tabs.count else []
    if len(meant) == tabs.count and meant:
        text = f"{len(meant)} gaps of {show_length(tabs.width)} for tabs, as designed; say so in the order"
        yield cut_finding("tabs", "note", text, None, source="the design", measured=float(len(meant)))
    else:
        meant = []
    for gap in unbridged(plan, loops.gaps):
        if gap in meant:
            continue
        wide = gap.size > SHOP
        text = (
            f"gap of {show_length(gap.size) if wide else f'{gap.size:.6f} mm'} in an outline; let both ends end "
            "at the same point"
        )
        severity: Severity = "error" if wide else "warning"
        yield cut_finding("gap", severity, text, gap.middle, source=CLOSED_PATHS, measured=gap.size, limit=0.0)
    yield from _open_loops(loops, plan, tabbed=bool(meant))


def _open_loops(loops: Loops, plan: CutPlan, *, tabbed: bool) -> Iterator[Finding]:
    """Outlines that stay open, or are not drawn as one closed line; those with tabs are meant to be so."""
    for loop in loops.loops:
        if not loop.closed:
            first, last = loop.segments.start[0], loop.segments.end[-1]
            apart = float(np.hypot(*(first - last)))
            place = (float(first[0]), float(first[1]))
            text = (
                f"open line, {show_length(float(loop.segments.length.sum()))} long; its other end is "
                f"{show_length(apart)} away; close the outline, or delete the line"
            )
            yield cut_finding("open", "error", text, place, source=CLOSED_PATHS, measured=apart, limit=0.0)
        elif loop.kind == "loose" and not tabbed:
            count = len(loop.chains)
            text = f"outline of {count} loose pieces, chained here for measuring; join them into one closed polyline"
            yield cut_finding(
                "loose", "warning", text, loop.place, source=CLOSED_PATHS, measured=float(count), limit=1.0
            )
        elif loop.kind == "polyline" and not tabbed and _unmarked(plan.chains[loop.chains[0]]):
            text = "polyline that ends where it begins but is not marked closed; set its closed mark"
            yield cut_finding("not-marked-closed", "warning", text, loop.place, source=CLOSED_PATHS)


def _near_ends(plan: CutPlan, index: Ints, xy: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether places lie at the start and at the end of segments, shape (k, 2)."""
    at_start = np.hypot(*(plan.segments.start[index] - xy).T) <= SHOP
    return np.stack([at_start, np.hypot(*(plan.segments.end[index] - xy).T) <= SHOP], axis=1)


def _round_a_bend(plan: CutPlan, a: Ints, b: Ints, xy: FloatArray) -> npt.NDArray[np.bool_]:
    """Whether two segments a < b of one chain share a place only because the way from one to the other is so short."""
    segments, owner = plan.segments, plan.owner
    way = np.concatenate([[0.0], np.cumsum(segments.length)])
    whole = np.bincount(owner, segments.length, len(plan.chains))[owner[a]]

    def to(place: FloatArray) -> FloatArray:
        return np.asarray(np.hypot(*(place - xy).T))

    ahead = way[b] - way[a + 1] + to(segments.end[a]) + to(segments.start[b])
    closed = np.array([chain.closed for chain in plan.chains], dtype=bool)[owner[a]]
    back = whole - (way[b + 1] - way[a]) + to(segments.start[a]) + to(segments.end[b])
    return np.asarray((owner[a] == owner[b]) & ((ahead <= TINY) | (closed & (back <= TINY))))


def _nodes(plan: CutPlan, loops: Loops) -> Ints:
    """A number for the place at the start and at the end of each segment, (n, 2): the same where they are joined."""
    count = len(plan.segments)
    nodes = np.arange(2 * count).reshape(-1, 2)
    low = 0
    for chain in plan.chains:
        n = len(chain.segments)
        nodes[low + 1 : low + n, 0] = nodes[low : low + n - 1, 1]
        if chain.closed:
            nodes[low, 0] = nodes[low + n - 1, 1]
        low += n
    first = np.concatenate([[0], np.cumsum([len(chain.segments) for chain in plan.chains])])
    tiny = np.flatnonzero(plan.segments.length <= 2 * SHOP)
    same = [(int(nodes[k, 0]), int(nodes[k, 1])) for k in tiny]
    same += [(int(nodes[first[c + e] - e, e]), int(nodes[first[d + f] - f, f])) for (c, e), (d, f) in loops.joints]
    return np.array(one_place(2 * count, same), dtype=np.int64)[nodes]


def _loop_of(plan: CutPlan, loops: Loops) -> Ints:
    """To which loop each chain belongs, shape (chains,); -1 for none."""
    out = np.full(len(plan.chains), -1)
    for number, loop in enumerate(loops.loops):
        out[list(loop.chains)] = number
    return out


def _once(told: list[tuple[str, Vector]]) -> Iterator[tuple[str, Vector]]:
    """Each place once, a crossing before a joint."""
    seen: Counter[tuple[int, int]] = Counter()
    for code, (x, y) in sorted(told):
        cell = (round(x / _ONE_PLACE), round(y / _ONE_PLACE))
        if not any(seen[cell[0] + dx, cell[1] + dy] for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            yield code, (x, y)
        seen[cell] += 1


def _unmarked(chain: Chain) -> bool:
    """Whether a polyline that ends where it begins lacks its mark; a spline or an ellipse has none."""
    return chain.kind == "polyline" and not chain.closed
