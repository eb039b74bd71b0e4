"""Loose lines of a drawing: chained into loops, and which loop is the outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
import shapely
from shapely import Polygon

from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.curves.extent import extent
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.quantities.errors import OutlineError, UnreadableFileError
from bladegeom.quantities.tolerances import CHORD, JOINED
from bladegeom.quantities.units import show_length
from bladegeom.shape.landmarks import Landmarks, mapped_point
from bladegeom.shape.outline import Outline
from bladegeom.shape.traced import place_loop

GAP = 0.05
"""Ends so near to each other are joined, mm. Source: what a cutting service's importer closes, 0.002 in."""

_RIVAL = 0.3
"""A loop beside the outline is a second outline if it is at least so large a part of it; own choice."""

_MOST_PIECES, _MOST_OPEN = 20_000, 5_000
"""Pieces of all lines together, and lines with two ends, which must be tried against each other; own choice: a knife's
outline in chords of 0.1 mm has 5000."""

_FARTHEST = 1e7
"""Greatest coordinate, mm: 10 km; own choice, as for DXF."""

_TWICE = 0.98
"""A loop within the outline that is nearly as large is the same line drawn twice; own choice."""


@dataclass
class Lines:
    """What a reader found, in mm, y up.

    Args:
        name: Of the file, for messages.
        loops: Closed lines.
        open: Lines with two ends.
        circles: Centre and radius of each circle.
        to_mm: Map (2, 3) from the file's own coordinates to mm.
    """

    name: str
    to_mm: FloatArray
    loops: list[Curve] = field(default_factory=list)
    open: list[Curve] = field(default_factory=list)
    circles: list[tuple[float, float, float]] = field(default_factory=list)
    _pieces: int = 0

    def add(self, pieces: FloatArray, *, closed: bool) -> None:
        """One line more, its crumbs left out.

        Args:
            pieces: Cubics, shape (k, 4, 2), mm.
            closed: The file says that it closes.

        Raises:
            UnreadableFileError: More of them than a knife can need, or one that lies beyond all reason.
        """
        if not (np.abs(pieces) < _FARTHEST).all():
            raise UnreadableFileError(self.name, "has a line farther off than 10 km; check the unit and the transforms")
        pieces = pieces[np.abs(pieces - pieces[:, :1]).max(axis=(1, 2), initial=0.0) > JOINED]
        if not len(pieces):
            return
        curve = Curve(pieces)
        meets = math.dist(curve.start, curve.end) <= GAP and len(curve) > 1
        (self.loops if closed or meets else self.open).append(curve)
        self._pieces += len(pieces)
        if self._pieces > _MOST_PIECES or len(self.open) > _MOST_OPEN:
            raise UnreadableFileError(
                self.name,
                f"has more than {_MOST_PIECES} pieces of line, or {_MOST_OPEN} lines that do not close; save the "
                "outline alone, with fewer points",
            )


@dataclass(frozen=True, kw_only=True)
class RoundOpening:
    """A circle of the drawing, in the design's frame, mm."""

    x: float
    y: float
    diameter: float


@dataclass(frozen=True, kw_only=True)
class DrawnKnife:
    """What was found in a drawing, in the design's frame.

    Args:
        outline: The steel.
        circles: Every circle within it: fastener holes, most likely. None of them becomes a hole by itself.
        others: Other closed lines within it, such as slots.
        mm_per_unit: How many mm one unit of the file is.
    """

    outline: Outline
    circles: tuple[RoundOpening, ...]
    others: tuple[Curve, ...]
    mm_per_unit: float


def drawn_knife(lines: Lines, marks: Landmarks, fair_within: float | None) -> DrawnKnife:
    """The outline among the lines of a file, and what else lies within it.

    Args:
        lines: From the file.
        marks: In the file's own coordinates.
        fair_within: As in :func:`place_loop`.

    Raises:
        UnreadableFileError: No closed line, two that may be meant, or one that crosses itself; the message says where.
    """
    name = lines.name
    found, loose = _chained(lines.open)
    loops = [*lines.loops, *found]
    if not loops:
        raise UnreadableFileError(name, f"has no closed line{_open_ends(loose, lines)}")
    polygons = [Polygon(flatten_pieces(loop.pieces, CHORD)[0]) for loop in loops]
    i = max(range(len(loops)), key=lambda k: abs(polygons[k].convex_hull.area))
    _require_whole(polygons[i], loose, lines)
    others = [k for k in range(len(loops)) if k != i]
    _require_alone(polygons, i, others, lines)
    marks = marks.mapped(lines.to_mm)
    try:
        outline, frame = place_loop(loops[i], marks, fair_within=fair_within)
    except OutlineError as error:
        raise UnreadableFileError(name, str(error)) from error
    steel = polygons[i]
    shapely.prepare(steel)
    inside = [c for c in lines.circles if steel.contains(shapely.Point(c[:2]))]
    return DrawnKnife(
        outline=outline,
        circles=tuple(_round(frame, c) for c in inside),
        others=tuple(loops[k].transformed(frame) for k in others if steel.contains(polygons[k].representative_point())),
        mm_per_unit=math.sqrt(abs(np.linalg.det(lines.to_mm[:, :2]))),
    )


