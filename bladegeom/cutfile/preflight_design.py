"""A cut file against the design that it should be of: how far off, and which holes are missing or too many."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.curves.polyline import Polyline
from bladegeom.cutfile.cut_loops import Loop
from bladegeom.cutfile.cut_nest import NestedLoops
from bladegeom.cutfile.cut_pose import find_pose, scale_of
from bladegeom.cutfile.preflight_words import cut_finding
from bladegeom.cutfile.size_seen import causes
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.rules import Process
from bladegeom.quantities.tolerances import ARC_FIT
from bladegeom.quantities.units import show_length

_STEP, _FINE = 0.25, 5e-4
"""Lines are compared at places no farther apart, on chords this close to the curve, mm: the comparison's own error."""

_PLACED = 0.05
"""A file whose lower left corner is no farther from the design's lies where it should, mm; own choice."""

_SAME_HOLE = 2.0
"""A hole of the file no farther from one of the design is meant to be that one, mm; own choice."""

_MOST_PLACES = 20_000
"""A line is compared at no more places than about so many."""


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """How far a file's lines are from the design's.

    Args:
        to_design: Greatest distance of the file's lines from the design, mm.
        to_file: Greatest distance of the design's lines from the file, mm.
        x: Where the greater of the two is, in the file, mm.
        y: The same upwards.
        moved: By how much the file's lower left corner lies off the design's, mm; 0 where it lies there or is turned.
        turned: How the file lies to the design, in words, empty where it is neither turned nor mirrored.
        mirrored: Whether it is mirrored.
        factor: Size in the file over size in the design, 1 where it is no matter of scale; else distances are those
            after scaling back.
        missing: Centres of holes that the file lacks, in the file's frame, mm.
        extra: Centres of holes that the design lacks.

    >>> from bladegeom import cut_files
    >>> off = cut_files(design)["steel"].check.off
    >>> off.missing, off.extra, off.factor
    ((), (), 1.0)
    """

    to_design: float
    to_file: float
    x: float
    y: float
    moved: float
    turned: str
    mirrored: bool
    factor: float
    missing: tuple[Vector, ...]
    extra: tuple[Vector, ...]

    @property
    def greatest(self) -> float:
        """The greater of both ways, mm."""
        return max(self.to_design, self.to_file)


def compare(nest: NestedLoops, curves: Sequence[Curve]) -> Deviation | None:
    """Lay a file's outline and holes over the design's; None where the file has no outline.

    The pose is found first, from the outline alone; what differs is measured after that.

    Args:
        nest: Loops of the file.
        curves: Closed lines that should be in it, the outline first, in the file's frame.
    """
    if nest.outline is None:
        return None
    design = [shapely.segmentize(shapely.LinearRing(flatten(c, _FINE)), _STEP) for c in curves]
    wanted, outline = shapely.get_coordinates(design[0])[:-1], _points(nest.outline)
    factor = scale_of(outline, wanted)
    pose = find_pose(outline, wanted, factor)
    laid = [shapely.LinearRing(pose.in_design(_points(loop))) for loop in (nest.outline, *nest.holes)]
    pairs, missing, extra = _matched(design[1:], laid[1:])
    worst = [_apart(laid[0], design[0]), *(_apart(laid[1 + b], design[1 + a]) for a, b in pairs)]
    x, y = pose.in_file(max(worst, key=lambda curve: max(curve[:2]))[2])
    moved = float(np.hypot(*(outline.min(axis=0) - wanted.min(axis=0))))
    return Deviation(
        to_design=max(curve[0] for curve in worst),
        to_file=max(curve[1] for curve in worst),
        x=x,
        y=y,
        moved=0.0 if pose.words or factor != 1 or moved <= _PLACED else moved,
        turned=pose.words,
        mirrored=pose.mirrored,
        factor=factor,
        missing=tuple(pose.in_file(shapely.get_coordinates(design[1 + i].centroid)[0]) for i in missing),
        extra=tuple(pose.in_file(shapely.get_coordinates(laid[1 + i].centroid)[0]) for i in extra),
    )


def deviation_findings(off: Deviation, process: Process) -> Iterator[Finding]:
    """What differs from the design by more than the process would hide."""
    if off.factor != 1:
        why = " or ".join(cause.why for cause in causes(off.factor)) or "the cause is unknown"
        text = f"the part is {off.factor:.4g} times the design's size: {why}; write the file again at 1:1"
        yield cut_finding("scale", "error", text, None, source=_DESIGN, measured=off.factor, limit=1.0)
    if off.mirrored:
        text = (
            f"the part lies {off.turned} to the design and was laid over it so; cut from plain stock it is the same "
            "blank turned over: tell the shop which face lies on top, or write the file again"
        )
        yield cut_finding("mirrored", "warning", text, None, source=_DESIGN)
    elif off.turned:
        text = f"the part lies {off.turned} to the design and was laid over it so"
        yield cut_finding("turned", "note", text, None, source=_DESIGN)
    elif off.moved:
        text = f"the part lies {show_length(off.moved)} off the design's place and was laid over it there"
        yield cut_finding("moved", "note", text, None, source=_DESIGN, measured=off.moved, limit=_PLACED)
    if off.greatest > ARC_FIT:
        wide = off.greatest > process.tolerance
        limit = process.tolerance if wide else ARC_FIT
        text = f"the lines are up to {show_length(off.greatest)} off the design; write the file again from the design"
        source = process.source("tolerance") if wide else _DESIGN
        severity: Severity = "error" if wide else "warning"
        place = (off.x, off.y)
        yield cut_finding("deviation", severity, text, place, source=source, measured=off.greatest, limit=limit)
    for place in off.missing:
        yield cut_finding("hole-missing", "error", "a hole of the design is not in the file", place, source=_DESIGN)
    for place in off.extra:
        yield cut_finding("hole-extra", "error", "a hole in the file is not in the design", place, source=_DESIGN)


_DESIGN = "the design's own cut lines; 0.01 mm is what an export promises"


def _points(loop: Loop) -> FloatArray:
    longest = max(_STEP, float(loop.segments.length.sum()) / _MOST_PLACES)
    return loop.segments.flattened(_FINE, longest=longest)[0]


def _apart(a: shapely.LinearRing, b: shapely.LinearRing) -> tuple[float, float, FloatArray]:
    """Greatest distance of a's points from b and of b's from a, and where the greater one is."""
    there, back = shapely.get_coordinates(a), shapely.get_coordinates(b)
    off_a, off_b = Polyline(back).distances(*there.T), Polyline(there).distances(*back.T)
    place = there[off_a.argmax()] if off_a.max() >= off_b.max() else back[off_b.argmax()]
    return float(off_a.max()), float(off_b.max()), place


def _matched(
    design: Sequence[shapely.LinearRing], file: Sequence[shapely.LinearRing]
) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Holes that are the same, nearest first; those of the design alone, those of the file alone."""
    near = []
    for i, ring in enumerate(design):
        for j, other in enumerate(file):
            apart = float(shapely.distance(ring.centroid, other.centroid))
            if apart <= _SAME_HOLE:
                near.append((apart, i, j))
    pairs: list[tuple[int, int]] = []
    for _, i, j in sorted(near):
        if all(i != a and j != b for a, b in pairs):
            pairs.append((i, j))
    used = [set(side) for side in zip(*pairs, strict=True)] or [set(), set()]
    return pairs, [i for i in range(len(design)) if i not in used[0]], [j for j in range(len(file)) if j not in used[1]]
