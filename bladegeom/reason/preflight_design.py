"""A cut file against the design that it should be of: how far off, and which holes are missing or too many."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.body.rules import Process
from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.quantities.tolerances import ARC_FIT
from bladegeom.quantities.units import show_length
from bladegeom.reason.cut_loops import Loop
from bladegeom.reason.cut_nest import Nest
from bladegeom.reason.finding import Finding, Severity
from bladegeom.reason.preflight_words import found
from bladegeom.reason.size_seen import causes

_STEP, _FINE = 0.25, 5e-4
"""Lines are compared at places no farther apart, on chords this close to the curve, mm: the comparison's own error."""

_PLACED = 0.05
"""A file whose lower left corner is no farther from the design's is compared as it stands, mm; own choice."""

_SAME_SHAPE = 0.5
"""Only where it is farther off than this is it tried mirrored and turned, mm; own choice."""

_SAME_HOLE = 2.0
"""A hole of the file no farther from one of the design is meant to be that one, mm; own choice."""

_SCALED = 0.005
"""Sizes off by more than this share, both alike, are a matter of scale; own choice."""

_TURNS = {
    "mirrored left to right": ((-1, 0), (0, 1)),
    "mirrored top to bottom": ((1, 0), (0, -1)),
    "turned by 180 degrees": ((-1, 0), (0, -1)),
    "turned by 90 degrees": ((0, -1), (1, 0)),
    "turned by 90 degrees the other way": ((0, 1), (-1, 0)),
    "mirrored and turned by 90 degrees": ((0, 1), (1, 0)),
    "mirrored and turned by 90 degrees the other way": ((0, -1), (-1, 0)),
}


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """How far a file's lines are from the design's.

    Args:
        to_design: Greatest distance of the file's lines from the design, mm.
        to_file: Greatest distance of the design's lines from the file, mm.
        x: Where the greater of the two is, in the file, mm.
        y: The same upwards.
        moved: By how much the file's lower left corner lies off the design's, mm; 0 where it was compared as it stands.
        turned: How the file lies to the design, empty where it lies as designed.
        factor: Size in the file over size in the design, 1 where it is no matter of scale; else distances are those
            after scaling back.
        missing: Centres of holes that the file lacks, in the file's frame, mm.
        extra: Centres of holes that the design lacks.
    """

    to_design: float
    to_file: float
    x: float
    y: float
    moved: float
    turned: str
    factor: float
    missing: tuple[Vector, ...]
    extra: tuple[Vector, ...]

    @property
    def greatest(self) -> float:
        """The greater of both ways, mm."""
        return max(self.to_design, self.to_file)


@dataclass(frozen=True, eq=False)
class _Lay:
    """From the file's frame to the design's: first moved, then turned and scaled, then moved again."""

    away: FloatArray
    matrix: FloatArray
    back: FloatArray

    def laid(self, ring: shapely.LinearRing) -> shapely.LinearRing:
        """A ring of the file in the design's frame."""
        return shapely.LinearRing((shapely.get_coordinates(ring) - self.away) @ self.matrix.T + self.back)

    def in_file(self, xy: FloatArray) -> Vector:
        """A place of the design in the file's frame."""
        x, y = np.linalg.solve(self.matrix, xy - self.back) + self.away
        return float(x), float(y)


def compare(nest: Nest, curves: Sequence[Curve]) -> Deviation | None:
    """Lay a file's outline and holes over the design's; None where the file has no outline.

    Args:
        nest: Loops of the file.
        curves: Closed lines that should be in it, the outline first, in the file's frame.
    """
    if nest.outline is None:
        return None
    design = [shapely.segmentize(shapely.LinearRing(flatten(c, _FINE)), _STEP) for c in curves]
    rings = [_ring(loop) for loop in (nest.outline, *nest.holes)]
    factor = _scale(rings[0], design[0])
    turned, lay = _best_lay(rings[0], design[0], factor)
    laid = [lay.laid(ring) for ring in rings]
    pairs, missing, extra = _matched(design[1:], laid[1:])
    worst = [_apart(laid[0], design[0]), *(_apart(laid[1 + b], design[1 + a]) for a, b in pairs)]
    x, y = lay.in_file(max(worst, key=lambda one: max(one[:2]))[2])
    return Deviation(
        to_design=max(one[0] for one in worst),
        to_file=max(one[1] for one in worst),
        x=x,
        y=y,
        moved=float(np.hypot(*(lay.away - lay.back))) if not turned and factor == 1 else 0.0,
        turned=turned,
        factor=factor,
        missing=tuple(lay.in_file(shapely.get_coordinates(design[1 + i].centroid)[0]) for i in missing),
        extra=tuple(lay.in_file(shapely.get_coordinates(laid[1 + i].centroid)[0]) for i in extra),
    )