def _round(frame: FloatArray, circle: tuple[float, float, float]) -> RoundOpening:
    x, y = mapped_point(frame, circle[:2])
    return RoundOpening(x=x, y=y, diameter=2 * circle[2])


def _chained(lines: Sequence[Curve]) -> tuple[list[Curve], list[Curve]]:
    """Closed loops out of lines whose ends meet, and the chains that stay open or branch."""
    loops: list[Curve] = []
    loose: list[Curve] = []
    rest = list(lines)
    ends = np.array([[c.start, c.end] for c in rest]).reshape(-1, 2, 2)
    used = np.zeros(len(rest), dtype=bool)
    for first in range(len(rest)):
        if used[first]:
            continue
        used[first] = True
        chain = _grown([rest[first]], rest, ends, used)
        if math.dist(chain[0].start, chain[-1].end) > GAP:
            chain = _grown([c.reversed() for c in reversed(chain)], rest, ends, used)
        curve = _sewn(chain)
        (loops if math.dist(curve.start, curve.end) <= GAP and len(curve) > 1 else loose).append(curve)
    return loops, loose


def _grown(chain: list[Curve], rest: list[Curve], ends: FloatArray, used: npt.NDArray[np.bool_]) -> list[Curve]:
    """With every line added that goes on at its end, until it closes, ends or comes to a fork."""
    while math.dist(chain[0].start, chain[-1].end) > GAP:
        far = np.hypot(*np.moveaxis(ends - np.array(chain[-1].end), 2, 0))
        far[used] = np.inf
        there = np.argwhere(far <= GAP)
        if len(there) != 1:
            break
        i, end = there[0].tolist()
        used[i] = True
        chain.append(rest[i] if end == 0 else rest[i].reversed())
    return chain


def _sewn(chain: Sequence[Curve]) -> Curve:
    """One chain; ends that nearly meet are made to."""
    pieces = np.concatenate([c.pieces for c in chain])
    pieces[1:, 0] = pieces[:-1, 3]
    return Curve(pieces)


def _require_whole(outline: Polygon, loose: Sequence[Curve], lines: Lines) -> None:
    """Refuse an outline that crosses itself, and an open line larger than it, which must be meant."""
    if not outline.is_valid:
        reason = shapely.is_valid_reason(outline)
        x, y = (float(v) for v in reason.partition("[")[2].rstrip("]").split()[:2])
        raise UnreadableFileError(
            lines.name, f"the outline crosses itself at {_told((x, y), lines)}; draw it as one simple line"
        )
    larger = [c for c in loose if _size(c) > max(outline.bounds[2] - outline.bounds[0], 0.0)]
    if larger:
        raise UnreadableFileError(lines.name, f"the longest line is not closed{_open_ends(larger, lines)}")


def _require_alone(polygons: Sequence[Polygon], i: int, others: Sequence[int], lines: Lines) -> None:
    """Refuse a second outline beside the first, and the same one drawn twice."""
    wide = polygons[i].buffer(GAP)
    shapely.prepare(wide)
    for k in others:
        share = abs(polygons[k].area) / polygons[i].area
        beside = not wide.contains(polygons[k].representative_point())
        x, y = (float(v) for v in shapely.get_coordinates(polygons[k].centroid)[0])
        if beside and share > _RIVAL:
            raise UnreadableFileError(
                lines.name,
                f"has two outlines: one beside the other, its middle at {_told((x, y), lines)}; say which one is meant "
                "by its layer or its name (only=...), or save one alone",
            )
        if not beside and share > _TWICE:
            raise UnreadableFileError(
                lines.name, "has the outline twice, one line over the other; delete one of the two"
            )


def _open_ends(loose: Sequence[Curve], lines: Lines) -> str:
    """Where the longest open line ends, and how far apart."""
    if not loose:
        return ""
    longest = max(loose, key=_size)
    gap = math.dist(longest.start, longest.end)
    return (
        f": the longest line ends at {_told(longest.start, lines)} and {_told(longest.end, lines)}, {show_length(gap)} "
        f"apart; close it there (ends within {show_length(GAP)} are joined)"
    )


def _size(curve: Curve) -> float:
    x0, y0, x1, y1 = extent(curve.pieces)
    return math.hypot(x1 - x0, y1 - y0)


def _told(point: Vector, lines: Lines) -> str:
    """A place in the file's own coordinates."""
    m = lines.to_mm
    x, y = np.linalg.solve(m[:, :2], np.asarray(point) - m[:, 2])
    return f"({x:.2f}, {y:.2f})"
