"""Narrow places and inside corners of a cut file against what the cutting process leaves."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.cutfile.cut_chords import chord_joints
from bladegeom.cutfile.cut_measures import Narrow
from bladegeom.cutfile.cut_narrows import loops_of
from bladegeom.cutfile.preflight_words import LINES_ARCS, cut_finding, each, lengths
from bladegeom.cutfile.seen import Seen
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

_SURE = 0.5
"""Below this share of a limit a narrow place is an error, above it a warning: shops differ; own choice."""

_SHARP_SOURCE = "no jet or beam cuts an inside corner sharper than half its kerf"


@rule(
    Code("hole-too-small", ("error",), "a hole is smaller than the process cuts"),
    Code("web", ("error", "warning"), "the steel beside a hole is thinner than the process leaves sound"),
    Code("neck", ("error", "warning"), "an outline narrows to less than the process leaves sound"),
    Code("narrow-gap", ("error",), "a gap in an outline is narrower than the cut"),
)
def narrow_places(seen: Seen) -> Iterator[Finding]:
    """What is smaller than the process can cut or leave."""
    narrows, process, thickness = seen.narrows, seen.process, seen.thickness
    if narrows is None:
        return
    least, source = process.least_hole(thickness), process.hole_source(thickness)
    for hole in narrows.holes:
        if hole.size < least - SHOP:
            text = f"a hole {lengths(hole.size, least)}, the least that {process.name} cuts; leave it out and drill it"
            yield cut_finding(
                "hole-too-small", "error", text, hole.place, source=source, measured=hole.size, limit=least
            )
    least, source = process.least_web(thickness), process.web_source(thickness)
    for web in (*narrows.webs, *narrows.necks):
        if 0 <= web.size < least - SHOP:
            text = f"{_STEEL[web.what]} {lengths(web.size, least)}; leave {show_length(least - web.size)} more"
            severity: Severity = "error" if web.size < _SURE * least else "warning"
            yield cut_finding(_CODE[web.what], severity, text, web.place, source=source, measured=web.size, limit=least)
    for gap in narrows.gaps:
        if gap.size < process.kerf - SHOP:
            text = (
                f"a gap in an outline {lengths(gap.size, process.kerf)}, the width of the cut; widen it, or draw a "
                "single line where the cut runs"
            )
            source = process.source("kerf")
            yield cut_finding(
                "narrow-gap", "error", text, gap.place, source=source, measured=gap.size, limit=process.kerf
            )


_STEEL = {
    "web": "the steel between two holes",
    "rim": "the steel between a hole and the outline",
    "neck": "a neck in an outline",
}
_CODE = {"web": "web", "rim": "web", "neck": "neck"}


@rule(
    Code("inside-corner", ("warning",), "an inside corner is sharp"),
    Code("inside-radius", ("warning",), "an inside radius is smaller than the process leaves"),
)
def corner_findings(seen: Seen) -> Iterator[Finding]:
    """Inside corners that come out rounder than drawn."""
    narrows, process = seen.narrows, seen.process
    if narrows is None:
        return
    least, source = process.inside_radius, process.source("inside_radius")

    def sharp(narrow_place: Narrow) -> Finding:
        text = (
            f"sharp inside corner of {narrow_place.turn_deg:.0f} degrees; {process.name} leaves a radius of about "
            f"{show_length(least)}: draw at least that"
        )
        return cut_finding(
            "inside-corner", "warning", text, narrow_place.place, source=_SHARP_SOURCE, measured=0.0, limit=least
        )

    def small(narrow_place: Narrow) -> Finding:
        text = f"an inside radius {lengths(narrow_place.size, least)}, which {process.name} leaves; draw at least that"
        return cut_finding(
            "inside-radius", "warning", text, narrow_place.place, source=source, measured=narrow_place.size, limit=least
        )

    yield from each([corner for corner in narrows.corners if corner.what == "corner"], sharp)
    yield from each(
        [corner for corner in narrows.corners if corner.what == "radius" and corner.size < least - SHOP], small
    )


@rule(Code("chords", ("warning",), "a curve is drawn as many short straight pieces"))
def chord_findings(seen: Seen) -> Iterator[Finding]:
    """Curves that are drawn as many straight pieces; splines and ellipses are told as such, their chords are ours."""
    if seen.nest is None or seen.narrows is None:
        return
    for loop, _ in loops_of(seen.nest):
        if any(seen.plan.chains[i].kind in ("spline", "ellipse") for i in loop.chains):
            continue
        if loop.circle is None and (count := int(chord_joints(loop.segments).sum())):
            text = f"a curve drawn as {count} short straight pieces: rough to the hand, dear to cut; write true arcs"
            yield cut_finding("chords", "warning", text, loop.place, source=LINES_ARCS, measured=float(count))
