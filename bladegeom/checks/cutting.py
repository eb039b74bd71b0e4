"""What is cut against what the process can cut: holes left out, corners and webs, choices that contradict it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.curves.curve import curvature, points
from bladegeom.curves.offset import offset
from bladegeom.cutfile.tab_places import doubtful_places, tab_places
from bladegeom.drilling.tool import drill_named, shelf_of
from bladegeom.holes.clearance import clearances, webs
from bladegeom.holes.cut_holes import PILOT_LEAVES, CutHole, cut_holes
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.errors import CurveError, ParameterError, PlacingError
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_place

_SAMPLES = 16
"""Places per piece where curvature is read; a cubic has few extremes of it."""


@rule(
    Code("pilot-too-wide", ("note",), "a pilot hole leaves too little for the drill"),
    Code("hole-too-small", ("warning",), "a hole is narrower than the process can cut"),
    Code("process-web", ("warning",), "the steel beside a hole is thinner than the process leaves sound"),
    Code("allowance-inside-corner", ("error",), "with its allowance an inside corner is too tight for the process"),
    Code("allowance-closes", ("error",), "the allowance closes the outline somewhere"),
    Code("tabs", ("error",), "there is no place for the tabs as they are declared"),
    Code("tab-place", ("warning",), "a tab stands where it is in the way"),
    Code("marks-cut-through", ("warning",), "marks are on the file of a process that only cuts through"),
    Code("start-holes", ("note",), "the process needs start holes, which are not drawn"),
)
def check_cutting(knife: Knife) -> Iterator[Finding]:
    """All findings about the cut file of a knife."""
    holes = cut_holes(knife)
    for hole in holes:
        yield from _left_out(knife, hole)
    yield from _webs(knife, holes)
    yield from _allowance(knife)
    yield from _tabs(knife)
    yield from _process(knife, holes)


def _finding(
    code: str,
    severity: Severity,
    message: str,
    *,
    at: tuple[float, float] | None = None,
    measured: float | None = None,
    limit: float | None = None,
    source: str = "",
) -> Finding:
    x, y = at if at else (None, None)
    return Finding(
        code=code,
        severity=severity,
        part="blade",
        message=message,
        measured=measured,
        limit=limit,
        source=source,
        x=x,
        y=y,
    )


def _left_out(knife: Knife, hole: CutHole) -> Iterator[Finding]:
    """A hole that the process cannot cut, and what was done."""
    opening, process = hole.opening, knife.shop.process
    where, at = f"hole {hole.name} at {show_place(opening.x, opening.y)}", (opening.x, opening.y)
    if not hole.wished:
        pilot = knife.cutting.pilot
        if pilot is not None and hole.way == "left" and opening.axis[0].tolist() == opening.axis[1].tolist():
            text = (
                f"{where}: a pilot hole of {show_length(pilot)} leaves less than {show_length(PILOT_LEAVES)} of its "
                f"{show_length(opening.diameter)} for the drill; left out of the cut file and on the drill card"
            )
            yield _finding("pilot-too-wide", "note", text, at=at, measured=pilot, source="own choice")
        return
    least = process.least_hole(knife.stock.thickness)
    source = process.hole_source(knife.stock.thickness)
    cannot = f"{show_length(hole.wished)} is less than {process.name} can cut, {show_length(least)}"
    done = f"left out of the cut file and put on the drill card: {drill_named(opening.diameter, shelf_of(knife))}"
    kind = "" if hole.wished == opening.diameter else "cut as it is asked for, "
    yield _finding(
        "hole-too-small",
        "warning",
        f"{where}: {kind}{cannot}; {done}",
        at=at,
        measured=hole.wished,
        limit=least,
        source=source,
    )


def _webs(knife: Knife, holes: tuple[CutHole, ...]) -> Iterator[Finding]:
    """Thin places that the hole rules allow but the process does not."""
    process, thickness = knife.shop.process, knife.stock.thickness
    least = process.least_web(thickness)
    cut = [i for i, hole in enumerate(holes) if hole.way != "left"]
    if not cut or least <= min(knife.rules.least_rim(thickness), knife.rules.least_web(thickness)):
        return
    between = webs(knife.openings)[np.ix_(cut, cut)]
    rims = clearances(knife)
    for row, i in enumerate(cut):
        web = min(rims[i].rim, float(between[row].min()))
        if 0 < web < least - SHOP:
            opening = holes[i].opening
            text = (
                f"hole {holes[i].name} at {show_place(opening.x, opening.y)}: {show_length(web)} of steel are left "
                f"beside it, less than the {show_length(least)} that {process.name} leaves sound; move it "
                f"{show_length(least - web)} away, or drill it (made='drilled')"
            )
            at, source = (opening.x, opening.y), process.web_source(thickness)
            yield _finding("process-web", "warning", text, at=at, measured=web, limit=least, source=source)


def _allowance(knife: Knife) -> Iterator[Finding]:
    """Inside corners that an allowance makes too small, and outlines that it closes."""
    allowance, process = knife.cutting.allowance, knife.shop.process
    if not allowance:
        return
    loop, least = knife.outline.loop, process.inside_radius
    # Just inside the pieces' ends, where each has a curvature of its own.
    u = np.clip(np.linspace(0.0, 1.0, _SAMPLES + 1), 1e-9, 1 - 1e-9)
    t = (np.arange(len(loop))[:, None] + u).ravel()
    bend = curvature(loop, t)
    i = int(bend.argmin())
    radius = -1.0 / float(bend[i]) if bend[i] < 0 else np.inf
    if radius - allowance < least - SHOP:
        x, y = (float(v) for v in points(loop, t[i])[0])
        left = radius - least
        way = f"allow no more than {show_length(left)}, or make it rounder" if left > SHOP else "make it rounder"
        text = (
            f"inside corner of {show_length(radius)} at {show_place(x, y)}: with an allowance of "
            f"{show_length(allowance)} it is cut at {show_length(max(radius - allowance, 0.0))}, less than "
            f"{process.name} leaves, {show_length(least)}; {way}"
        )
        at, source = (x, y), process.source("inside_radius")
        yield _finding("allowance-inside-corner", "error", text, at=at, measured=radius, limit=least, source=source)
    try:
        offset(loop, allowance)
    except CurveError as error:
        yield _finding("allowance-closes", "error", f"with its allowance of {show_length(allowance)} {error}")


def _tabs(knife: Knife) -> Iterator[Finding]:
    try:
        tab_places(knife)
        doubtful = doubtful_places(knife)
    except (PlacingError, ParameterError) as error:
        yield _finding("tabs", "error", str(error), source="own choice")
        return
    for (x, y), why in doubtful:
        text = f"tab at {show_place(x, y)}: it stands {why}; put it on a straight stretch of spine or tang"
        yield _finding("tab-place", "warning", text, at=(x, y), source="own choice")


def _process(knife: Knife, holes: tuple[CutHole, ...]) -> Iterator[Finding]:
    """What the shop must be told, or asked."""
    process, chosen = knife.shop.process, knife.cutting
    if chosen.marks and not process.can_mark:
        text = (
            f"marks are on layer MARK of the cut file, but {process.name} only cuts through: agree with the shop, or "
            "leave them out (marks=False) so that nobody cuts along them"
        )
        yield _finding("marks-cut-through", "warning", text, source=process.source("can_mark"))
    count = sum(hole.way != "left" for hole in holes)
    if process.start_hole and count:
        text = (
            f"{process.name} needs a start hole of {show_length(process.start_hole)} in each of the {count} openings "
            "that it cuts; it is not drawn, ask the shop who drills it"
        )
        yield _finding("start-holes", "note", text, limit=process.start_hole, source=process.source("start_hole"))