def _best_lay(ring: shapely.LinearRing, design: shapely.LinearRing, factor: float) -> tuple[str, _Lay]:
    """How the file lies to the design: as it stands, corner on corner, or mirrored or turned if that is nearer."""
    low, corner = (shapely.get_coordinates(one).min(axis=0) for one in (ring, design))
    zero = np.zeros(2)
    as_it_is = _Lay(zero, np.eye(2), zero)
    placed = factor == 1 and np.hypot(*(low - corner)) <= _PLACED
    moved = as_it_is if placed else _Lay(low, np.eye(2) / factor, corner)
    best, least = ("", moved), max(_apart(moved.laid(ring), design)[:2])
    if least <= _SAME_SHAPE:
        return best
    for name, rows in _TURNS.items():
        matrix = np.array(rows, dtype=np.float64) / factor
        turned = _Lay(zero, matrix, zero)
        back = corner - shapely.get_coordinates(turned.laid(ring)).min(axis=0)
        one = _Lay(zero, matrix, back)
        off = max(_apart(one.laid(ring), design)[:2])
        if off < 0.5 * least:
            best, least = (name, one), off
    return best


def deviation_findings(off: Deviation, process: Process) -> Iterator[Finding]:
    """What differs from the design by more than the process would hide."""
    if off.factor != 1:
        why = " or ".join(cause.why for cause in causes(off.factor)) or "the cause is unknown"
        text = f"the part is {off.factor:.4g} times the design's size: {why}; write the file again at 1:1"
        yield found("scale", "error", text, None, source=_DESIGN, measured=off.factor, limit=1.0)
    if off.turned:
        severity: Severity = "error" if "mirrored" in off.turned else "note"
        text = f"the part lies {off.turned} to the design"
        yield found("mirrored" if severity == "error" else "turned", severity, text, None, source=_DESIGN)
    elif off.moved:
        text = f"the part lies {show_length(off.moved)} off the design's place; compared corner on corner"
        yield found("moved", "note", text, None, source=_DESIGN, measured=off.moved, limit=_PLACED)
    if off.greatest > ARC_FIT:
        wide = off.greatest > process.tolerance
        limit = process.tolerance if wide else ARC_FIT
        text = f"the lines are up to {show_length(off.greatest)} off the design; write the file again from the design"
        source = process.source("tolerance") if wide else _DESIGN
        severity = "error" if wide else "warning"
        place = (off.x, off.y)
        yield found("deviation", severity, text, place, source=source, measured=off.greatest, limit=limit)
    for place in off.missing:
        yield found("hole-missing", "error", "a hole of the design is not in the file", place, source=_DESIGN)
    for place in off.extra:
        yield found("hole-extra", "error", "a hole in the file is not in the design", place, source=_DESIGN)


_DESIGN = "the design's own cut lines; 0.01 mm is what an export promises"


def _ring(loop: Loop) -> shapely.LinearRing:
    return shapely.LinearRing(loop.segments.flattened(_FINE, longest=_STEP)[0])


def _scale(ring: shapely.LinearRing, design: shapely.LinearRing) -> float:
    """The factor by which a part is larger, 1 where it is as it should be or another shape.

    The sides are compared by length, so that a turned part is told from a scaled one.
    """
    size, wanted = (np.sort(np.ptp(shapely.get_coordinates(one), axis=0)) for one in (ring, design))
    factors = size / wanted
    uneven = abs(factors[0] / factors[1] - 1) > _SCALED
    return 1.0 if uneven or abs(factors[1] - 1) <= _SCALED else float(factors[1])


def _apart(a: shapely.LinearRing, b: shapely.LinearRing) -> tuple[float, float, FloatArray]:
    """Greatest distance of a's points from b and of b's from a, and where the greater one is."""
    there, back = shapely.get_coordinates(a), shapely.get_coordinates(b)
    shapely.prepare([a, b])
    off_a, off_b = shapely.distance(shapely.points(there), b), shapely.distance(shapely.points(back), a)
    place = there[off_a.argmax()] if off_a.max() >= off_b.max() else back[off_b.argmax()]
    return float(off_a.max()), float(off_b.max()), place


def _matched(
    design: Sequence[shapely.LinearRing], file: Sequence[shapely.LinearRing]
) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Holes that are the same, nearest first; those of the design alone, those of the file alone."""
    near = []
    for i, one in enumerate(design):
        for j, other in enumerate(file):
            apart = float(shapely.distance(one.centroid, other.centroid))
            if apart <= _SAME_HOLE:
                near.append((apart, i, j))
    pairs: list[tuple[int, int]] = []
    for _, i, j in sorted(near):
        if all(i != a and j != b for a, b in pairs):
            pairs.append((i, j))
    used = [set(side) for side in zip(*pairs, strict=True)] or [set(), set()]
    return pairs, [i for i in range(len(design)) if i not in used[0]], [j for j in range(len(file)) if j not in used[1]]
