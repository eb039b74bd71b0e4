"""Narrow places and inside corners of a cut file against what the cutting process leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bladegeom.cutfile.cut_chords import chord_joints
from bladegeom.cutfile.cut_loops import Loop
from bladegeom.cutfile.cut_measures import Narrow, holes, inside_corners, necks, webs
from bladegeom.cutfile.cut_nest import Nest
from bladegeom.cutfile.preflight_words import LINES_ARCS, each, found, lengths
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rules import Process
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

_SHARP_DEG = 15.0
"""Inside corners that turn by less are not told; own choice."""

_SURE = 0.5
"""Below this share of a limit a narrow place is an error, above it a warning: shops differ; own choice."""

_SHARP_SOURCE = "no jet or beam cuts an inside corner sharper than half its kerf"


@dataclass(frozen=True, kw_only=True)
class Narrows:
    """All that was measured of narrow places.

    Args:
        holes: Largest circle in each hole.
        webs: Between each hole and the outline, and between neighbouring holes.
        necks: Of steel within one loop.
        gaps: Narrow places to cut within one loop.
        corners: Inside radii and sharp inside corners.
        unsought: Whether webs or necks were left out, because there are too many holes or pieces.
        crossed: Number of loops that were left out, because they cross themselves or stay open.
    """

    holes: tuple[Narrow, ...]
    webs: tuple[Narrow, ...]
    necks: tuple[Narrow, ...]
    gaps: tuple[Narrow, ...]
    corners: tuple[Narrow, ...]
    unsought: bool
    crossed: int


def find_narrows(nest: Nest) -> Narrows:
    """Measure holes, webs, necks, gaps and inside corners of a part; loops that cross themselves are left out."""
    loops = [(loop, hole) for loop, hole in _loops(nest) if loop.polygon.is_valid and loop.closed]
    narrow: list[Narrow] = []
    unsought = False
    for loop, hole in loops:
        if loop.circle is None:
            told = necks(loop, hole=hole)
            unsought |= told is None
            narrow += told or ()
    corners = [one for loop, hole in loops if loop.circle is None for one in _corners(loop, hole=hole)]
    between = webs(nest)
    return Narrows(
        holes=holes(nest.holes),
        webs=between or (),
        necks=tuple(one for one in narrow if one.what == "neck"),
        gaps=tuple(one for one in narrow if one.what == "gap"),
        corners=tuple(corners),
        unsought=unsought or between is None,
        crossed=1 + len(nest.holes) - len(loops),
    )


def _corners(loop: Loop, *, hole: bool) -> Iterator[Narrow]:
    """Inside corners and radii, but for the joints of curves that are drawn as chords: those are told once."""
    skipped = chord_joints(loop.segments)
    return inside_corners(loop.segments, hole=hole, sharp_deg=_SHARP_DEG, skipped=skipped)


def _loops(nest: Nest) -> Iterator[tuple[Loop, bool]]:
    if nest.outline is not None:
        yield nest.outline, False
    yield from ((loop, True) for loop in nest.holes)


def narrow_places(narrows: Narrows, process: Process, thickness: float) -> Iterator[Finding]:
    """What is smaller than the process can cut or leave."""
    least, source = process.least_hole(thickness), process.hole_source(thickness)
    for one in narrows.holes:
        if one.size < least - SHOP:
            text = f"hole {lengths(one.size, least)}, the least that {process.name} cuts; leave it out and drill it"
            yield found("hole-too-small", "error", text, one.place, source=source, measured=one.size, limit=least)
    least, source = process.least_web(thickness), process.web_source(thickness)
    for one in (*narrows.webs, *narrows.necks):
        if 0 <= one.size < least - SHOP:
            text = f"{_STEEL[one.what]} {lengths(one.size, least)}; leave {show_length(least - one.size)} more"
            severity: Severity = "error" if one.size < _SURE * least else "warning"
            yield found(_CODE[one.what], severity, text, one.place, source=source, measured=one.size, limit=least)
    for one in narrows.gaps:
        if one.size < process.kerf - SHOP:
            text = (
                f"gap in an outline {lengths(one.size, process.kerf)}, the width of the cut; widen it, or draw a "
                "single line where the cut runs"
            )
            source = process.source("kerf")
            yield found("narrow-gap", "error", text, one.place, source=source, measured=one.size, limit=process.kerf)


_STEEL = {
    "web": "steel between two holes",
    "rim": "steel between a hole and the outline",
    "neck": "neck in an outline",
}
_CODE = {"web": "web", "rim": "web", "neck": "neck"}


def corner_findings(narrows: Narrows, process: Process) -> Iterator[Finding]:
    """Inside corners that come out rounder than drawn."""
    least, source = process.inside_radius, process.source("inside_radius")

    def sharp(one: Narrow) -> Finding:
        text = (
            f"sharp inside corner of {one.turn_deg:.0f} degrees; {process.name} leaves a radius of about "
            f"{show_length(least)}: draw at least that"
        )
        return found("inside-corner", "warning", text, one.place, source=_SHARP_SOURCE, measured=0.0, limit=least)

    def small(one: Narrow) -> Finding:
        text = f"inside radius {lengths(one.size, least)}, which {process.name} leaves; draw at least that"
        return found("inside-radius", "warning", text, one.place, source=source, measured=one.size, limit=least)

    yield from each([one for one in narrows.corners if one.what == "corner"], sharp)
    yield from each([one for one in narrows.corners if one.what == "radius" and one.size < least - SHOP], small)


def chord_findings(nest: Nest, plan: CutPlan) -> Iterator[Finding]:
    """Curves that are drawn as many straight pieces; splines and ellipses are told as such, their chords are ours."""
    for loop, _ in _loops(nest):
        if any(plan.chains[i].kind in ("spline", "ellipse") for i in loop.chains):
            continue
        if loop.circle is None and (count := int(chord_joints(loop.segments).sum())):
            text = f"a curve drawn as {count} short straight pieces: rough to the hand, dear to cut; write true arcs"
            yield found("chords", "warning", text, loop.place, source=LINES_ARCS, measured=float(count))
